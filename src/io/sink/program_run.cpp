#include "io/sink/program_run.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <poll.h>
#include <spawn.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <csignal>
#include <system_error>

namespace amphora::sink {
namespace {

using Clock = std::chrono::steady_clock;

class Spawning {
public:
    Spawning() {
        posix_spawn_file_actions_init(&files_);
        posix_spawnattr_init(&attributes_);
        for (const int descriptor : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO})
            posix_spawn_file_actions_addopen(&files_, descriptor, "/dev/null", O_RDWR, 0);
        posix_spawn_file_actions_addclosefrom_np(&files_, STDERR_FILENO + 1);
        sigset_t all{};
        sigset_t none{};
        sigfillset(&all);
        sigemptyset(&none);
        posix_spawnattr_setsigdefault(&attributes_, &all);
        posix_spawnattr_setsigmask(&attributes_, &none);
        posix_spawnattr_setpgroup(&attributes_, 0);
        posix_spawnattr_setflags(&attributes_, POSIX_SPAWN_SETPGROUP | POSIX_SPAWN_SETSIGDEF | POSIX_SPAWN_SETSIGMASK);
    }
    Spawning(const Spawning&) = delete;
    Spawning& operator=(const Spawning&) = delete;
    ~Spawning() {
        posix_spawn_file_actions_destroy(&files_);
        posix_spawnattr_destroy(&attributes_);
    }

    /// 0, or the error.
    int start(pid_t& child, std::vector<std::string> words, std::vector<std::string> surroundings) {
        const auto pointers = [](std::vector<std::string>& texts) {
            std::vector<char*> all;
            for (auto& text : texts) all.push_back(text.data());
            all.push_back(nullptr);
            return all;
        };
        auto argv = pointers(words);
        auto envp = pointers(surroundings);
        return posix_spawn(&child, argv[0], &files_, &attributes_, argv.data(), envp.data());
    }

private:
    posix_spawn_file_actions_t files_{};
    posix_spawnattr_t attributes_{};
};

/// True when the child ended in time.
bool wait_for(pid_t child, Clock::time_point until, const std::stop_token& stop) {
    constexpr std::chrono::milliseconds look_every{100};
    const int watch = static_cast<int>(syscall(SYS_pidfd_open, child, 0));
    bool ended = false;
    while (!ended && !stop.stop_requested()) {
        const auto left = std::chrono::duration_cast<std::chrono::milliseconds>(until - Clock::now());
        if (left.count() <= 0) break;
        const auto pause = static_cast<int>(std::min(left, look_every).count());
        pollfd entry{.fd = watch, .events = POLLIN, .revents = 0};
        if (watch >= 0) {
            ended = poll(&entry, 1, pause) > 0;
        } else {
            siginfo_t unused{};
            ended = waitid(P_PID, static_cast<id_t>(child), &unused, WEXITED | WNOHANG | WNOWAIT) == 0 &&
                    unused.si_pid == child;
            if (!ended) poll(nullptr, 0, std::min(pause, 10));
        }
    }
    if (watch >= 0) close(watch);
    return ended;
}

std::expected<void, ErrandFailure> verdict(const std::string& program, int status) {
    if (WIFEXITED(status) && WEXITSTATUS(status) == 0) return {};
    const auto how = WIFEXITED(status) ? fmt::format("ended with exit code {}", WEXITSTATUS(status))
                                       : fmt::format("was ended by signal {}", WTERMSIG(status));
    return std::unexpected(ErrandFailure{fmt::format("{} {}", program, how), false});
}

}  // namespace

std::expected<void, ErrandFailure> run(const ProgramRun& what, const std::stop_token& stop) {
    std::vector<std::string> surroundings{"PATH=/usr/local/bin:/usr/bin:/bin"};
    for (const auto& [name, value] : what.surroundings) surroundings.push_back(fmt::format("{}={}", name, value));
    const auto& program = what.words.front();
    pid_t child = -1;
    if (const int error = Spawning().start(child, what.words, surroundings); error != 0)
        return std::unexpected(ErrandFailure{
            fmt::format("{} cannot be started: {}", program, std::generic_category().message(error)), false});
    const bool in_time = wait_for(child, Clock::now() + what.limit, stop);
    if (!in_time) kill(-child, SIGKILL);
    int status = 0;
    while (waitpid(child, &status, 0) < 0 && errno == EINTR) {
    }
    if (in_time) return verdict(program, status);
    return std::unexpected(ErrandFailure{
        stop.stop_requested() ? fmt::format("{} was ended with this program", program)
                              : fmt::format("{} took longer than {} ms and was ended", program, what.limit.count()),
        false});
}

}  // namespace amphora::sink
