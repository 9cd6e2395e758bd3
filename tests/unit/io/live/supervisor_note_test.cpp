// The datagrams of sd_notify(3), received by a socket of the test's own.
#include "io/live/supervisor_note.hpp"

#include <gtest/gtest.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

#include <array>
#include <cstdlib>
#include <cstring>

#include "support/scratch_folder.hpp"

namespace amphora::live {
namespace {

TEST(SupervisorNote, SaysThatItIsReadyAndAlive) {
    const ScratchFolder folder;
    const std::string name = (folder.path() / "notify").string();
    const int listener = ::socket(AF_UNIX, SOCK_DGRAM, 0);
    sockaddr_un address{};
    address.sun_family = AF_UNIX;
    std::memcpy(address.sun_path, name.data(), name.size());
    ASSERT_EQ(::bind(listener, reinterpret_cast<const sockaddr*>(&address), sizeof address), 0);
    ::setenv("NOTIFY_SOCKET", name.c_str(), 1);
    ::setenv("WATCHDOG_USEC", "30000000", 1);
    const SupervisorNote note;
    ::unsetenv("NOTIFY_SOCKET");
    ::unsetenv("WATCHDOG_USEC");
    EXPECT_EQ(note.watchdog(), Second(30));
    const auto heard = [&] {
        std::array<char, 64> room{};
        const ssize_t got = ::recv(listener, room.data(), room.size(), MSG_DONTWAIT);
        return std::string(room.data(), got > 0 ? static_cast<std::size_t>(got) : 0);
    };
    note.ready();
    EXPECT_EQ(heard(), "READY=1");
    note.alive();
    EXPECT_EQ(heard(), "WATCHDOG=1");
    note.stopping();
    EXPECT_EQ(heard(), "STOPPING=1");
    ::close(listener);
}

TEST(SupervisorNote, IsSilentWhereNobodyListens) {
    ::unsetenv("NOTIFY_SOCKET");
    ::setenv("WATCHDOG_USEC", "30000000", 1);
    const SupervisorNote note;
    ::unsetenv("WATCHDOG_USEC");
    EXPECT_FALSE(note.watchdog());
    note.ready();
}

}  // namespace
}  // namespace amphora::live
