#include "io/live/kept_process.hpp"

#include <fmt/core.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <csignal>
#include <cstdio>
#include <utility>

namespace amphora::live {
namespace {

constexpr std::chrono::milliseconds first_pause(500);
constexpr std::chrono::milliseconds longest_wait(30'000);
constexpr std::chrono::seconds well_started(10);

constexpr int unavailable = 69;

/// sysexits.h: usage, data, no input, cannot create, permission, config.
bool comes_again(int code) { return code == 64 || code == 65 || code == 66 || code == 73 || code == 77 || code == 78; }

[[noreturn]] void become(const std::vector<std::string>& arguments) {
    ::prctl(PR_SET_PDEATHSIG, SIGTERM);  // should the supervisor be killed, it must not go on unwatched
    std::string program = "amphora";
    std::vector<char*> argv{program.data()};
    std::vector<std::string> own = arguments;
    for (std::string& argument : own) argv.push_back(argument.data());
    argv.push_back(nullptr);
    ::execv("/proc/self/exe", argv.data());
    ::_exit(71);
}

}  // namespace

KeptProcess::KeptProcess(boost::asio::io_context& loop, std::string name, std::vector<std::string> arguments,
                         std::function<void(int)> gave_up)
    : timer_(loop), name_(std::move(name)), arguments_(std::move(arguments)), gave_up_(std::move(gave_up)) {}

void KeptProcess::start() {
    started_ = std::chrono::steady_clock::now();
    const pid_t child = ::fork();
    if (child == 0) become(arguments_);
    process_ = child;
    if (child < 0) start_later();
}

void KeptProcess::start_later() {
    timer_.expires_after(pause_);
    pause_ = std::min(pause_ * 2, longest_wait);
    timer_.async_wait([this](boost::system::error_code error) {
        if (!error && !ending_) start();
    });
}

void KeptProcess::end() {
    ending_ = true;
    timer_.cancel();
    if (process_ > 0) ::kill(process_, SIGTERM);
}

bool KeptProcess::ended(pid_t process, int status) {
    if (process != process_) return false;
    process_ = -1;
    if (ending_) return true;
    const bool lived = std::chrono::steady_clock::now() - started_ > well_started;
    if (lived) {
        pause_ = first_pause;
        settled_ = true;
    }
    const std::string how = WIFSIGNALED(status) ? fmt::format("was ended by signal {}", WTERMSIG(status))
                                                : fmt::format("ended with code {}", WEXITSTATUS(status));
    if (!lived && WIFEXITED(status)) {
        const int code = WEXITSTATUS(status);
        if (comes_again(code) || (code == unavailable && !settled_)) {
            gave_up_(code);
            return true;
        }
    }
    fmt::print(stderr, "the {} {}; it is started again\n", name_, how);
    start_later();
    return true;
}

}  // namespace amphora::live
