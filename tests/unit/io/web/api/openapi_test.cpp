// docs/reference/openapi.json and the server say the same.
#include <fstream>
#include <set>

#include "io/access/passphrase.hpp"
#include "io/web/entrance.hpp"
#include "support/json_schema.hpp"
#include "unit/io/web/api/desk_fixture.hpp"

namespace amphora::web {
namespace {

using nlohmann::json;

class OpenApi : public DeskTest {
protected:
    OpenApi() {
        std::ifstream in(AMPHORA_SOURCE_DIR "/docs/reference/openapi.json");
        file = json::parse(in);
    }
    /// What is wrong with an answer, by the file.
    std::string fault(const std::string& path, const std::string& method, const Response& response) {
        const json& answers = file["paths"][path][method]["responses"];
        const std::string status = std::to_string(response.status);
        const json& content = answers[answers.contains(status) ? status : "default"]["content"];
        const std::string type(response.type.substr(0, response.type.find(';')));
        if (!content.contains(type)) return path + ": " + type + " is not described";
        if (!content[type].contains("schema")) return "";
        const auto wrong = SchemaCheck(file).fault(content[type]["schema"], json::parse(response.body.bytes()));
        return wrong.empty() ? "" : path + ": " + wrong;
    }
    json file;
};

TEST_F(OpenApi, NamesEveryPathAndMethodAndNoOther) {
    std::set<std::string> served;
    std::set<std::string> described_ones;
    for (const Route& route : routes.all())
        served.insert((route.method == Method::get ? "get " : "post ") + route.path);
    for (const auto& [path, methods] : file["paths"].items())
        for (const auto& [method, what] : methods.items()) described_ones.insert(method + " " + path);
    EXPECT_EQ(served, described_ones);
}

TEST_F(OpenApi, SaysWhichPathsChangeSomething) {
    for (const Route& route : routes.all()) {
        if (route.method != Method::post) continue;
        const std::string_view access = route.access == Access::change ? "change"
                                        : route.access == Access::look ? "look"
                                                                       : "knock";
        EXPECT_EQ(file["paths"][route.path]["post"]["x-access"], access) << route.path;
    }
}

TEST_F(OpenApi, EveryAnswerIsAsItSays) {
    live.now.emplace();
    live.now->full = SinceFull{};
    live.now->flows = {{"solar", Ampere(3)}};
    for (const Route& route : routes.all())
        if (route.method == Method::get && route.events == nullptr) {
            EXPECT_EQ(fault(route.path, "get", ask(route.path)), "");
        }
    EXPECT_EQ(fault("/api/v1/span", "get", ask("/api/v1/span", "from=1704067200&to=1704326400")), "");
    EXPECT_EQ(fault("/api/v1/bars", "get", ask("/api/v1/bars", "from=1704067200&to=1704326400")), "");
    for (const auto& figure : ask_json("/api/v1/why")["figures"])
        EXPECT_EQ(fault("/api/v1/why", "get", ask("/api/v1/why", "figure=" + std::string(figure))), "");
    EXPECT_EQ(fault("/api/v1/why", "get", ask("/api/v1/why", "figure=nothing")), "");
    EXPECT_EQ(
        fault("/api/v1/description/validate", "post", send("/api/v1/description/validate", json{{"text", described}})),
        "");
    EXPECT_EQ(fault("/api/v1/description/validate", "post", send("/api/v1/description/validate", json{{"text", "x"}})),
              "");
    EXPECT_EQ(fault("/api/v1/description/save", "post", send("/api/v1/description/save", json{{"text", "x"}})), "");
    EXPECT_EQ(fault("/api/v1/record/import/preview", "post",
                    send("/api/v1/record/import/preview",
                         std::string("time_utc,current_a\n1704326400,1\n1704326460,2\nx,y\n"))),
              "");
    EXPECT_EQ(fault("/api/v1/record/backup", "post", send("/api/v1/record/backup", std::string("{}"))), "");
    ended();
    EXPECT_EQ(fault("/api/v1/work", "get", ask("/api/v1/work")), "");
}

TEST_F(OpenApi, SigningInIsAsItSays) {
    access::Visitors visitors{access::StateFile(folder.path() / "boat.access")};
    ASSERT_TRUE(visitors.set_passphrase(access::hash_passphrase("lantern otter gravel seven").value()));
    Entrance entrance{.visitors = visitors};
    entrance.links = [] { return std::vector<std::string>{"http://192.168.8.1:8765"}; };
    desk.entrance = &entrance;
    const std::string at = "/api/v1/access";
    const Response invited = send(at + "/invite", json{{"view_only", true}});
    EXPECT_EQ(fault(at + "/invite", "post", invited), "");
    const std::string link = json::parse(invited.body.bytes())["links"][0]["link"];
    const json pairing{{"token", link.substr(link.find("token=") + 6)}, {"name", "phone"}};
    EXPECT_EQ(fault(at + "/pair", "post", send(at + "/pair", pairing)), "");
    EXPECT_EQ(fault(at + "/pair", "post", send(at + "/pair", pairing)), "");
    const auto errand =
        send(at + "/sign-in", json{{"passphrase", "lantern otter gravel seven"}, {"name", "desk"}}).errand;
    errand->elsewhere();
    EXPECT_EQ(fault(at + "/sign-in", "post", errand->after()), "");
    EXPECT_EQ(fault(at + "/devices", "get", ask(at + "/devices")), "");
    const std::string id = visitors.devices().front().id;
    EXPECT_EQ(fault(at + "/devices/remove", "post", send(at + "/devices/remove", json{{"id", id}})), "");
    EXPECT_EQ(fault(at + "/sign-out", "post", send(at + "/sign-out", json::object())), "");
    const std::string cookie = "amphora=" + visitors.admit("phone", access::Role::view).value().secret;
    EXPECT_EQ(fault(at, "get", routes.find(Method::get, at)->handle({at, {}, "", cookie})), "");
}

TEST_F(OpenApi, TheCheckFindsWhatIsWrong) {
    const SchemaCheck check(file);
    const json schema{{"$ref", "#/components/schemas/Uncertain"}};
    EXPECT_EQ(check.fault(schema, {{"mean", 1}, {"sd", nullptr}}), "");
    EXPECT_NE(check.fault(schema, {{"mean", 1}}), "");
    EXPECT_NE(check.fault(schema, {{"mean", "1"}, {"sd", 2}}), "");
    EXPECT_NE(check.fault(schema, {{"mean", 1}, {"sd", 2}, {"more", 3}}), "");
}

}  // namespace
}  // namespace amphora::web
