#include "io/access/passphrase.hpp"
#include "io/web/entrance.hpp"
#include "unit/io/web/api/desk_fixture.hpp"

namespace amphora::web {
namespace {

using nlohmann::json;

class AccessApi : public DeskTest {
protected:
    AccessApi() : DeskTest(false) {
        static const std::string hash = access::hash_passphrase("lantern otter gravel seven").value();
        EXPECT_TRUE(visitors.set_passphrase(hash));
        entrance.links = [] { return std::vector<std::string>{"http://192.168.8.1:8765"}; };
        desk.entrance = &entrance;
    }
    /// A POST of another device, with what it waits for done.
    Response post(const std::string& what, const json& body) {
        const std::string path = "/api/v1/access/" + what, text = body.dump();
        Request request{path, {}, text, cookie};
        request.peer = "192.168.8.20";
        request.here = "192.168.8.1";
        Response response = routes.find(Method::post, path)->handle(request);
        while (response.errand) {
            const auto errand = response.errand;
            errand->elsewhere();
            response = errand->after();
        }
        return response;
    }
    json standing() {
        Request request{"/api/v1/access", {}, "", cookie};
        request.peer = "192.168.8.20";
        return json::parse(routes.find(Method::get, "/api/v1/access")->handle(request).body.bytes());
    }
    static json body_of(const Response& response) { return json::parse(response.body.bytes()); }
    void keep_cookie(const Response& response) {
        const std::string line = response.headers.at(0).second;
        cookie = line.substr(0, line.find(';'));
    }

    access::Visitors visitors{access::StateFile(folder.path() / "boat.access")};
    Entrance entrance{.visitors = visitors};
    std::string cookie;
    const json right{{"passphrase", "lantern otter gravel seven"}, {"name", "phone"}};
    const json wrong{{"passphrase", "lantern otter gravel eight"}, {"name", "phone"}};
};

TEST_F(AccessApi, SignsInWithThePassphrase) {
    EXPECT_EQ(standing()["may"], "nothing");
    const Response in = post("sign-in", right);
    EXPECT_EQ(in.status, 200U) << in.body.bytes();
    EXPECT_EQ(body_of(in)["device"]["role"], "full");
    EXPECT_TRUE(in.headers.at(0).second.ends_with("HttpOnly; SameSite=Strict"));
    EXPECT_EQ(in.body.bytes().find(in.headers.at(0).second.substr(8, 43)), std::string::npos) << "the page is not told";
    keep_cookie(in);
    EXPECT_EQ(standing()["may"], "change");
    EXPECT_EQ(standing()["device"]["name"], "phone");
}

TEST_F(AccessApi, GivesNoMoreRightsThanAreWanted) {
    json only_look = right;
    only_look["view_only"] = true;
    keep_cookie(post("sign-in", only_look));
    EXPECT_EQ(standing()["may"], "look");
}

TEST_F(AccessApi, SaysHowLongToWaitAfterWrongOnes) {
    EXPECT_EQ(post("sign-in", wrong).status, 403U);
    EXPECT_EQ(post("sign-in", wrong).status, 403U);
    const Response third = post("sign-in", wrong);
    EXPECT_EQ(third.status, 429U);
    EXPECT_NE(std::string(body_of(third)["detail"]).find("Wait 4 seconds"), std::string::npos) << third.body.bytes();
    const Response early = post("sign-in", right);
    EXPECT_EQ(early.status, 429U) << "not even the right one is tried";
    EXPECT_EQ(early.headers.at(0).first, "Retry-After");
}

TEST_F(AccessApi, PairsOnce) {
    const Response invited = post("invite", {{"view_only", true}});
    const json link = body_of(invited)["links"][0];
    EXPECT_TRUE(std::string(link["link"]).starts_with("http://192.168.8.1:8765/#/pair?token="));
    EXPECT_GT(int(link["size"]), 20);
    const std::string token = std::string(link["link"]).substr(37);
    EXPECT_EQ(post("pair", {{"token", "x" + token}, {"name", "phone"}}).status, 403U);
    const Response in = post("pair", {{"token", token}, {"name", "phone"}});
    EXPECT_EQ(body_of(in)["device"]["role"], "view");
    EXPECT_EQ(post("pair", {{"token", token}, {"name", "thief"}}).status, 403U);
    EXPECT_EQ(visitors.devices().size(), 1U);
}

TEST_F(AccessApi, GuessingTokensIsSlowedToo) {
    for (int i = 0; i < 3; ++i) EXPECT_EQ(post("pair", {{"token", "guess"}, {"name", "x"}}).status, 403U);
    EXPECT_EQ(post("pair", {{"token", "guess"}, {"name", "x"}}).status, 429U);
    EXPECT_EQ(post("sign-in", right).status, 200U) << "and keeps nobody from signing in";
}

TEST_F(AccessApi, SignsOutOnceAndForAll) {
    keep_cookie(post("sign-in", right));
    const std::string before = cookie;
    const Response out = post("sign-out", json::object());
    EXPECT_NE(out.headers.at(0).second.find("Max-Age=0"), std::string::npos);
    cookie = before;
    EXPECT_EQ(standing()["may"], "nothing");
    EXPECT_EQ(post("sign-out", json::object()).status, 200U) << "a stranger may too";
}

TEST_F(AccessApi, ListsAndRemovesDevices) {
    keep_cookie(post("sign-in", right));
    const json list = ask_json("/api/v1/access/devices")["devices"];
    ASSERT_EQ(list.size(), 1U);
    EXPECT_EQ(post("devices/remove", {{"id", "none"}}).status, 404U);
    EXPECT_EQ(post("devices/remove", {{"id", list[0]["id"]}}).status, 200U);
    EXPECT_EQ(standing()["may"], "nothing");
}

TEST_F(AccessApi, RefusesWhatMakesNoSense) {
    for (const json& body : {json::object(), json::array(), json{{"passphrase", 1}, {"name", "x"}},
                             json{{"passphrase", std::string(1000, 'a')}, {"name", "x"}},
                             json{{"passphrase", "lantern otter gravel seven"}, {"name", "\x1b[2J"}}})
        EXPECT_EQ(post("sign-in", body).status, 400U) << body;
    EXPECT_EQ(post("pair", {{"token", 5}, {"name", "x"}}).status, 400U);
    EXPECT_EQ(post("pair", {{"token", "x"}, {"name", ""}}).status, 400U);
    EXPECT_EQ(post("devices/remove", json::object()).status, 400U);
    EXPECT_EQ(post("invite", json::array()).status, 400U);
    EXPECT_TRUE(visitors.set_passphrase(""));
    EXPECT_EQ(post("sign-in", right).status, 409U);
}

TEST_F(AccessApi, WithoutAnEntranceNobodyIsAsked) {
    desk.entrance = nullptr;
    EXPECT_EQ(standing()["asks"], false);
    EXPECT_EQ(standing()["may"], "look");
    EXPECT_EQ(post("sign-in", right).status, 409U);
    EXPECT_TRUE(ask_json("/api/v1/access/devices")["devices"].empty());
}

}  // namespace
}  // namespace amphora::web
