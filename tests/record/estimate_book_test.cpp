#include "io/record/estimate_book.hpp"

#include "record_fixture.hpp"

namespace amphora::record {
namespace {

class EstimateBookTest : public RecordTest {
protected:
    static Origin origin() { return {System{}, "one"}; }
    static std::vector<std::int64_t> hours(std::int64_t count) {
        std::vector<std::int64_t> edges;
        for (std::int64_t h = 0; h <= count; ++h) edges.push_back(new_year_us + h * ledger::hour_us);
        return edges;
    }
};

TEST_F(EstimateBookTest, WhatIsDerivedAndWhatIsNotYetGiveTheSame) {
    record(steady_log(40'000));
    const Reader reader = must(Reader::open(file_));
    const EstimateBook followed = must(EstimateBook::open(file_, origin(), reader));
    must(derive(file_, origin(), LocalDays::utc(), {}));
    const EstimateBook read = must(EstimateBook::open(file_, origin(), reader));
    EXPECT_GT(followed.not_derived(), Second(39'000));
    EXPECT_LT(read.not_derived(), Second(300));
    const auto edges = hours(11);
    for (const View view : {View::lived, View::hindsight}) {
        const auto a = must(followed.levels(view, edges));
        const auto b = must(read.levels(view, edges));
        for (std::size_t i = 0; i < a.size(); ++i) {
            EXPECT_NEAR(a[i].state_of_charge.mean.value(), b[i].state_of_charge.mean.value(), 2e-4) << i;
            EXPECT_NEAR(a[i].state_of_charge.sd.value(), b[i].state_of_charge.sd.value(), 2e-4) << i;
            EXPECT_NEAR(a[i].lowest.value(), b[i].lowest.value(), 2e-4) << i;
            EXPECT_LE(a[i].lowest, a[i].highest) << i;
        }
    }
}

TEST_F(EstimateBookTest, FollowsWhatIsRecorded) {
    const auto log = steady_log(4'000);
    Writer w = writer({Second(1), LocalDays::utc(), {}});
    for (std::size_t i = 0; i < 2'000; ++i) must(w.append(log[i]));
    must(w.commit());
    Reader reader = must(Reader::open(file_));
    EstimateBook book = must(EstimateBook::open(file_, origin(), reader));
    ASSERT_TRUE(book.newest().has_value());
    EXPECT_EQ(book.newest()->at, log[1'999].at);
    for (std::size_t i = 2'000; i < 4'000; ++i) must(w.append(log[i]));
    must(w.commit());
    must(reader.refresh());
    must(book.follow(reader));
    EXPECT_EQ(book.newest()->at, log[3'999].at);
    const std::int64_t edges[] = {log[2'400].at.us, log[3'000].at.us};
    EXPECT_TRUE(must(book.levels(View::lived, edges)).front().state_of_charge.mean.known());
}

TEST_F(EstimateBookTest, SaysNothingWhereNothingIsKnown) {
    record(steady_log(4'000));
    const Reader reader = must(Reader::open(file_));
    const EstimateBook book = must(EstimateBook::open(file_, origin(), reader));
    const std::int64_t edges[] = {0, ledger::hour_us, 2 * ledger::hour_us};
    for (const Level& level : must(book.levels(View::hindsight, edges)))
        EXPECT_FALSE(level.state_of_charge.mean.known());
    EXPECT_TRUE(must(book.levels(View::lived, {})).empty());
}

}  // namespace
}  // namespace amphora::record
