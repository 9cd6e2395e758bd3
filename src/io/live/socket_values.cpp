#include "io/live/socket_values.hpp"

#include <algorithm>
#include <cctype>
#include <chrono>
#include <cmath>
#include <utility>

#include "io/live/live_json.hpp"
#include "io/live/socket_client.hpp"

namespace amphora::live {
namespace {

constexpr std::chrono::milliseconds pause(500);
constexpr std::chrono::milliseconds patience(1000);
constexpr std::uint64_t guards_every = 2;  // lines about the present between two questions about the guards
constexpr int most_silent = 10;            // seconds without a line: the recorder hangs

web::SourceState state_of(const Json& source, double now_us) {
    if (source.value("state", "") != "running") return web::SourceState::refused;
    const double last = number_in(source, "last_us");
    if (std::isnan(last)) return web::SourceState::silent;
    const double age = (now_us - last) / 1e6;
    if (age > number_in(source, "silent_after_s")) return web::SourceState::silent;
    return age > 2.0 * number_in(source, "every_s") ? web::SourceState::late : web::SourceState::well;
}

/// The age at which the battery's figures are old: the patience of the most patient source of a battery's channel.
Second fresh_for(const System& system) {
    Second longest(5.0);
    for (const described::Channel& c : system.live.channels) {
        const Second patience_of = system.live.sources[c.source].patience();
        if (c.of == Subject::battery && patience_of > longest) longest = patience_of;
    }
    return longest;
}

/// What the recorder says in its lines, as a sentence of the page.
std::string sentence(std::string text) {
    if (text.empty()) return text;
    text.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(text.front())));
    return text + ".";
}

}  // namespace

SocketValues::SocketValues(std::filesystem::path socket, System system)
    : socket_(std::move(socket)), system_(std::move(system)), thread_([this] { listen(); }) {}

SocketValues::~SocketValues() {
    ending_ = true;
    thread_.join();
}

void SocketValues::listen() {
    while (!ending_) {
        auto client = SocketClient::connect(socket_);
        if (client && client->send({{"ask", "watch"}})) {
            std::uint64_t asked = 0;
            for (int silent = 0; !ending_ && silent < most_silent;) {
                auto line = client->next(patience);
                if (!line && !client->connected()) break;
                silent = line ? 0 : silent + 1;
                if (!line) continue;
                if (line->contains("now")) keep(std::move((*line)["now"]));
                if (line->contains("guards")) {
                    const std::scoped_lock lock(mutex_);
                    guards_ = std::move((*line)["guards"]);
                }
                if (heard_ >= asked + guards_every) {
                    asked = heard_;
                    (void)client->send({{"ask", "guards"}});
                }
            }
        }
        keep(nullptr);
        if (!ending_) std::this_thread::sleep_for(pause);
    }
}

void SocketValues::keep(Json now) {
    const std::scoped_lock lock(mutex_);
    if (now.is_null() && newest_.is_null()) return;
    newest_ = std::move(now);
    if (newest_.is_null()) guards_ = nullptr;
    ++heard_;
}

Json SocketValues::guard_list(const char* member) const {
    const std::scoped_lock lock(mutex_);
    return guards_.is_object() && guards_.contains(member) ? guards_[member] : Json::array();
}

std::vector<web::GuardStanding> SocketValues::guards() const {
    std::vector<web::GuardStanding> list;
    for (const Json& said : guard_list("guards")) {
        web::GuardStanding guard;
        guard.name = said.value("name", "");
        guard.rule = said.value("rule", "");
        guard.state = said.value("blind", false) ? "blind" : said.value("phase", "");
        if (said.contains("since_us") && said["since_us"].is_number())
            guard.since = Instant{said["since_us"].get<std::int64_t>()};
        guard.message = sentence(said.value("remark", ""));
        list.push_back(std::move(guard));
    }
    return list;
}

std::vector<std::string> SocketValues::troubles() const {
    const Json now = newest();
    std::vector<std::string> list;
    if (!now.is_object()) return list;
    for (const std::string& trouble : {now["record"].value("trouble", ""), now.value("trouble", "")})
        if (!trouble.empty()) list.push_back(sentence(trouble));
    if (now.value("catching_up", false))
        list.emplace_back(now["estimate"].is_object()
                              ? "The record is being read. Until then how much is left goes by its newest days alone."
                              : "The record is being read. Until then guards that go by how much is left wait.");
    return list;
}

std::vector<web::GuardAct> SocketValues::acts() const {
    std::vector<web::GuardAct> list;
    for (const Json& said : guard_list("events")) {
        if (!said["at_us"].is_number()) continue;
        const bool relay = said.contains("relay");
        list.push_back({Instant{said["at_us"].get<std::int64_t>()}, said.value(relay ? "relay" : "guard", ""),
                        relay ? said.value("event", "") + " " + said.value("to", "") : said.value("event", "")});
    }
    std::ranges::reverse(list);
    return list;
}

Json SocketValues::newest() const {
    const std::scoped_lock lock(mutex_);
    return newest_;
}

std::optional<web::Present> SocketValues::present() const {
    const Json now = newest();
    if (!now.is_object() || !now["estimate"].is_object()) return std::nullopt;
    web::Present present;
    present.estimate = estimate_from(now["estimate"]);
    if (const auto full = since_full_from(now["last_full"]))
        present.full = web::SinceFull{full->at, {full->in, full->out}};
    present.age = Second(number_in(now, "age_s"));
    present.fresh_for = fresh_for(system_);
    for (const Json& channel : now["channels"]) {
        const std::string of = channel.value("of", "");
        if (channel.value("measures", "") != "current" || channel.value("silent", true)) continue;
        if (of != "charger" && of != "appliance") continue;
        present.flows.push_back({channel.value("whose", ""), Ampere(number_in(channel, "value"))});
    }
    return present;
}

std::vector<web::SourceHealth> SocketValues::sources() const {
    std::vector<web::SourceHealth> list;
    const Json now = newest();
    if (!now.is_object()) return list;
    for (const Json& said : now["sources"]) {
        web::SourceHealth source;
        source.name = said.value("name", "");
        source.kind = said.value("kind", "");
        source.state = state_of(said, number_in(now, "at_us"));
        if (said["last_us"].is_number()) source.last = Instant{said["last_us"].get<std::int64_t>()};
        source.interval = Second(number_in(said, "every_s"));
        source.readings = said.value("readings", std::uint64_t{0});
        source.faults = said.value("refused", std::uint64_t{0}) + said.value("errors", std::uint64_t{0});
        source.message = said.value("trouble", "");
        list.push_back(std::move(source));
    }
    return list;
}

}  // namespace amphora::live
