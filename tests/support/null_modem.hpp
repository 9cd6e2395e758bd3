// Two pseudo-terminals that are wired together, as two serial ports with a cable between them.
#pragma once

#include <fcntl.h>
#include <poll.h>
#include <stdlib.h>
#include <termios.h>
#include <unistd.h>

#include <array>
#include <atomic>
#include <string>
#include <thread>

namespace amphora {

class NullModem {
public:
    NullModem() : ends_{open_end(), open_end()}, thread_([this] { carry(); }) {}
    NullModem(const NullModem&) = delete;
    NullModem& operator=(const NullModem&) = delete;
    ~NullModem() {
        ended_ = true;
        thread_.join();
        for (const auto& end : ends_) {
            ::close(end.master);
            ::close(end.slave);
        }
    }

    [[nodiscard]] const std::string& one() const { return ends_[0].name; }
    [[nodiscard]] const std::string& other() const { return ends_[1].name; }

private:
    struct End {
        int master;
        int slave;  // kept open, so that the pair lives on when a user closes it
        std::string name;
    };

    static End open_end() {
        const int master = ::posix_openpt(O_RDWR | O_NOCTTY);
        ::grantpt(master);
        ::unlockpt(master);
        const std::string name = ::ptsname(master);
        const int slave = ::open(name.c_str(), O_RDWR | O_NOCTTY);
        termios raw{};
        ::tcgetattr(slave, &raw);
        ::cfmakeraw(&raw);
        ::tcsetattr(slave, TCSANOW, &raw);
        return {master, slave, name};
    }
    void carry() {
        std::array<pollfd, 2> look{{{ends_[0].master, POLLIN, 0}, {ends_[1].master, POLLIN, 0}}};
        std::array<char, 512> room{};
        while (!ended_) {
            if (::poll(look.data(), look.size(), 10) <= 0) continue;
            for (std::size_t i = 0; i < 2; ++i) {
                if ((look[i].revents & POLLIN) == 0) continue;
                const auto got = ::read(look[i].fd, room.data(), room.size());
                if (got > 0 && ::write(look[1 - i].fd, room.data(), static_cast<std::size_t>(got)) != got) return;
            }
        }
    }

    std::array<End, 2> ends_;
    std::atomic<bool> ended_{false};
    std::thread thread_;
};

}  // namespace amphora
