// Runs the built program as a person would, and keeps what it said.
#pragma once

#include <string>
#include <vector>

namespace amphora::live {

struct Ran {
    int exit_code = -1;
    std::string out;
    std::string err;
};

/// Runs `amphora` with these words and `input` on stdin; waits for its end.
Ran run_amphora(const std::vector<std::string>& words, const std::string& input = "");

}  // namespace amphora::live
