#include "io/web/api/description_api.hpp"

#include <algorithm>
#include <fstream>

#include "unit/io/web/api/desk_fixture.hpp"

namespace amphora::web {
namespace {

using nlohmann::json;

class DescriptionApi : public DeskTest {
protected:
    std::string mark() { return ask_json("/api/v1/description")["mark"]; }
    std::string changed = std::string(described) + "reserve = 0.3\n";
};

TEST_F(DescriptionApi, SaysWhatIsDescribedAndWhatIsAssumed) {
    const json said = ask_json("/api/v1/description");
    EXPECT_EQ(said["text"], described);
    EXPECT_EQ(said["valid"], true);
    EXPECT_EQ(said["system"]["battery"]["design_capacity_ah"], 100.0);
    EXPECT_FALSE(said["assumed"].empty());
}

TEST_F(DescriptionApi, AMistakeIsNamedWithItsPlaceAndNothingChanges) {
    const Response response =
        send("/api/v1/description/validate", {{"text", "format = 1\n[battery]\nchemistry = 1\n"}});
    const json said = json::parse(response.body.bytes());
    EXPECT_EQ(said["valid"], false);
    const bool named = std::ranges::any_of(said["mistakes"], [](const json& mistake) {
        return mistake["line"] == 3 && mistake["path"] == "battery.chemistry";
    });
    EXPECT_TRUE(named) << said["mistakes"];
    EXPECT_EQ(description.text(), described);
}

TEST_F(DescriptionApi, SavesAndKeepsWhatWasBefore) {
    std::optional<System> told;
    desk.on_description = [&](const System& s) { told = s; };
    const Response response = send("/api/v1/description/save", {{"text", changed}, {"mark", mark()}});
    ASSERT_EQ(response.status, 200U);
    EXPECT_EQ(description.text(), changed);
    ASSERT_TRUE(told.has_value());
    EXPECT_EQ(told->battery.reserve, Fraction(0.3));
    EXPECT_EQ(json::parse(response.body.bytes())["mark"], mark());
    std::ifstream before(description.file().string() + ".before");
    EXPECT_EQ(std::string(std::istreambuf_iterator<char>(before), {}), described);
}

TEST_F(DescriptionApi, DoesNotSaveOverAnothersChange) {
    const std::string old = mark();
    std::ofstream(description.file()) << changed << "# by hand\n";
    EXPECT_EQ(send("/api/v1/description/save", {{"text", changed}, {"mark", old}}).status, 409U);
    EXPECT_EQ(description.text(), changed + "# by hand\n");
}

TEST_F(DescriptionApi, DoesNotSaveAMistake) {
    EXPECT_EQ(send("/api/v1/description/save", {{"text", "nonsense"}, {"mark", mark()}}).status, 422U);
    EXPECT_EQ(send("/api/v1/description/save", {{"text", changed}}).status, 400U);
    EXPECT_EQ(send("/api/v1/description/save", std::string("[1")).status, 400U);
    EXPECT_EQ(description.text(), described);
}

// Who may change the description from a telephone may not run any program on the computer.
TEST_F(DescriptionApi, AProgramToRunIsNotPutInFromAPage) {
    const std::string guard =
        "[[relay]]\nname = \"loads\"\nkind = \"rehearsal\"\nwhen_blind = \"hold\"\n"
        "[[guard]]\nrelay = \"loads\"\nname = \"low\"\nwatch = \"voltage\"\ntrip_below = 12.0\nclear_above = 12.5\n";
    const std::string runs = changed + guard + "run = [\"/usr/local/bin/horn\", \"long\"]\n";
    const Response refused = send("/api/v1/description/save", {{"text", runs}, {"mark", mark()}});
    EXPECT_EQ(refused.status, 422U);
    EXPECT_NE(refused.body.bytes().find("could run anything"), std::string_view::npos) << refused.body.bytes();
    EXPECT_EQ(description.text(), described);
    EXPECT_EQ(send("/api/v1/description/save", {{"text", changed + guard}, {"mark", mark()}}).status, 200U);

    std::ofstream(description.file()) << runs;  // by hand
    EXPECT_EQ(send("/api/v1/description/save", {{"text", runs + "# more\n"}, {"mark", mark()}}).status, 200U);
    const std::string other = changed + guard + "run = [\"/usr/local/bin/horn\", \"short\"]\n";
    EXPECT_EQ(send("/api/v1/description/save", {{"text", other}, {"mark", mark()}}).status, 422U);
}

TEST_F(DescriptionApi, WhereItMayNotWriteItSaysWhatToDoInstead) {
    DescriptionFile elsewhere(folder.path() / "no folder" / "boat.toml");
    const auto saved = elsewhere.save(std::string(described), DescriptionFile::mark_of(""));
    ASSERT_FALSE(saved);
    EXPECT_EQ(saved.error().kind, SaveFault::Kind::unwritable);
    EXPECT_NE(saved.error().sentence.find("Copy the text from here, put it into " + elsewhere.file().string()),
              std::string::npos)
        << saved.error().sentence;
}

TEST_F(DescriptionApi, DrawsAndSaysWhatToTry) {
    const Response picture = ask("/api/v1/diagram.svg");
    EXPECT_EQ(picture.type, "image/svg+xml");
    EXPECT_NE(picture.body.bytes().find("<svg"), std::string_view::npos);
    EXPECT_EQ(ask("/api/v1/diagram.svg", "variant=round").status, 400U);
    EXPECT_GT(ask_json("/api/v1/commissioning")["steps"].size(), 5U);
    EXPECT_FALSE(ask_json("/api/v1/findings")["cautions"].empty());
}

}  // namespace
}  // namespace amphora::web
