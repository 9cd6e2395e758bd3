#include "live/program.hpp"

#include <sys/wait.h>
#include <unistd.h>

#include <cstdio>
#include <memory>

namespace amphora::live {
namespace {

using File = std::unique_ptr<std::FILE, int (*)(std::FILE*)>;

File scratch() { return {std::tmpfile(), &std::fclose}; }

std::string contents(std::FILE* file) {
    std::rewind(file);
    std::string all;
    char part[4096];
    for (std::size_t n = 0; (n = std::fread(part, 1, sizeof part, file)) > 0;) all.append(part, n);
    return all;
}

}  // namespace

Ran run_amphora(const std::vector<std::string>& words, const std::string& input) {
    const auto in = scratch();
    const auto out = scratch();
    const auto err = scratch();
    std::fwrite(input.data(), 1, input.size(), in.get());
    std::rewind(in.get());
    std::string program = AMPHORA_PROGRAM;
    std::vector<char*> argv{program.data()};
    auto copies = words;
    for (auto& word : copies) argv.push_back(word.data());
    argv.push_back(nullptr);
    const auto child = fork();
    if (child == 0) {
        dup2(fileno(in.get()), STDIN_FILENO);
        dup2(fileno(out.get()), STDOUT_FILENO);
        dup2(fileno(err.get()), STDERR_FILENO);
        execv(program.c_str(), argv.data());
        _exit(127);
    }
    int status = 0;
    waitpid(child, &status, 0);
    return {WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status), contents(out.get()), contents(err.get())};
}

}  // namespace amphora::live
