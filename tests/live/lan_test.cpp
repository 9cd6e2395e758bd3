// The page for other devices, as the program serves it, and `amphora devices`.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <string>

#include "live/program.hpp"
#include "live/served_page.hpp"
#include "support/scratch_folder.hpp"

namespace amphora::live {
namespace {

using testing::HasSubstr;
using testing::MatchesRegex;
using testing::Not;
using testing::StartsWith;

class Lan : public testing::Test {
protected:
    void SetUp() override {
        std::ofstream(system_) << "[system]\nname = \"Blue Heron\"\n[battery]\nchemistry = \"lfp\"\n"
                                  "design_capacity_ah = 200\n";
        std::ofstream(passphrase_) << "lantern otter gravel seven\n";
    }
    std::vector<std::string> served() const {
        return {"page",           "--system",          system_,    "--port", "0", "--lan", "--address", "127.0.0.1",
                "--ask-here-too", "--passphrase-file", passphrase_};
    }
    Ran devices(std::vector<std::string> words) const {
        words.insert(words.begin(), "devices");
        words.insert(words.end(), {"--system", system_});
        return run_amphora(words);
    }
    static int status(const ServedPage& page, const std::string& headers) {
        return web::live::status_of(web::live::Client(page.port()).ask(web::live::get("/api/v1/now", headers)));
    }
    static std::string post(const ServedPage& page, const std::string& path, const std::string& body) {
        return web::live::Client(page.port())
            .ask("POST " + path + " HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: " +
                 std::to_string(body.size()) + "\r\n\r\n" + body);
    }
    static std::string cookie_of(const std::string& response) {
        const std::size_t at = response.find("Set-Cookie: ");
        return at == std::string::npos
                   ? ""
                   : "Cookie: " + response.substr(at + 12, response.find(';', at) - at - 12) + "\r\n";
    }

    ScratchFolder folder_;
    std::string system_ = (folder_.path() / "van.toml").string();
    std::string passphrase_ = (folder_.path() / "passphrase").string();
};

TEST_F(Lan, IsNotServedWithoutAPassphrase) {
    for (const auto* command : {"page", "serve"}) {
        const Ran ran = command == std::string("page") ? run_amphora({"page", "--system", system_, "--lan"})
                                                       : run_amphora({"serve", system_, "--lan"});
        EXPECT_EQ(ran.exit_code, 78);
        EXPECT_THAT(ran.err, HasSubstr("--passphrase-file"));
    }
    std::ofstream(passphrase_) << "too short\n";
    const Ran ran = run_amphora(served());
    EXPECT_EQ(ran.exit_code, 78);
    EXPECT_THAT(ran.err, HasSubstr("at least 12 characters"));
}

TEST_F(Lan, ADeviceSignsInIsListedAndIsSentAway) {
    const ServedPage page(served());
    EXPECT_EQ(status(page, ""), 401);
    const std::string in =
        post(page, "/api/v1/access/sign-in", R"({"passphrase":"lantern otter gravel seven","name":"bed's phone"})");
    const std::string cookie = cookie_of(in);
    EXPECT_THAT(cookie, StartsWith("Cookie: amphora_" + std::to_string(page.port()) + "="));
    EXPECT_EQ(status(page, cookie), 200);

    const Ran list = devices({});
    EXPECT_THAT(list.out,
                MatchesRegex("[0-9a-f]{12}  bed's phone, may change things; signed in 20.*, last seen 20.*\n"));
    EXPECT_EQ(devices({"remove", "some phone"}).exit_code, 64);
    EXPECT_EQ(devices({"remove", "bed's phone"}).out, "bed's phone is signed out\n");
    EXPECT_EQ(status(page, cookie), 401) << "at once, in another process";
    EXPECT_THAT(devices({}).out, HasSubstr("no device"));
}

TEST_F(Lan, ACodeOfTheCommandLineLetsADeviceIn) {
    EXPECT_EQ(devices({"invite"}).exit_code, 78) << "nobody could open it";
    const ServedPage page(served());
    const Ran invited = devices({"invite", "--view-only"});
    EXPECT_THAT(invited.err, HasSubstr("\u2588\u2588\u2588"));
    EXPECT_THAT(invited.err, HasSubstr("to look and nothing more, within 10 minutes"));
    const std::string before = "http://127.0.0.1:" + std::to_string(page.port()) + "/#/pair?token=";
    ASSERT_THAT(invited.err, HasSubstr(before));
    const std::string token = invited.err.substr(invited.err.find(before) + before.size(), 22);
    const std::string body = R"({"token":")" + token + R"(","name":"guest"})";
    EXPECT_EQ(status(page, cookie_of(post(page, "/api/v1/access/pair", body))), 200);
    EXPECT_EQ(web::live::status_of(post(page, "/api/v1/access/pair", body)), 403);
}

TEST_F(Lan, AKeyIsForScripts) {
    const ServedPage page(served());
    const Ran key = devices({"key", "shore script", "--view-only"});
    EXPECT_THAT(key.out, MatchesRegex("[A-Za-z0-9_-]{43}\n"));
    EXPECT_THAT(key.err, Not(HasSubstr(key.out.substr(0, 43))));
    EXPECT_EQ(status(page, "Authorization: Bearer " + key.out.substr(0, 43) + "\r\n"), 200);
    const auto listed = nlohmann::json::parse(devices({"--json"}).out);
    EXPECT_EQ(listed[0]["name"], "shore script");
    EXPECT_EQ(listed[0]["role"], "view");
    EXPECT_FALSE(listed[0].contains("secret"));
    EXPECT_EQ(devices({"key"}).exit_code, 64);
}

TEST_F(Lan, APassphraseIsAskedForAtATerminalAndNotShown) {
    const Ran ran = answer_on_terminal({"devices", "passphrase", "--system", system_},
                                       {{"not shown): ", "short"},
                                        {"not shown): ", "lantern otter gravel seven"},
                                        {"The same again: ", "lantern otter gravel eight"},
                                        {"not shown): ", "lantern otter gravel seven"},
                                        {"The same again: ", "lantern otter gravel seven"}});
    EXPECT_EQ(ran.exit_code, 0) << ran.out;
    EXPECT_THAT(ran.out, HasSubstr("at least 12 characters"));
    EXPECT_THAT(ran.out, HasSubstr("They are not the same."));
    EXPECT_THAT(ran.out, HasSubstr("the passphrase is set"));
    EXPECT_THAT(ran.out, Not(HasSubstr("lantern")));

    const Ran broken_off =
        answer_on_terminal({"devices", "passphrase", "--system", system_}, {{"not shown): ", "\x03"}});
    EXPECT_NE(broken_off.exit_code, 0);
}

}  // namespace
}  // namespace amphora::live
