// Runs the built program as a person would, and keeps what it said.
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace amphora::live {

/// Where the built program is.
std::string program_path();

struct Ran {
    int exit_code = -1;
    std::string out;
    std::string err;
};

/// Runs `amphora` with these words and `input` on stdin; waits for its end.
Ran run_amphora(const std::vector<std::string>& words, const std::string& input = "");

/// Runs it on a terminal of its own, with NO_COLOR set or not; gives all that the terminal showed.
std::string show_on_terminal(const std::vector<std::string>& words, bool no_color);

/// Runs it on a terminal of its own, and types each answer, with Enter, once the question before it is shown.
Ran answer_on_terminal(const std::vector<std::string>& words,
                       const std::vector<std::pair<std::string, std::string>>& answers);

}  // namespace amphora::live
