#include "app/listening.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <nlohmann/json.hpp>

#include "io/live/boot_clock.hpp"
#include "io/live/source_word.hpp"
#include "io/source/channel_unit.hpp"

namespace amphora::app {
namespace {

using Json = nlohmann::ordered_json;
constexpr std::chrono::milliseconds look_every{200};

// A shunt's drop comes as the current that it stands for.
Measurand shown_as(const described::Channel& channel) {
    return channel.measures == Measurand::shunt_drop ? Measurand::current : channel.measures;
}

std::string figure_text(const described::Channel& channel, double value) {
    const auto measures = shown_as(channel);
    const auto whose = channel.of == Subject::battery ? "" : fmt::format(" ({})", channel.whose);
    const auto cell = measures == Measurand::cell_voltage ? fmt::format(" {}", channel.cell) : "";
    const bool share = measures == Measurand::state_of_charge;
    return fmt::format("{}{}{} {:.6g} {}", source::word(measures), cell, whose, share ? value * 100.0 : value,
                       share ? "%" : source::own_unit(measures));
}

Json figure_json(const described::Channel& channel, double value) {
    const auto measures = shown_as(channel);
    Json json{{"measures", source::word(measures)}, {"of", live::word(channel.of)}};
    if (!channel.whose.empty()) json["whose"] = channel.whose;
    if (measures == Measurand::cell_voltage) json["cell"] = channel.cell;
    json["value"] = value;
    json["unit"] = source::own_unit(measures);
    return json;
}

}  // namespace

std::string time_of_day(Instant at) {
    const auto tenths = at.us / 100'000 % 864'000;
    return fmt::format("{:02}:{:02}:{:02}.{}", tenths / 36'000, tenths / 600 % 60, tenths / 10 % 60, tenths % 10);
}

void print_line(const nlohmann::ordered_json& json) {
    fmt::print("{}\n", json.dump(-1, ' ', false, Json::error_handler_t::replace));
    std::fflush(stdout);
}

Listening::Listening(const System& system, Request request)
    : system_(system),
      request_(std::move(request)),
      told_(request_.sources.size()),
      told_refused_(request_.sources.size()) {}

bool Listening::make_sources() {
    for (const auto index : request_.sources) {
        auto made = live::make_source({loop_, live::computer_clock(), system_, index});
        if (!made) {
            fmt::print(stderr, "{}\n", made.error());
            return false;
        }
        sources_.push_back(std::move(*made));
    }
    return true;
}

void Listening::show(std::size_t source, std::span<const live::LiveSample> samples) {
    const auto& name = system_.live.sources[source].name;
    const auto at = live::computer_clock().wall().at;
    if (request_.json) {
        Json figures = Json::array();
        for (const auto& s : samples) figures.push_back(figure_json(system_.live.channels[s.channel], s.value));
        return print_line({{"source", name}, {"unix_s", at.unix_seconds()}, {"figures", figures}});
    }
    auto line = time_of_day(at);
    if (request_.sources.size() > 1) line += "  " + name;
    for (const auto& s : samples) line += "  " + figure_text(system_.live.channels[s.channel], s.value);
    fmt::print("{}\n", line);
    std::fflush(stdout);
}

void Listening::show_trouble(const live::LiveSource& source) {
    const auto& health = source.health();
    fmt::print(stderr, "{}: {}{}\n", source.description().name, health.trouble,
               health.state == live::SourceState::waiting ? "; tries again" : "");
    if (request_.json)
        print_line(
            {{"source", source.description().name}, {"state", live::word(health.state)}, {"trouble", health.trouble}});
}

// What went wrong is said once, not at every try; and the end has come when no source has more to give.
void Listening::look_at_health() {
    for (std::size_t i = 0; i < sources_.size(); ++i) {
        const auto& health = sources_[i]->health();
        if (!health.trouble.empty() && health.trouble != told_[i]) show_trouble(*sources_[i]);
        told_[i] = health.trouble;
        if (health.refused > told_refused_[i])
            fmt::print(stderr, "{}: {} refused so far: no readings, or figures that cannot be\n",
                       sources_[i]->description().name, health.refused);
        told_refused_[i] = std::max(told_refused_[i] * 2, health.refused);  // not for each line of an endless stream
    }
    if (std::ranges::all_of(sources_, [](const auto& s) { return s->health().state == live::SourceState::off; }))
        return loop_.stop();
    look_.expires_after(look_every);
    look_.async_wait([this](boost::system::error_code error) {
        if (!error) look_at_health();
    });
}

void Listening::show_end(const live::LiveSource& source) const {
    const auto& h = source.health();
    if (request_.json)
        return print_line({{"source", source.description().name},
                           {"readings", h.readings},
                           {"refused", h.refused},
                           {"gaps", h.gaps},
                           {"errors", h.errors},
                           {"reconnects", h.reconnects},
                           {"trouble", h.trouble}});
    fmt::print(stderr, "{}: {}\n", source.description().name, live::summary(h));
}

Exit Listening::run() {
    if (!make_sources()) return Exit::config;
    signals_.add(SIGINT);
    signals_.add(SIGTERM);
    signals_.async_wait([this](boost::system::error_code error, int) {
        if (!error) loop_.stop();
    });
    if (request_.length) {
        end_.expires_after(std::chrono::milliseconds(static_cast<std::int64_t>(request_.length->value() * 1e3)));
        end_.async_wait([this](boost::system::error_code error) {
            if (!error) loop_.stop();
        });
    }
    for (std::size_t i = 0; i < sources_.size(); ++i)
        sources_[i]->start([this, index = request_.sources[i]](auto samples) { show(index, samples); });
    look_at_health();
    loop_.run();
    for (const auto& source : sources_) show_end(*source);
    const bool all = std::ranges::all_of(sources_, [](const auto& s) { return s->health().readings > 0; });
    for (const auto& source : sources_) source->stop();
    return all ? Exit::ok : Exit::unavailable;
}

}  // namespace amphora::app
