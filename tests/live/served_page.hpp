// The built program serving its page, in a process of its own.
#pragma once

#include <fcntl.h>
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "live/program.hpp"
#include "live/web/client.hpp"

namespace amphora::live {

/// A program that serves its page until the end of the test.
class ServedPage {
public:
    explicit ServedPage(std::vector<std::string> words) {
        words.insert(words.begin(), program_path());
        int ends[2];
        EXPECT_EQ(::pipe(ends), 0);
        child_ = ::fork();
        if (child_ == 0) {
            ::dup2(ends[1], STDOUT_FILENO);
            const int nowhere = ::open("/dev/null", O_WRONLY);
            ::dup2(nowhere, STDERR_FILENO);
            std::vector<char*> argv;
            for (std::string& word : words) argv.push_back(word.data());
            argv.push_back(nullptr);
            ::execv(argv[0], argv.data());
            ::_exit(127);
        }
        ::close(ends[1]);
        for (char c = 0; ::read(ends[0], &c, 1) == 1 && c != '\n';) said_ += c;
        ::close(ends[0]);
    }
    ServedPage(const ServedPage&) = delete;
    ServedPage& operator=(const ServedPage&) = delete;
    ~ServedPage() {
        if (child_ > 0) stop();
    }

    /// What it printed: its address.
    [[nodiscard]] const std::string& said() const { return said_; }

    [[nodiscard]] pid_t process() const { return child_; }

    [[nodiscard]] std::uint16_t port() const {
        const std::size_t colon = said_.rfind(':');
        return static_cast<std::uint16_t>(std::stoi(said_.substr(colon + 1)));
    }

    [[nodiscard]] std::string ask(std::string_view target) const {
        return web::live::Client(port()).ask(web::live::get(target));
    }

    [[nodiscard]] nlohmann::json ask_json(std::string_view target) const {
        const std::string response = ask(target);
        return nlohmann::json::parse(response.substr(response.find("\r\n\r\n") + 4));
    }

    /// Its exit code after SIGTERM.
    int stop() {
        ::kill(child_, SIGTERM);
        int status = 0;
        ::waitpid(child_, &status, 0);
        child_ = 0;
        return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    }

private:
    pid_t child_ = 0;
    std::string said_;
};

}  // namespace amphora::live
