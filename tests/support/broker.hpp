// Debian's mosquitto as a child process, on a port of its own of this machine.
#pragma once

#include <arpa/inet.h>
#include <gtest/gtest.h>
#include <netinet/in.h>
#include <spawn.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>
#include <csignal>

#include <array>
#include <chrono>
#include <fstream>
#include <string>
#include <thread>

#include "support/scratch_folder.hpp"

namespace amphora {

class BrokerProcess {
public:
    /// `more` are lines for its configuration.
    explicit BrokerProcess(const std::string& more = "allow_anonymous true\n") : port_(free_port()), more_(more) {
        start();
    }
    BrokerProcess(const BrokerProcess&) = delete;
    BrokerProcess& operator=(const BrokerProcess&) = delete;
    ~BrokerProcess() { stop(); }

    void start() {
        const auto file = (scratch_.path() / "broker.conf").string();
        std::ofstream(file) << "listener " << port_ << " 127.0.0.1\nuser root\nlog_dest none\n" << more_;
        std::string program = "/usr/sbin/mosquitto";
        std::string flag = "-c";
        std::string path = file;
        std::array<char*, 4> words{program.data(), flag.data(), path.data(), nullptr};
        ASSERT_EQ(::posix_spawn(&child_, program.c_str(), nullptr, nullptr, words.data(), ::environ), 0)
            << "the tests need Debian's mosquitto: scripts/install-packages";
        for (int i = 0; i < 500 && !answers(); ++i) std::this_thread::sleep_for(std::chrono::milliseconds(10));
    }
    void stop() {
        if (child_ <= 0) return;
        ::kill(child_, SIGTERM);
        ::waitpid(child_, nullptr, 0);
        child_ = 0;
    }
    [[nodiscard]] int port() const { return port_; }
    [[nodiscard]] const ScratchFolder& scratch() const { return scratch_; }

private:
    static sockaddr_in here(int port) {
        sockaddr_in address{};
        address.sin_family = AF_INET;
        address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
        address.sin_port = htons(static_cast<std::uint16_t>(port));
        return address;
    }
    static int free_port() {
        const int probe = ::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
        auto address = here(0);
        socklen_t size = sizeof address;
        ::bind(probe, reinterpret_cast<const sockaddr*>(&address), size);
        ::getsockname(probe, reinterpret_cast<sockaddr*>(&address), &size);
        ::close(probe);
        return ntohs(address.sin_port);
    }
    [[nodiscard]] bool answers() const {
        const int probe = ::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
        const auto address = here(port_);
        const bool yes = ::connect(probe, reinterpret_cast<const sockaddr*>(&address), sizeof address) == 0;
        ::close(probe);
        return yes;
    }

    ScratchFolder scratch_;
    int port_;
    std::string more_;
    pid_t child_ = 0;
};

}  // namespace amphora
