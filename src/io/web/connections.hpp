// How many connections are open, and which of them gives way when there is no room for another.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <list>
#include <memory>

namespace amphora::web {

class Connections {
    enum class State : std::uint8_t { waiting, busy, leaving };
    struct Place {
        std::function<void()> close;
        State state = State::waiting;
    };
    using Places = std::list<Place>;

public:
    explicit Connections(std::size_t limit) : limit_(limit) {}

    /// One open connection, counted until the seat is destroyed. It begins as waiting.
    class Seat {
    public:
        Seat(Connections& all, Places::iterator place) : all_(&all), place_(place) {}
        Seat(const Seat&) = delete;
        Seat& operator=(const Seat&) = delete;
        Seat(Seat&&) = delete;
        Seat& operator=(Seat&&) = delete;
        ~Seat();

        /// A whole request header has come: this connection does not give way.
        void busy() { all_->move(place_, State::busy); }
        /// It waits for a request, as of now.
        void waiting() { all_->move(place_, State::waiting); }

    private:
        Connections* all_;
        Places::iterator place_;
    };

    /// A seat for a connection that `close` would close. When all are taken, the one that has waited longest without
    /// sending a whole request header is closed; when all are busy there is none, and the answer is null.
    std::unique_ptr<Seat> admit(std::function<void()> close);

    [[nodiscard]] std::size_t open() const { return waiting_.size() + busy_.size() + leaving_.size(); }

private:
    Places& list(State state);
    void move(Places::iterator place, State to);

    std::size_t limit_;
    Places waiting_;  // the longest first
    Places busy_;
    Places leaving_;  // closed to make room; their seats are given up a moment later
};

}  // namespace amphora::web
