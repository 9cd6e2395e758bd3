// `amphora demo` as a person runs it.
#include <fcntl.h>
#include <gmock/gmock.h>
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
namespace {

using nlohmann::json;
using testing::ContainsRegex;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::MatchesRegex;

const std::vector<std::string> a_week{"--until", "2026-03-07T16:13:00Z", "--years", "0.02"};

// A demonstration that serves its page until the end of the test.
class ServedDemo {
public:
    explicit ServedDemo(std::vector<std::string> words) {
        words.insert(words.begin(), {AMPHORA_PROGRAM, "demo", "--port", "0"});
        words.insert(words.end(), a_week.begin(), a_week.end());
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
    ServedDemo(const ServedDemo&) = delete;
    ServedDemo& operator=(const ServedDemo&) = delete;
    ~ServedDemo() {
        if (child_ > 0) stop();
    }

    /// What it printed: its address.
    [[nodiscard]] const std::string& said() const { return said_; }

    [[nodiscard]] std::uint16_t port() const {
        const std::size_t colon = said_.rfind(':');
        return static_cast<std::uint16_t>(std::stoi(said_.substr(colon + 1)));
    }

    [[nodiscard]] std::string ask(std::string_view target) const {
        return web::live::Client(port()).ask(web::live::get(target));
    }

    [[nodiscard]] json ask_json(std::string_view target) const {
        const std::string response = ask(target);
        return json::parse(response.substr(response.find("\r\n\r\n") + 4));
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

TEST(Demo, SaysOnceHowTheVanStands) {
    const auto ran = run_amphora({"demo", "--once", "--until", "2026-03-07T16:13:00Z", "--years", "0.02"});
    EXPECT_EQ(ran.exit_code, 0);
    EXPECT_THAT(ran.out, HasSubstr("Blue Heron"));
    EXPECT_THAT(ran.out, ContainsRegex("2026-03-07 16:1[23] UTC"));
    EXPECT_THAT(ran.out, ContainsRegex("[0-9]+ % ± [0-9]+"));
}

TEST(Demo, IsTheSameForTheSameTime) {
    const std::vector<std::string> words{"demo", "--once", "--until", "2026-03-07T16:13:00Z", "--years", "0.02"};
    EXPECT_EQ(run_amphora(words).out, run_amphora(words).out);
}

TEST(Demo, RefusesWhatMakesNoSense) {
    for (const std::vector<std::string>& words : {std::vector<std::string>{"demo", "--speed", "0"},
                                                  {"demo", "--years", "-1"},
                                                  {"demo", "--until", "tuesday"},
                                                  {"demo", "--port", "70000"}}) {
        const auto ran = run_amphora(words);
        EXPECT_EQ(ran.exit_code, 64) << words[1];
        EXPECT_THAT(ran.out, IsEmpty());
    }
}

TEST(Demo, ServesItsPageAndWhatThePageAsks) {
    ServedDemo demo({"--speed", "600"});
    EXPECT_THAT(demo.said(), MatchesRegex("http://127\\.0\\.0\\.1:[0-9]+/"));
    EXPECT_THAT(demo.ask("/"), HasSubstr("<title>Amphora</title>"));
    const json now = demo.ask_json("/api/v1/now");
    EXPECT_EQ(now["system"]["name"], "Blue Heron");
    EXPECT_EQ(now["demonstration_speed"], 600.0);
    EXPECT_GT(now["state_of_charge"]["sd"], 0.0);
    const json span = demo.ask_json("/api/v1/span");
    EXPECT_GT(span["edges"].size(), 280U);
    EXPECT_TRUE(span["hindsight"][100].is_number());
    EXPECT_EQ(demo.stop(), 0) << "SIGTERM is a clean end";
}

TEST(Demo, LivesOn) {
    const ServedDemo demo({"--speed", "600"});
    const web::live::Client client(demo.port());
    client.send(web::live::get("/api/v1/stream"));
    const std::string got = client.read_until([](std::string_view text) {
        const std::size_t first = text.find("event: now\n");
        return first != std::string_view::npos && text.find("\n\n", text.find("event: now\n", first + 1)) < text.size();
    });
    std::vector<double> moments;
    for (std::size_t at = got.find("data: "); at != std::string::npos; at = got.find("data: ", at + 1)) {
        moments.push_back(json::parse(got.substr(at + 6, got.find('\n', at) - at - 6))["at"]);
    }
    ASSERT_GE(moments.size(), 2U);
    EXPECT_GT(moments[1], moments[0]);
}

TEST(Demo, APortThatIsTakenIsSaid) {
    const ServedDemo demo({});
    const auto ran = run_amphora(
        {"demo", "--port", std::to_string(demo.port()), "--until", "2026-03-07T16:13:00Z", "--years", "0.01"});
    EXPECT_EQ(ran.exit_code, 69);
    EXPECT_THAT(ran.err, HasSubstr("Choose another port"));
}

}  // namespace
}  // namespace amphora::live
