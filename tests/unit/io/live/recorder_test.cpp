// The recorder as a whole, on an invented van and a clock that can be set: it records, answers, and goes on.
#include "io/live/recorder.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <future>
#include <thread>

#include "io/describe/describe.hpp"
#include "io/live/socket_client.hpp"
#include "io/record/reader.hpp"
#include "support/scratch_folder.hpp"

namespace amphora::live {
namespace {

/// The computer's boot-time clock, a hundred times as fast; the wall clock stands where the test puts it.
class FastClock : public BootClock {
public:
    [[nodiscard]] BootTime now() const override { return BootTime{computer_clock().now().us * 100}; }
    [[nodiscard]] WallTime wall() const override { return {Instant{now().us + wall_less_boot_us}, synchronised}; }
    [[nodiscard]] std::string boot_id() const override { return "boot"; }
    [[nodiscard]] std::chrono::microseconds wait(Second time) const override {
        return std::chrono::microseconds(static_cast<std::int64_t>(time.value() * 1e4));
    }
    std::int64_t wall_less_boot_us = std::int64_t{1'780'000'000} * 1'000'000 - computer_clock().now().us * 100;
    bool synchronised = true;
};

System van() {
    const auto described = describe::describe_text(
        "[system]\nname = \"Blue Heron\"\n[battery]\nchemistry = \"lfp\"\ndesign_capacity_ah = 200\n[live]\n"
        "durability_s = 10\n[[source]]\nname = \"van\"\nkind = \"twin\"\n"
        "[[source.channel]]\nmeasures = \"current\"\n[[source.channel]]\nmeasures = \"voltage\"\n");
    return described.value().system;
}

class Counter : public Watch {
public:
    struct Seen {
        int looks = 0;
        int ended = 0;
        bool knew_charge = false;
        Ampere current = Ampere::missing();
    };
    explicit Counter(Seen& seen) : seen_(seen) {}
    void look(const guard::Situation& s) override {
        ++seen_.looks;
        seen_.knew_charge = s.state_of_charge.mean.known();
        seen_.current = s.current;
    }
    void offer_requests(const Offer& offer) override {
        offer("looks", [this](const Json&) -> Json { return seen_.looks; });
    }
    void end() override { ++seen_.ended; }

private:
    Seen& seen_;
};

class RecorderTest : public testing::Test {
protected:
    RecorderSettings settings() const {
        RecorderSettings s;
        s.files = {folder_.path() / "van.amphora", folder_.path() / "van.checkpoint", "description"};
        s.socket = folder_.path() / "van.sock";
        return s;
    }
    /// Measures until that many readings were taken, then ends in good order.
    void measure(std::uint64_t readings, Counter::Seen& seen) {
        boost::asio::io_context loop(1);
        auto recorder = Recorder::open(loop, clock_, system_, settings());
        ASSERT_TRUE(recorder) << recorder.error();
        (*recorder)->add(std::make_unique<Counter>(seen));
        (*recorder)->start();
        const auto end = std::chrono::steady_clock::now() + std::chrono::seconds(20);
        while (std::chrono::steady_clock::now() < end) {
            loop.run_one_for(std::chrono::milliseconds(20));
            const Json now = (*recorder)->now();
            if (now["record"]["taken"] >= readings && !now["catching_up"]) break;
        }
        last_ = (*recorder)->now();
        (*recorder)->stop();
    }
    [[nodiscard]] std::uint64_t recorded() const {
        return record::Reader::open(folder_.path() / "van.amphora").value().count();
    }

    ScratchFolder folder_;
    FastClock clock_;
    System system_ = van();
    Json last_;
};

TEST_F(RecorderTest, KeepsEveryReadingAndEndsInGoodOrder) {
    Counter::Seen seen;
    measure(50, seen);
    EXPECT_GE(seen.looks, 50);
    EXPECT_EQ(seen.ended, 1);
    EXPECT_TRUE(seen.knew_charge);
    EXPECT_TRUE(seen.current.known());
    EXPECT_EQ(recorded(), last_["record"]["taken"]);
    EXPECT_EQ(last_["sources"][0]["state"], "running");
    EXPECT_FALSE(std::filesystem::exists(settings().socket));
}

TEST_F(RecorderTest, ASecondRunGoesOnFromTheCheckpoint) {
    Counter::Seen seen;
    measure(200, seen);
    const Estimate before = estimate_from(last_["estimate"]);
    const std::uint64_t first = recorded();
    EXPECT_TRUE(std::filesystem::exists(settings().files.checkpoint));
    measure(1, seen);
    EXPECT_GT(recorded(), first);
    const Estimate after = estimate_from(last_["estimate"]);
    EXPECT_GT(after.at, before.at);
    EXPECT_NEAR(after.state_of_charge.mean.value(), before.state_of_charge.mean.value(), 0.02);
    // The same without it: the record is the truth.
    std::filesystem::remove(settings().files.checkpoint);
    measure(1, seen);
    EXPECT_NEAR(estimate_from(last_["estimate"]).state_of_charge.mean.value(), after.state_of_charge.mean.value(),
                0.02);
}

TEST_F(RecorderTest, TheTrueTimeMovesWhatWasRecordedBeforeItWasKnown) {
    clock_.synchronised = false;
    clock_.wall_less_boot_us -= std::int64_t{86'400} * 1'000'000 * 365;
    Counter::Seen seen;
    measure(30, seen);
    const auto wrong = record::Reader::open(settings().files.record).value().extent();
    clock_.wall_less_boot_us += std::int64_t{86'400} * 1'000'000 * 365;
    clock_.synchronised = true;
    measure(60, seen);
    const auto right = record::Reader::open(settings().files.record).value().extent();
    EXPECT_NEAR(static_cast<double>(right->from_us - wrong->from_us) / 1e6, 86'400.0 * 365, 5.0);
    EXPECT_TRUE(last_["clock"]["synchronised"]);
    EXPECT_GE(recorded(), 90U);
    const double span = static_cast<double>(right->to_us - right->from_us) / 1e6;
    EXPECT_LT(span, 86'400);  // both runs are in one place
}

TEST_F(RecorderTest, AnswersAtItsSocket) {
    boost::asio::io_context loop(1);
    auto recorder = Recorder::open(loop, clock_, system_, settings());
    ASSERT_TRUE(recorder) << recorder.error();
    Counter::Seen seen;
    (*recorder)->add(std::make_unique<Counter>(seen));
    (*recorder)->start();
    auto asked = std::async(std::launch::async, [&] {
        auto client = SocketClient::connect(settings().socket);
        std::vector<Json> answers;
        if (!client) return answers;
        answers.push_back(client->ask("hello").value());
        answers.push_back(client->ask("looks").value());
        answers.push_back(client->ask("nonsense").error());
        EXPECT_TRUE(client->send({{"ask", "watch"}, {"id", 7}}));
        for (int i = 0; i < 3; ++i) answers.push_back(client->next(std::chrono::seconds(10)).value());
        return answers;
    });
    while (asked.wait_for(std::chrono::seconds(0)) != std::future_status::ready)
        loop.run_one_for(std::chrono::milliseconds(20));
    const auto answers = asked.get();
    ASSERT_EQ(answers.size(), 6U);
    EXPECT_EQ(answers[0]["system"], "Blue Heron");
    EXPECT_TRUE(answers[1].is_number());
    EXPECT_THAT(answers[2].get<std::string>(), testing::HasSubstr("watch, hello, looks, now, sources"));
    EXPECT_EQ(answers[3]["id"], 7);
    EXPECT_GT(answers[5]["now"]["at_us"], answers[3]["now"]["at_us"]);
    (*recorder)->stop();
}

TEST_F(RecorderTest, ASecondRecorderIsRefused) {
    boost::asio::io_context loop(1);
    const auto first = Recorder::open(loop, clock_, system_, settings());
    ASSERT_TRUE(first);
    const auto second = Recorder::open(loop, clock_, system_, settings());
    ASSERT_FALSE(second);
}

TEST(LiveJson, AnEstimateComesBackAsItWent) {
    Estimate e;
    e.at = Instant{1'780'000'000'123'456};
    e.state_of_charge = {Fraction(0.62), Fraction(0.04)};
    e.remaining = {AmpHour(84.5), AmpHour(8)};
    e.current = Ampere(-5.25);
    e.voltage = Volt(13.1);
    e.to_empty = {Second(3600), Second(7200), Second(std::numeric_limits<double>::infinity())};
    e.evidence = {Evidence::full, Instant{5}, AmpHour(1), AmpHour(2)};
    const Estimate back = estimate_from(Json::parse(to_json(e).dump()));
    EXPECT_EQ(back.at, e.at);
    EXPECT_EQ(back.state_of_charge.mean, e.state_of_charge.mean);
    EXPECT_EQ(back.remaining.sd, e.remaining.sd);
    EXPECT_EQ(back.current, e.current);
    EXPECT_EQ(back.power, e.voltage * e.current);
    EXPECT_FALSE(back.temperature.known());
    EXPECT_EQ(back.to_empty.high, e.to_empty.high);
    EXPECT_FALSE(back.to_full.likely.known());
    EXPECT_EQ(back.evidence.kind, Evidence::full);
    EXPECT_EQ(back.evidence.out_since, AmpHour(1));
}

}  // namespace
}  // namespace amphora::live
