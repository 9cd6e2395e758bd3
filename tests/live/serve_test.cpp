// `amphora serve`: what no new start mends ends it, with one reason; what crashed comes up again.
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <netinet/in.h>
#include <sys/socket.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <fstream>
#include <string>
#include <thread>

#include "live/program.hpp"
#include "live/served_page.hpp"
#include "support/scratch_folder.hpp"

namespace amphora::live {
namespace {

using testing::HasSubstr;
using testing::Not;

/// A port of this computer that someone listens at.
class TakenPort {
public:
    TakenPort() : socket_(::socket(AF_INET, SOCK_STREAM, 0)) {
        sockaddr_in address{};
        address.sin_family = AF_INET;
        address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
        EXPECT_EQ(::bind(socket_, reinterpret_cast<const sockaddr*>(&address), sizeof address), 0);
        EXPECT_EQ(::listen(socket_, 1), 0);
        socklen_t size = sizeof address;
        EXPECT_EQ(::getsockname(socket_, reinterpret_cast<sockaddr*>(&address), &size), 0);
        number_ = std::to_string(ntohs(address.sin_port));
    }
    TakenPort(const TakenPort&) = delete;
    TakenPort& operator=(const TakenPort&) = delete;
    ~TakenPort() { ::close(socket_); }
    [[nodiscard]] const std::string& number() const { return number_; }

private:
    int socket_;
    std::string number_;
};

class Serve : public testing::Test {
protected:
    void SetUp() override { describe(twin); }
    void describe(const std::string& more) const {
        std::ofstream(system_) << "[system]\nname = \"Blue Heron\"\n[battery]\nchemistry = \"lfp\"\n"
                                  "design_capacity_ah = 200\n"
                               << more;
    }
    static void expect_ended(const Ran& ran, int code, const std::string& reason) {
        EXPECT_EQ(ran.exit_code, code) << ran.err;
        EXPECT_THAT(ran.err, HasSubstr(reason));
        EXPECT_THAT(ran.err, Not(HasSubstr("started again")));
        EXPECT_THAT(ran.out, Not(HasSubstr("http://")));
    }

    static constexpr const char* twin =
        "[[source]]\nname = \"van\"\nkind = \"twin\"\nevery_s = 0.2\n[[source.channel]]\nmeasures = \"voltage\"\n";
    ScratchFolder folder_;
    std::string system_ = (folder_.path() / "van.toml").string();
};

TEST_F(Serve, EndsWithoutASource) {
    describe("");
    expect_ended(run_amphora({"serve", system_, "--port", "0"}), 78, "[[source]]");
}

TEST_F(Serve, EndsWhereTheRecordCannotBeWritten) {
    std::ofstream(folder_.path() / "no-folder") << "a file";
    std::ofstream(system_) << "[system]\nname = \"Blue Heron\"\nrecord = \"no-folder/van.amphora\"\n"
                              "[battery]\nchemistry = \"lfp\"\ndesign_capacity_ah = 200\n"
                           << twin;
    const Ran ran = run_amphora({"serve", system_, "--port", "0"});
    EXPECT_NE(ran.exit_code, 0);
    expect_ended(ran, ran.exit_code, "no-folder");
}

TEST_F(Serve, EndsWhereThePortIsTaken) {
    const TakenPort taken;
    expect_ended(run_amphora({"serve", system_, "--port", taken.number()}), 69, "Choose another port");
}

TEST_F(Serve, EndsAtAnAddressOfAnotherComputer) {
    const std::string passphrase = (folder_.path() / "passphrase").string();
    std::ofstream(passphrase) << "lantern otter gravel seven\n";
    const Ran ran = run_amphora({"serve", system_, "--address", "203.0.113.7", "--port", "0",  // RFC 5737: nobody's
                                 "--passphrase-file", passphrase});
    expect_ended(ran, 69, "hostname -I");
    EXPECT_THAT(ran.err, Not(HasSubstr("another port")));
}

TEST_F(Serve, EndsBesideAnotherThatKeepsTheRecord) {
    ServedPage first({"serve", system_, "--port", "0"});
    const Ran second = run_amphora({"serve", system_, "--port", "0"});
    expect_ended(second, 69, "van");
    EXPECT_EQ(first.stop(), 0);
}

TEST_F(Serve, StartsTheRecorderAgainAfterItWasKilled) {
    ServedPage page({"serve", system_, "--port", "0"});
    const auto recorder = [&] {
        std::ifstream children("/proc/" + std::to_string(page.process()) + "/task/" + std::to_string(page.process()) +
                               "/children");
        for (pid_t child = 0; children >> child;) {
            std::ifstream words("/proc/" + std::to_string(child) + "/cmdline");
            const std::string line((std::istreambuf_iterator<char>(words)), {});
            if (line.find("record") != std::string::npos) return child;
        }
        return -1;
    };
    const pid_t before = recorder();
    ASSERT_GT(before, 0);
    ::kill(before, SIGKILL);
    pid_t after = -1;
    for (int i = 0; i < 100 && (after <= 0 || after == before); ++i) {
        std::this_thread::sleep_for(std::chrono::milliseconds(50));
        after = recorder();
    }
    EXPECT_GT(after, 0);
    EXPECT_NE(after, before);
    EXPECT_EQ(page.stop(), 0);
}

}  // namespace
}  // namespace amphora::live
