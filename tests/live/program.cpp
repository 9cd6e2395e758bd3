#include "live/program.hpp"

#include <pty.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdio>
#include <cstdlib>
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

// Becomes the program; never comes back.
[[noreturn]] void become_amphora(std::vector<std::string> words) {
    std::string program = AMPHORA_PROGRAM;
    std::vector<char*> argv{program.data()};
    for (auto& word : words) argv.push_back(word.data());
    argv.push_back(nullptr);
    execv(program.c_str(), argv.data());
    _exit(127);
}

}  // namespace

std::string program_path() { return AMPHORA_PROGRAM; }

Ran run_amphora(const std::vector<std::string>& words, const std::string& input) {
    const auto in = scratch();
    const auto out = scratch();
    const auto err = scratch();
    std::fwrite(input.data(), 1, input.size(), in.get());
    std::rewind(in.get());
    const auto child = fork();
    if (child == 0) {
        dup2(fileno(in.get()), STDIN_FILENO);
        dup2(fileno(out.get()), STDOUT_FILENO);
        dup2(fileno(err.get()), STDERR_FILENO);
        become_amphora(words);
    }
    int status = 0;
    waitpid(child, &status, 0);
    return {WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status), contents(out.get()), contents(err.get())};
}

std::string show_on_terminal(const std::vector<std::string>& words, bool no_color) {
    int terminal = -1;
    const auto child = forkpty(&terminal, nullptr, nullptr, nullptr);
    if (child == 0) {
        setenv("TERM", "xterm", 1);
        no_color ? setenv("NO_COLOR", "1", 1) : unsetenv("NO_COLOR");
        become_amphora(words);
    }
    std::string shown;
    char part[4096];
    for (ssize_t n = 0; (n = read(terminal, part, sizeof part)) > 0;) shown.append(part, static_cast<std::size_t>(n));
    close(terminal);
    waitpid(child, nullptr, 0);
    return shown;
}

Ran answer_on_terminal(const std::vector<std::string>& words,
                       const std::vector<std::pair<std::string, std::string>>& answers) {
    int terminal = -1;
    const auto child = forkpty(&terminal, nullptr, nullptr, nullptr);
    if (child == 0) become_amphora(words);
    std::string shown;
    std::size_t answered = 0, from = 0;
    char part[4096];
    for (ssize_t n = 0; (n = read(terminal, part, sizeof part)) > 0;) {
        shown.append(part, static_cast<std::size_t>(n));
        if (answered == answers.size() || shown.find(answers[answered].first, from) == std::string::npos) continue;
        from = shown.size();
        const std::string line = answers[answered++].second + "\n";
        if (write(terminal, line.data(), line.size()) < 0) break;
    }
    close(terminal);
    int status = 0;
    waitpid(child, &status, 0);
    return {WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status), shown, ""};
}

}  // namespace amphora::live
