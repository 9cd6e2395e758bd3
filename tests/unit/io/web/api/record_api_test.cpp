#include "io/web/api/record_api.hpp"

#include <algorithm>
#include <fstream>
#include <future>
#include <iterator>

#include "io/web/api/upload.hpp"
#include "unit/io/web/api/desk_fixture.hpp"

namespace amphora::web {
namespace {

using nlohmann::json;

class RecordApi : public DeskTest {
protected:
    /// A log of the day after: one reading a minute.
    static std::string log() {
        std::string text = "time_utc,current_a,voltage_v\n";
        for (int i = 0; i < 1440; ++i)
            text += std::to_string(1704326400 + 60 * i) + "," + (i / 60 % 2 == 0 ? "-2.5,13.05" : "3.5,13.35") + "\n";
        return text;
    }
    json import(const std::string& text) {
        const json seen = json::parse(send("/api/v1/record/import/preview", text.substr(0, 4000)).body.bytes());
        const json begun = json::parse(
            send("/api/v1/record/import/begin", json{{"name", "log.csv"}, {"mapping", seen["mapping"]}}).body.bytes());
        const std::string upload = begun["upload"];
        for (std::size_t at = 0; at < text.size(); at += 10'000)
            EXPECT_EQ(send("/api/v1/record/import/piece", text.substr(at, 10'000), "upload=" + upload).status, 200U);
        EXPECT_EQ(send("/api/v1/record/import/finish", json{{"upload", upload}}).status, 202U);
        return ended();
    }
};

TEST_F(RecordApi, ShowsHowALogWouldBeReadAndChangesNothing) {
    const json seen = json::parse(send("/api/v1/record/import/preview", log()).body.bytes());
    EXPECT_EQ(seen["lines"], 1440);
    EXPECT_EQ(seen["bad"], 0);
    EXPECT_EQ(seen["sign"], "agrees");
    EXPECT_EQ(seen["readings"][0],
              (json{{"at", 1704326400.0}, {"current_a", -2.5}, {"voltage_v", 13.05}, {"temperature_c", nullptr}}));
    EXPECT_EQ(ask_json("/api/v1/record")["readings"], 3 * 8640);
    EXPECT_EQ(send("/api/v1/record/import/preview", std::string("no log at all")).status, 422U);
}

TEST_F(RecordApi, TakesALogInOnce) {
    const json first = import(log());
    EXPECT_EQ(first["well"], true) << first;
    EXPECT_EQ(first["figures"]["added"], 1440);
    EXPECT_EQ(ask_json("/api/v1/record")["readings"], 3 * 8640 + 1440);
    EXPECT_TRUE(ask_json("/api/v1/span", "from=1704330000&to=1704400000&points=10")["hindsight"][5].is_number())
        << "it was derived again";
    EXPECT_EQ(import(log())["figures"]["added"], 0);
}

/// The preview sees the beginning, which has currents only; the voltages follow far below.
TEST_F(RecordApi, TakesWhatFollowsTheBeginningOfALogThatIsGrouped) {
    std::string text = "at,name,value\n";
    for (const char* name : {"battery_current", "battery_voltage"})
        for (int i = 0; i < 1440; ++i)
            text += std::to_string(1704326400 + 60 * i) + "," + name + "," +
                    (name[8] == 'c' ? (i / 60 % 2 == 0 ? "-2.5" : "3.5") : (i / 60 % 2 == 0 ? "13.05" : "13.35")) +
                    "\n";
    const json taken = import(text);
    EXPECT_EQ(taken["well"], true) << taken;
    EXPECT_EQ(taken["figures"]["added"], 1440);
    EXPECT_NE(taken["sentence"].get<std::string>().find("as battery_voltage"), std::string::npos) << taken;
    EXPECT_EQ(taken["sentence"].get<std::string>().find("sign"), std::string::npos) << taken;
    const json chart = ask_json("/api/v1/span", "from=1704326400&to=1704412800&points=24");
    EXPECT_TRUE(chart.dump().find("13.35") != std::string::npos) << chart;
}

class EmptyRecordApi : public DeskTest {
protected:
    EmptyRecordApi() : DeskTest(false) {}
};

TEST_F(EmptyRecordApi, ALogWithoutReadingsLeavesNoRecordBehind) {
    const char* const mapping = "time_columns = [\"t\"]\ntime_format = \"unix\"\ncurrent = {column = \"i\"}\n";
    for (const char* text : {"t,i\n", "t,i\nx,1\ny,2\n", "a,b\n1,2\n"}) {
        const json begun = json::parse(
            send("/api/v1/record/import/begin", json{{"name", "log.csv"}, {"mapping", mapping}}).body.bytes());
        send("/api/v1/record/import/piece", std::string(text), "upload=" + begun["upload"].get<std::string>());
        EXPECT_EQ(send("/api/v1/record/import/finish", json{{"upload", begun["upload"]}}).status, 202U);
        const json said = ended();
        EXPECT_EQ(said["well"], false) << said;
        EXPECT_FALSE(said["sentence"].get<std::string>().empty()) << said;
        for (const char* part : {"", "-wal", "-shm"})
            EXPECT_FALSE(std::filesystem::exists(past.file().string() + part)) << text << part;
    }
}

TEST_F(RecordApi, AFinishThatComesTooEarlyLosesNothing) {
    const json seen = json::parse(send("/api/v1/record/import/preview", log()).body.bytes());
    const auto begin = [&] {
        return json::parse(
            send("/api/v1/record/import/begin", json{{"name", "log.csv"}, {"mapping", seen["mapping"]}}).body.bytes());
    };
    const std::string upload = begin()["upload"];
    EXPECT_EQ(send("/api/v1/record/import/piece", log(), "upload=" + upload).status, 200U);
    std::promise<void> go_on;
    ASSERT_TRUE(work.begin("other", [&go_on](const Tell&) {
        go_on.get_future().wait();
        return Outcome{true, nullptr, ""};
    }));
    EXPECT_EQ(send("/api/v1/record/import/finish", json{{"upload", upload}}).status, 409U);
    go_on.set_value();
    ended();
    EXPECT_EQ(send("/api/v1/record/import/finish", json{{"upload", upload}}).status, 202U);
    EXPECT_EQ(ended()["figures"]["added"], 1440);
}

TEST_F(RecordApi, AnUploadLeavesTheOneThatIsBeingTakenInAlone) {
    Upload upload(folder.path());
    const json seen = json::parse(send("/api/v1/record/import/preview", log()).body.bytes());
    const std::string request = json{{"name", "a"}, {"mapping", seen["mapping"]}}.dump();
    ASSERT_EQ(upload.begin({"/", {}, request}).status, 200U);
    ASSERT_EQ(upload.piece({"/", Query::parse("upload=u1").value_or(Query{}), "the first"}).status, 200U);
    const SentLog first = upload.close();
    ASSERT_EQ(upload.begin({"/", {}, request}).status, 200U);
    std::ifstream in(first.file);
    EXPECT_EQ(std::string(std::istreambuf_iterator<char>(in), {}), "the first");
    EXPECT_NE(upload.close().file, first.file);
}

TEST_F(RecordApi, APieceOfNoUploadIsRefused) {
    EXPECT_EQ(send("/api/v1/record/import/piece", std::string("x"), "upload=u9").status, 404U);
    EXPECT_EQ(send("/api/v1/record/import/finish", json{{"upload", "u9"}}).status, 404U);
    EXPECT_EQ(send("/api/v1/record/import/begin", json{{"name", "x"}, {"mapping", "nonsense ="}}).status, 422U);
}

TEST_F(RecordApi, WhatIsExportedIsAllThereIs) {
    const std::string text = whole(ask("/api/v1/record/export"));
    EXPECT_EQ(text.substr(0, 44), "time_utc,current_a,voltage_v,temperature_c\n1");
    EXPECT_EQ(std::ranges::count(text, '\n'), 3 * 8640 + 1);
    EXPECT_EQ(std::ranges::count(whole(ask("/api/v1/record/export", "by=hour&format=jsonl")), '\n'), 72);
    EXPECT_EQ(std::ranges::count(whole(ask("/api/v1/record/export", "from=1704067200&to=1704067260")), '\n'), 7);
    EXPECT_EQ(ask("/api/v1/record/export", "by=year").status, 400U);
    EXPECT_EQ(ask("/api/v1/record/export", "format=pdf").status, 400U);
}

TEST_F(RecordApi, TheCopyIsARecord) {
    EXPECT_EQ(ask("/api/v1/record/backup").status, 404U);
    EXPECT_EQ(send("/api/v1/record/backup", std::string("{}")).status, 202U);
    EXPECT_EQ(ended()["well"], true);
    const Response copy = ask("/api/v1/record/backup");
    const auto file = folder.path() / "taken.amphora";
    std::ofstream(file, std::ios::binary) << whole(copy);
    const auto reader = record::Reader::open(file);
    ASSERT_TRUE(reader.has_value());
    EXPECT_EQ(reader->count(), 3U * 8640U);
}

}  // namespace
}  // namespace amphora::web
