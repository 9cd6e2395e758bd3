// What takes long (an import, a copy, deriving anew) is done in a thread of its own, one after the other, while the
// server goes on answering.
#pragma once

#include <cstdint>
#include <functional>
#include <mutex>
#include <string>
#include <thread>

#include "io/web/api/figure_json.hpp"

namespace amphora::web {

/// Called from the working thread with the share that is done, 0 to 1.
using Tell = std::function<void(double)>;

/// How a piece of work ended: figures for the page, or a sentence that says what is wrong and what to do.
struct Outcome {
    bool well = true;
    Json figures = nullptr;
    std::string sentence;
};

class Work {
public:
    enum class State : std::uint8_t { idle, working, done };

    struct Standing {
        std::string kind;  // "import", "backup", "derive"; empty before the first
        State state = State::idle;
        double share = 0;
        Outcome outcome;
    };

    Work() = default;
    Work(const Work&) = delete;
    Work& operator=(const Work&) = delete;
    ~Work() { join(); }

    /// Begins; false when something else is still being done. `done` is called once, from the server's thread, when
    /// `collect` finds the work done.
    bool begin(std::string kind, std::function<Outcome(const Tell&)> task, std::function<void()> done = {});

    [[nodiscard]] Standing standing() const;

    /// Calls what was to be called when the work is done. From the server's thread.
    void collect();

    /// Waits for what is being done.
    void join();

private:
    mutable std::mutex guard_;
    Standing standing_;
    std::thread thread_;
    std::function<void()> done_;
};

}  // namespace amphora::web
