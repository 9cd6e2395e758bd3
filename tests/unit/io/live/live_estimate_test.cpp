// What is believed while the record's past is being read: a guard on the state of charge must not be blind for so long.
#include "io/live/live_estimate.hpp"

#include <gtest/gtest.h>

#include <boost/asio/executor_work_guard.hpp>
#include <chrono>

#include "io/record/merger.hpp"
#include "io/record/writer.hpp"
#include "support/scratch_folder.hpp"

namespace amphora::live {
namespace {

constexpr std::int64_t begin_us = 1'780'000'000'000'000;

class CatchingUp : public testing::Test {
protected:
    CatchingUp() {
        system_.battery.chemistry = Chemistry::lfp;
        system_.battery.design_capacity = AmpHour(200);
        system_.battery.cells_in_series = 4;
        system_.battery.full = {Volt(13.9), Ampere(8), Second(180)};
        auto writer = record::Writer::open(files_.record).value();
        EXPECT_TRUE(writer.begin_boot("boot", 0, true));
        Pipeline pipeline(system_);
        for (int i = 0; i < 3600; ++i) {
            const Reading reading = at(i);
            EXPECT_TRUE(writer.append(reading));
            (void)pipeline.push(reading);
        }
        EXPECT_TRUE(writer.close());
        believed_ = pipeline.now();
        checkpoint_ = {pipeline.memory(), {}, at(3599).at.us, 3600, believed_.state_of_charge};
    }
    /// Full in the first half hour, so that the charge is known; then four amperes out.
    static Reading at(int second) {
        const bool full = second < 1800;
        return {Instant{begin_us + second * std::int64_t{1'000'000}}, Ampere(full ? 2.0 : -4.0),
                Volt(full ? 14.1 : 13.2), Celsius(20)};
    }
    /// One thing that the loop has to do, however long it takes to come.
    void next() { EXPECT_EQ(loop_.run_one_for(std::chrono::seconds(20)), 1U); }

    ScratchFolder folder_;
    System system_;
    EstimateFiles files_{folder_.path() / "van.amphora", folder_.path() / "van.checkpoint", "description"};
    Estimate believed_;
    Checkpoint checkpoint_{Pipeline(System{}).memory(), {}, 0, 0, {}};
    boost::asio::io_context loop_{1};
    boost::asio::executor_work_guard<boost::asio::io_context::executor_type> work_{loop_.get_executor()};
};

TEST_F(CatchingUp, WhatTheCheckpointRemembersGoesOnMeanwhile) {
    checkpoint_.readings = 3000;  // as after an import: the record has more than it knows of
    ASSERT_TRUE(save(checkpoint_, files_.fingerprint, files_.checkpoint));
    LiveEstimate estimate(loop_, system_, files_);
    estimate.catch_up();
    next();
    EXPECT_FALSE(estimate.ready());
    ASSERT_TRUE(estimate.now());
    EXPECT_NEAR(estimate.now()->state_of_charge.mean.value(), believed_.state_of_charge.mean.value(), 1e-9);
    estimate.push(at(3600));
    EXPECT_EQ(estimate.now()->at, at(3600).at);
    next();
    EXPECT_TRUE(estimate.ready());
    EXPECT_EQ(estimate.now()->at, at(3600).at) << "what came meanwhile is not lost";
    EXPECT_EQ(estimate.snapshot()->readings, 3601U);
}

// Of lines that wait in a terminal two may be read within a microsecond. Were one of them not counted, the next start
// would find a record that has more than its checkpoint knows of, and read all of it.
TEST_F(CatchingUp, TwoReadingsOfOneMomentThatCameMeanwhileBothCount) {
    LiveEstimate estimate(loop_, system_, files_);
    estimate.catch_up();
    estimate.push(at(3600));
    estimate.push(at(3600));
    next();
    EXPECT_TRUE(estimate.ready());
    EXPECT_EQ(estimate.snapshot()->readings, 3602U);
}

// After an update of the program, or of the description, all of the record is read anew.
TEST_F(CatchingUp, TheChargeOfAnOlderCheckpointStandsMeanwhile) {
    ASSERT_TRUE(save(checkpoint_, "another description", files_.checkpoint));
    LiveEstimate estimate(loop_, system_, files_);
    estimate.catch_up();
    EXPECT_FALSE(estimate.state_of_charge().mean.known());
    next();
    EXPECT_FALSE(estimate.ready());
    EXPECT_FALSE(estimate.now()) << "nothing more than the charge is known";
    EXPECT_NEAR(estimate.state_of_charge().mean.value(), believed_.state_of_charge.mean.value(), 1e-5);
    next();
    EXPECT_TRUE(estimate.ready());
}

TEST_F(CatchingUp, AChargeOfLongAgoSaysNothing) {
    checkpoint_.until_us -= std::int64_t{2} * 3600 * 1'000'000;
    ASSERT_TRUE(save(checkpoint_, "another description", files_.checkpoint));
    LiveEstimate estimate(loop_, system_, files_);
    estimate.catch_up();
    next();
    EXPECT_FALSE(estimate.state_of_charge().mean.known());
    next();
    EXPECT_TRUE(estimate.ready());
}

// A record of many months and no checkpoint: the newest thirty days are read first.
TEST_F(CatchingUp, WithoutACheckpointTheNewestDaysSpeakFirst) {
    const std::int64_t months_before = std::int64_t{120} * 86'400;
    EstimateFiles files{folder_.path() / "long.amphora", folder_.path() / "long.checkpoint", "description"};
    std::vector<Reading> log;
    for (std::int64_t s = -months_before; s < 0; s += 60)
        log.push_back({Instant{begin_us + s * 1'000'000}, Ampere(0.1), Volt(13.3), Celsius(20)});
    for (int i = 0; i < 3600; ++i) log.push_back(at(i));
    auto merger = record::Merger::open(files.record, record::LocalDays::utc());
    ASSERT_TRUE(merger && merger->add(log) && merger->finish());

    LiveEstimate estimate(loop_, system_, files);
    estimate.catch_up();
    next();
    EXPECT_FALSE(estimate.ready());
    ASSERT_TRUE(estimate.now());
    const auto early = estimate.now()->state_of_charge;
    EXPECT_EQ(estimate.now()->at, at(3599).at);
    EXPECT_FALSE(estimate.snapshot()) << "the newest days alone are not what is remembered";
    estimate.push(at(3600));
    EXPECT_EQ(estimate.now()->at, at(3600).at);
    next();
    EXPECT_TRUE(estimate.ready());
    EXPECT_EQ(estimate.snapshot()->readings, static_cast<std::uint64_t>(months_before / 60 + 3601));
    const auto late = estimate.state_of_charge();
    EXPECT_NEAR(early.mean.value(), late.mean.value(), 1.645 * early.sd.value()) << "within its own band";
}

TEST_F(CatchingUp, WhileTheBootIsMovedTheLastBeliefStands) {
    ASSERT_TRUE(save(checkpoint_, files_.fingerprint, files_.checkpoint));
    LiveEstimate estimate(loop_, system_, files_);
    estimate.catch_up();
    next();
    ASSERT_TRUE(estimate.ready());
    const Estimate before = *estimate.now();
    estimate.forget(7);
    ASSERT_TRUE(estimate.now());
    EXPECT_EQ(estimate.now()->state_of_charge.mean, before.state_of_charge.mean);
    EXPECT_EQ(estimate.now()->at.us, before.at.us + 7);
    EXPECT_FALSE(estimate.ready());
}

}  // namespace
}  // namespace amphora::live
