#include "app/reading_feed.hpp"

namespace amphora::app {
namespace {

/// null is "not known".
double number(const live::SocketClient::Json& object, const char* member) {
    const auto at = object.find(member);
    return at != object.end() && at->is_number() ? at->get<double>() : Volt::missing().value();
}

}  // namespace

std::expected<ReadingFeed, std::string> ReadingFeed::open(const std::filesystem::path& socket) {
    auto client = live::SocketClient::connect(socket);
    if (!client) return std::unexpected(client.error());
    if (!client->send({{"ask", "watch"}})) return std::unexpected("the recorder has gone");
    return ReadingFeed(std::move(*client));
}

std::expected<std::optional<Reading>, std::string> ReadingFeed::next(std::chrono::milliseconds patience) {
    const auto line = client_.next(patience);
    if (!line) {
        if (!client_.connected()) return std::unexpected(line.error());
        return std::nullopt;
    }
    const auto now = line->find("now");
    if (now == line->end() || !now->contains("battery")) return std::nullopt;
    const Instant at{now->value("at_us", std::int64_t{0})};
    if (at <= newest_) return std::nullopt;
    newest_ = at;
    const auto& battery = (*now)["battery"];
    return Reading{at, Ampere(number(battery, "current_a")), Volt(number(battery, "voltage_v")),
                   Celsius(number(battery, "temperature_c"))};
}

}  // namespace amphora::app
