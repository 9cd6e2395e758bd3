// The person at the terminal: prompts on stderr, answers from stdin, without ever keeping the readings waiting.
#pragma once

#include <chrono>
#include <optional>
#include <string>

namespace amphora::app {

class Person {
public:
    /// Says something on a line of its own.
    static void tell(const std::string& text);
    /// Writes over the line of the progress; nothing where nobody watches.
    void progress(const std::string& text);
    /// Ends the line of the progress.
    void end_progress();

    /// A line that was typed, without its end; nothing if none came for so long.
    [[nodiscard]] std::optional<std::string> line(std::chrono::milliseconds patience);
    /// Standard input has ended: nobody will answer any more.
    [[nodiscard]] bool gone() const { return gone_; }

private:
    std::string typed_;
    bool gone_ = false;
    bool shows_ = false;
};

}  // namespace amphora::app
