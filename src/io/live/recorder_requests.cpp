// What the recorder answers over its socket.
#include <unistd.h>

#include <boost/asio/post.hpp>
#include <utility>

#include "io/live/recorder.hpp"
#include "io/text/json_number.hpp"

namespace amphora::live {
namespace {

constexpr Second tell_every(0.25);

}  // namespace

void Recorder::offer_requests(std::function<void()> on_restart) {
    if (on_restart) {
        socket_.offer("restart", [this, restart = std::move(on_restart)](const Json&) -> Json {
            boost::asio::post(loop_, restart);  // the answer goes out first
            return "at once";
        });
    }
    socket_.offer("now", [this](const Json&) { return now(); });
    socket_.offer("sources", [this](const Json&) { return sources(); });
    socket_.offer("hello", [this](const Json&) -> Json {
        return {{"program", "amphora"},
                {"protocol", 1},
                {"process", ::getpid()},
                {"system", system_.name},
                {"record", settings_.files.record.string()},
                {"fingerprint", settings_.files.fingerprint}};
    });
}

Json Recorder::now() const {
    const BootTime at = clock_.now();
    const TimedReading battery = board_.battery(at);
    Json channels = Json::array();
    for (std::size_t i = 0; i < seen_.size(); ++i) {
        guard::Seen seen = seen_[i];
        const ChannelBoard::Newest& newest = board_.newest(i);
        seen.value = newest.value;
        seen.age = newest.seen ? at - newest.at : Second::missing();
        seen.silent = board_.silent(i, at);
        channels.push_back(to_json(seen));
    }
    Json record = to_json(recording_->health());
    return {{"system",
             {{"name", system_.name},
              {"design_capacity_ah", system_.battery.design_capacity.value()},
              {"reserve", system_.battery.reserve.value()}}},
            {"at_us", placement_.utc(at).us},
            {"age_s", text::json_number(board_.age(at).value())},
            {"battery",
             {{"current_a", text::json_number(battery.current.value())},
              {"voltage_v", text::json_number(battery.voltage.value())},
              {"temperature_c", text::json_number(battery.temperature.value())}}},
            {"estimate", estimate_.now() ? to_json(*estimate_.now()) : Json(nullptr)},
            {"catching_up", !estimate_.ready()},
            {"catching_up_since_us", reading_past_since() ? Json(reading_past_since()->us) : Json(nullptr)},
            {"last_full", to_json(estimate_.since_full())},
            {"channels", std::move(channels)},
            {"sources", sources()},
            {"record", std::move(record)},
            {"clock", clock_json()},
            {"trouble", estimate_.trouble()}};
}

Json Recorder::sources() const {
    Json list = Json::array();
    for (const auto& source : sources_) {
        const SourceHealth& health = source->health();
        const auto last = health.last_reading ? std::optional(placement_.utc(*health.last_reading)) : std::nullopt;
        list.push_back(to_json(source->description(), health, last));
    }
    return list;
}

Json Recorder::clock_json() const {
    return {{"synchronised", placement_.synchronised()}, {"up_s", (clock_.now() - started_).value()}};
}

void Recorder::tell_watchers() {
    const BootTime at = clock_.now();
    if (!socket_.watched() || at - told_ < tell_every) return;
    told_ = at;
    socket_.tell(Json{{"now", now()}}.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n");
}

}  // namespace amphora::live
