#include "io/record/derive.hpp"

#include "io/record/merger.hpp"
#include "io/record/upkeep.hpp"
#include "record_fixture.hpp"

namespace amphora::record {
namespace {

class DeriveTest : public RecordTest {
protected:
    static Origin origin(const char* fingerprint = "one") {
        Origin o{System{}, fingerprint};
        o.system.battery.full = {Volt(14.2), Ampere(5.0), Second(600.0)};
        return o;
    }
    std::vector<Estimated> lived() { return must(estimates(file_, View::lived, {INT64_MIN, INT64_MAX})); }
};

TEST_F(DeriveTest, EstimatesCoverTheRecordAndAreMarked) {
    record(steady_log(40'000));
    EXPECT_FALSE(must(is_derived(file_, origin())));
    must(derive(file_, origin(), LocalDays::utc(), {}));
    EXPECT_TRUE(must(is_derived(file_, origin())));
    EXPECT_FALSE(must(is_derived(file_, origin("two"))));
    const auto found = lived();
    ASSERT_GT(found.size(), 600U);
    EXPECT_LT((Instant{new_year_us + 40'000 * second_us} - found.back().at).value(), 300.0);
    EXPECT_GT(must(estimates(file_, View::hindsight, {INT64_MIN, INT64_MAX})).size(), 600U);
}

TEST_F(DeriveTest, AnotherDescriptionGivesOtherEstimates) {
    record(steady_log(40'000));
    must(derive(file_, origin(), LocalDays::utc(), {}));
    const double before = lived().back().state_of_charge.mean.value();
    Origin small = origin("small");
    small.system.battery.design_capacity = AmpHour(40.0);
    must(derive(file_, small, LocalDays::utc(), {}));
    EXPECT_NE(lived().back().state_of_charge.mean.value(), before);
    EXPECT_TRUE(must(is_derived(file_, small)));
}

TEST_F(DeriveTest, NewReadingsMakeItStale) {
    record(steady_log(5'000));
    must(derive(file_, origin(), LocalDays::utc(), {}));
    auto merger = must(Merger::open(file_, LocalDays::utc()));
    must(merger.add(steady_log(100, new_year_us - 1000 * second_us)));
    must(merger.finish());
    EXPECT_FALSE(must(is_derived(file_, origin())));
}

TEST_F(DeriveTest, OneThatWasBrokenOffEndsTheSame) {
    record(steady_log(60'000));
    must(derive(file_, origin(), LocalDays::utc(), {}));
    const auto whole = lived();
    struct Interruption {};
    {
        Database(file_, Access::write).execute("DELETE FROM derived; DELETE FROM derivation");
        EXPECT_THROW((void)derive(file_, origin(), LocalDays::utc(),
                                  [](double share) {
                                      if (share > 0.5) throw Interruption();
                                  }),
                     Interruption);
    }
    EXPECT_FALSE(must(is_derived(file_, origin())));
    must(derive(file_, origin(), LocalDays::utc(), {}));
    const auto again = lived();
    ASSERT_EQ(again.size(), whole.size());
    for (std::size_t i = 0; i < whole.size(); ++i)
        ASSERT_EQ(again[i].state_of_charge.mean.value(), whole[i].state_of_charge.mean.value());
}

/// A record longer than a stretch is resumed after the stretches that are done; asked to begin afresh it is not.
TEST_F(DeriveTest, ALongOneIsResumedWhereItWas) {
    auto log = steady_log(68'400);  // 380 days
    for (std::size_t i = 0; i < log.size(); ++i)
        log[i].at.us = new_year_us + static_cast<std::int64_t>(i) * 480 * second_us;
    record(log);
    std::vector<double> shares;
    const auto note_shares = [&](double share) { shares.push_back(share); };
    must(derive(file_, origin(), LocalDays::utc(), note_shares));
    EXPECT_LT(shares.front(), 0.6);
    const auto whole = lived();
    struct Interruption {};
    must(begin_afresh(file_, LocalDays::utc()));
    EXPECT_FALSE(must(is_derived(file_, origin())));
    EXPECT_TRUE(lived().empty());
    const auto break_off = [](double share) {
        if (share > 0.99) throw Interruption();
    };
    EXPECT_THROW((void)derive(file_, origin(), LocalDays::utc(), break_off), Interruption);
    shares.clear();
    must(derive(file_, origin(), LocalDays::utc(), note_shares));
    EXPECT_GT(shares.front(), 0.9) << "the first stretch is done already";
    const auto again = lived();
    ASSERT_EQ(again.size(), whole.size());
    for (std::size_t i = 0; i < whole.size(); ++i)
        ASSERT_EQ(again[i].state_of_charge.mean.value(), whole[i].state_of_charge.mean.value());
}

}  // namespace
}  // namespace amphora::record
