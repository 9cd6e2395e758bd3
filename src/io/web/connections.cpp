#include "io/web/connections.hpp"

#include <utility>

namespace amphora::web {

Connections::Seat::~Seat() { all_->list(place_->state).erase(place_); }

std::unique_ptr<Connections::Seat> Connections::admit(std::function<void()> close) {
    if (waiting_.size() + busy_.size() >= limit_) {
        if (waiting_.empty()) return nullptr;
        move(waiting_.begin(), State::leaving);
        leaving_.back().close();
    }
    waiting_.push_back({std::move(close)});
    return std::make_unique<Seat>(*this, std::prev(waiting_.end()));
}

Connections::Places& Connections::list(State state) {
    switch (state) {
        case State::waiting:
            return waiting_;
        case State::busy:
            return busy_;
        case State::leaving:
            break;
    }
    return leaving_;
}

void Connections::move(Places::iterator place, State to) {
    if (place->state == State::leaving) return;
    list(to).splice(list(to).end(), list(place->state), place);
    place->state = to;
}

}  // namespace amphora::web
