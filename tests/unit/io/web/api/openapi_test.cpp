// docs/reference/openapi.json and the server say the same.
#include <fstream>
#include <set>

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
        EXPECT_EQ(file["paths"][route.path]["post"]["x-access"], route.access == Access::change ? "change" : "look")
            << route.path;
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
