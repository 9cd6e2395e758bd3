#include "app/overhearing.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <chrono>
#include <cstdio>

#include "app/listening.hpp"

namespace amphora::app {
namespace {

using Json = live::SocketClient::Json;
using Clock = std::chrono::steady_clock;

constexpr std::chrono::milliseconds patience{30'000};

std::string figure_text(const Json& channel) {
    const std::string unit = channel.value("unit", "");
    const bool share = channel.value("measures", "") == "state-of-charge";
    const double value = channel["value"].get<double>();
    std::string name = channel.value("measures", "");
    if (channel.contains("cell")) name += fmt::format(" {}", channel["cell"].get<int>());
    if (channel.contains("whose")) name += fmt::format(" ({})", channel["whose"].get<std::string>());
    return fmt::format("{} {:.6g} {}", name, share ? value * 100.0 : value, share ? "%" : unit);
}

Json figure_json(Json channel) {
    for (const char* member : {"source", "age_s", "silent"}) channel.erase(member);
    return channel;
}

std::int64_t moment_of(const Json& now, const Json& channel) {
    return now.value("at_us", std::int64_t{0}) - static_cast<std::int64_t>(channel["age_s"].get<double>() * 1e6);
}

}  // namespace

std::optional<Overhearing> Overhearing::at(const std::filesystem::path& socket, Request request) {
    auto client = live::SocketClient::connect(socket);
    if (!client) return std::nullopt;
    const auto hello = client->ask("hello");
    const auto sources = client->ask("sources");
    if (!hello || hello->value("system", "") != request.system || !sources || !sources->is_array()) return std::nullopt;
    const auto is_read = [&](const std::string& name) {
        return std::ranges::any_of(*sources, [&](const Json& s) { return s.value("name", "") == name; });
    };
    if (!std::ranges::all_of(request.sources, is_read)) return std::nullopt;
    return Overhearing(std::move(*client), std::move(request));
}

void Overhearing::show(std::size_t source, const Json& now) {
    const std::string& name = request_.sources[source];
    std::int64_t newest = 0;
    std::string text;
    Json figures = Json::array();
    for (const Json& channel : now["channels"]) {
        if (channel.value("source", "") != name || !channel["value"].is_number()) continue;
        newest = std::max(newest, moment_of(now, channel));
        text += "  " + figure_text(channel);
        figures.push_back(figure_json(channel));
    }
    constexpr std::int64_t same_us = 1000;  // an age is rounded
    if (newest <= shown_us_[source] + same_us) return;
    shown_us_[source] = newest;
    if (request_.json)
        print_line({{"source", name}, {"unix_s", static_cast<double>(newest) / 1e6}, {"figures", figures}});
    else
        fmt::print("{}{}{}\n", time_of_day(Instant{newest}), request_.sources.size() > 1 ? "  " + name : "", text);
    std::fflush(stdout);
}

Exit Overhearing::run() {
    fmt::print(stderr, "A recorder runs: shown is what it reads, four times a second at most.\n");
    if (!client_.send({{"ask", "watch"}})) return Exit::unavailable;
    auto end = Clock::time_point::max();
    if (request_.length)
        end = Clock::now() + std::chrono::milliseconds(static_cast<std::int64_t>(request_.length->value() * 1e3));
    while (Clock::now() < end) {
        const auto left = std::chrono::duration_cast<std::chrono::milliseconds>(end - Clock::now());
        const auto line = client_.next(std::min(patience, left));
        if (!line && client_.connected() && left <= patience) break;  // the time is over
        if (!line || !line->contains("now")) {
            fmt::print(stderr, "amphora listen: {}\n", line ? "the recorder answered in another way" : line.error());
            return Exit::unavailable;
        }
        for (std::size_t i = 0; i < request_.sources.size(); ++i) show(i, (*line)["now"]);
    }
    return std::ranges::all_of(shown_us_, [](std::int64_t us) { return us > 0; }) ? Exit::ok : Exit::unavailable;
}

}  // namespace amphora::app
