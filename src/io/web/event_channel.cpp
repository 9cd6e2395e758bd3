#include "io/web/event_channel.hpp"

#include <fmt/format.h>

#include <charconv>
#include <optional>
#include <utility>

namespace amphora::web {
namespace {

std::optional<std::uint64_t> number_in(std::string_view id, std::string_view run) {
    if (id.size() < run.size() + 2 || !id.starts_with(run) || id[run.size()] != '-') return std::nullopt;
    id.remove_prefix(run.size() + 1);
    std::uint64_t number = 0;
    const auto [end, error] = std::from_chars(id.data(), id.data() + id.size(), number);
    if (error != std::errc{} || end != id.data() + id.size()) return std::nullopt;
    return number;
}

}  // namespace

void Listener::offer(Frame frame) {
    if (lost_) return;
    if (waiting_.size() >= limit_) {
        lose();
        return;
    }
    waiting_.push_back(std::move(frame));
    wake_();
}

Frame Listener::take() {
    if (waiting_.empty()) return nullptr;
    Frame frame = std::move(waiting_.front());
    waiting_.pop_front();
    return frame;
}

void Listener::lose() {
    lost_ = true;
    waiting_.clear();
    wake_();
}

void EventChannel::publish(std::string_view name, std::string_view data) {
    auto frame = std::make_shared<const std::string>(
        fmt::format("id: {}-{}\nevent: {}\ndata: {}\n\n", run_, ++newest_, name, data));
    frames_.push_back(frame);
    if (frames_.size() > kept_) frames_.pop_front();
    offer_to_all(frame);
}

void EventChannel::heartbeat() { offer_to_all(std::make_shared<const std::string>(": still here\n\n")); }

void EventChannel::join(Listener& listener, std::string_view last_event_id) {
    listeners_.push_back(&listener);
    if (frames_.empty()) return;
    const std::uint64_t before_oldest = newest_ - frames_.size();
    const auto seen = number_in(last_event_id, run_);
    const std::uint64_t from = seen && *seen >= before_oldest && *seen <= newest_ ? *seen : newest_ - 1;
    for (std::uint64_t i = from - before_oldest; i < frames_.size(); ++i) listener.offer(frames_[i]);
}

void EventChannel::leave(Listener& listener) { std::erase(listeners_, &listener); }

void EventChannel::offer_to_all(const Frame& frame) {
    for (Listener* listener : listeners_) listener->offer(frame);
}

}  // namespace amphora::web
