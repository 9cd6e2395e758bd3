// What a recorder leaves when it is killed, when the power goes, when the device fails. Each time the record opens, is
// sound, and lacks at most what was measured in the last durability interval.
#include <sys/mman.h>
#include <sys/wait.h>

#include <cstdlib>
#include <fstream>
#include <random>
#include <thread>

#include "io/record/merger.hpp"
#include "io/record/tail_file.hpp"
#include "io/record/upkeep.hpp"
#include "record/faulty_device.hpp"
#include "record_fixture.hpp"

namespace amphora::record {
namespace {

constexpr std::size_t interval = 20;  // readings, and seconds

class PowerCutTest : public RecordTest {
protected:
    static WriterOptions options(const char* vfs = "") {
        return {Second(static_cast<double>(interval)), LocalDays::utc(), vfs};
    }

    /// Opens the record as it is after a cut: it must be sound before and after it is mended, and hold the beginning of
    /// the log: `at_least` readings or more. Returns how many it holds.
    std::size_t expect_whole(const std::filesystem::path& file, const std::vector<Reading>& log, std::size_t at_least,
                             const std::string& what) {
        file_ = file;
        if (std::filesystem::exists(file_)) {
            const auto before = verify(file_);
            // A file that never became a record is no record yet.
            if (before)
                EXPECT_TRUE(before->sound()) << what << ": " << before->damage[0].what;
            else
                EXPECT_EQ(at_least, 0U) << what << ": " << before.error().message;
        }
        must(must(Writer::open(file_)).close());
        const Verdict verdict = must(verify(file_));
        EXPECT_TRUE(verdict.sound()) << what << ": " << (verdict.sound() ? "" : verdict.damage[0].what);
        const auto found = readings();
        EXPECT_GE(found.size(), at_least) << what;
        EXPECT_LE(found.size(), log.size()) << what;
        const auto end = log.begin() + static_cast<std::ptrdiff_t>(std::min(found.size(), log.size()));
        EXPECT_TRUE(same_log(found, {log.begin(), end})) << what;
        return found.size();
    }
};

/// Rounds of killing: a few in the suite, 500 in `make soak`.
int rounds() {
    const char* wanted = std::getenv("AMPHORA_KILLS");
    return wanted != nullptr ? std::atoi(wanted) : 15;
}

TEST_F(PowerCutTest, AKilledRecorderLosesAtMostItsInterval) {
    const auto log = steady_log(60'000);
    const auto file = file_;
    auto* const taken = static_cast<std::atomic<std::size_t>*>(
        ::mmap(nullptr, sizeof(std::size_t), PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0));
    std::mt19937 random(7);
    std::size_t known = 0;
    int killed = 0;
    for (int round = 0; killed < rounds(); ++round) {
        if (known + 15'000 > log.size()) {
            std::filesystem::remove(file);
            known = 0;
        }
        *taken = known;
        const pid_t child = ::fork();
        ASSERT_GE(child, 0);
        if (child == 0) {
            auto writer = Writer::open(file, options());
            const bool begun = writer && writer->begin_boot("boot-" + std::to_string(round), 0, true);
            for (std::size_t i = known; begun && i < log.size(); ++i) {
                if (!writer->append(log[i])) ::_exit(1);
                *taken = i + 1;
            }
            ::_exit(begun ? 0 : 1);
        }
        std::this_thread::sleep_for(std::chrono::microseconds(random() % 60'000));
        ::kill(child, SIGKILL);
        int status = 0;
        ::waitpid(child, &status, 0);
        ASSERT_TRUE(WIFSIGNALED(status) || WEXITSTATUS(status) == 0) << "the recorder reported an error";
        killed += WIFSIGNALED(status) ? 1 : 0;
        const std::size_t had = *taken;
        // The reading that was being taken when the signal came may be there too.
        known = expect_whole(file, log, had > interval ? had - interval : 0, "round " + std::to_string(round));
        ASSERT_LE(known, had + 1);
        if (HasFailure()) return;
    }
}

TEST_F(PowerCutTest, APowerCutAtAnyWriteTearsNothingThatWasSafe) {
    const auto log = steady_log(9'000);
    auto& device = FaultyDevice::get();
    const auto run = [&](const std::filesystem::path& file, std::size_t& safe, std::uint64_t cut_at,
                         const std::filesystem::path& into) {
        device.reset();
        bool cut = false;
        safe = 0;
        const auto cut_now = [&] {
            device.after_power_cut(into, static_cast<unsigned>(cut_at));
            cut = true;
        };
        if (cut_at != 0) device.cut_at(cut_at, cut_now);
        {
            Writer w = must(Writer::open(file, options(FaultyDevice::name)));
            must(w.begin_boot("first", 0, true));
            for (std::size_t i = 0; i < log.size(); ++i) {
                if (i == 4'000) must(w.begin_boot("second", 0, true));
                if (!cut) safe = w.safe();
                must(w.append(log[i]));
            }
            must(w.close());
        }
    };
    const auto dry = folder_ / "dry";
    std::filesystem::create_directories(dry);
    std::size_t safe = 0;
    run(folder_ / "dry.amphora", safe, 0, dry);
    const std::uint64_t operations = device.operations();
    ASSERT_GT(operations, 800U);
    std::mt19937_64 random(3);
    for (int round = 0; round < rounds() + 5; ++round) {
        const std::uint64_t at = round < 12 ? static_cast<std::uint64_t>(round) * 3 + 1 : 1 + random() % operations;
        const auto cut = folder_ / ("cut-" + std::to_string(round));
        std::filesystem::create_directories(cut);
        std::filesystem::remove(folder_ / "van.amphora");
        run(folder_ / "van.amphora", safe, at, cut);
        expect_whole(cut / "van.amphora", log, safe, "cut at operation " + std::to_string(at));
        std::filesystem::remove_all(cut);
        if (HasFailure()) return;
    }
}

TEST_F(PowerCutTest, AnImportCountsOnlyWhatTheDeviceTook) {
    auto& device = FaultyDevice::get();
    device.reset();
    auto merger = must(Merger::open(file_, LocalDays::utc(), FaultyDevice::name));
    must(merger.add(steady_log(3'000)));
    device.fail_at(1, Failure::no_space, UINT32_MAX);
    const auto more = steady_log(3'000, new_year_us + 3'000 * second_us);
    const auto added = merger.add(more);
    ASSERT_FALSE(added.has_value());
    EXPECT_EQ(added.error().fault, Fault::full);
    EXPECT_EQ(added.error().message.find("kept in memory"), std::string::npos) << "an import ends, and keeps nothing";
    EXPECT_EQ(merger.count().added, 3'000U);
    device.reset();
    must(merger.add(more));
    EXPECT_EQ(merger.count().added, 6'000U);
    EXPECT_EQ(readings().size(), 6'000U);
}

class FaultTest : public PowerCutTest, public ::testing::WithParamInterface<Failure> {};

/// The device fails once, or for a while: the recorder says so, goes on, and in the end nothing is missing. Should the
/// power go at that very moment, what was safe still is.
TEST_P(FaultTest, ADeviceThatFailsForAWhileCostsNothing) {
    const auto log = steady_log(5'000);
    auto& device = FaultyDevice::get();
    std::mt19937_64 random(static_cast<unsigned>(GetParam()));
    int reported = 0;
    for (int round = 0; round < 15; ++round) {
        const auto what = "round " + std::to_string(round);
        const auto file = folder_ / "van.amphora";
        for (const char* part : {"", "-wal", "-shm", "-tail"}) std::filesystem::remove(file.string() + part);
        device.reset();
        auto writer = Writer::open(file, options(FaultyDevice::name));
        ASSERT_TRUE(writer.has_value());
        device.fail_at(1 + random() % 500, GetParam(), round % 2 == 0 ? 0 : random() % 40);
        bool cut = false;
        std::size_t safe = 0;
        for (std::size_t i = 0; i < log.size(); ++i) {
            const auto taken = writer->append(log[i]);
            if (taken) continue;
            ++reported;
            EXPECT_TRUE(taken.error().fault == Fault::full || taken.error().fault == Fault::input_output)
                << taken.error().message;
            if (cut) continue;
            cut = true;
            safe = writer->safe();
            std::filesystem::create_directories(folder_ / "cut");
            for (const char* part : {"", "-wal", "-tail"})
                if (std::filesystem::exists(file.string() + part))
                    std::filesystem::copy(file.string() + part, folder_ / "cut" / ("van.amphora" + std::string(part)),
                                          std::filesystem::copy_options::overwrite_existing);
        }
        auto closed = writer->close();
        for (int again = 0; !closed && again < 60; ++again) closed = writer->close();
        ASSERT_TRUE(closed.has_value()) << closed.error().message;
        EXPECT_EQ(expect_whole(file, log, log.size(), what), log.size());
        if (cut) expect_whole(folder_ / "cut" / "van.amphora", log, safe, what + ", cut at the failure");
        std::filesystem::remove_all(folder_ / "cut");
        if (HasFailure()) return;
    }
    EXPECT_GT(reported, 7);
}

INSTANTIATE_TEST_SUITE_P(All, FaultTest,
                         ::testing::Values(Failure::short_write, Failure::no_space, Failure::input_output,
                                           Failure::not_synced));

/// A bit of the newest readings that flips costs at most the page that it lies in, and is named.
TEST_F(PowerCutTest, AFlippedBitInTheTailCostsItsPage) {
    const auto log = steady_log(15'000);
    std::filesystem::path copy = folder_ / "copy.amphora";
    std::uint64_t safe = 0;
    {
        Writer w = must(Writer::open(file_, options()));
        for (const auto& r : log) must(w.append(r));
        safe = w.safe();
        for (const char* part : {"", "-wal", "-tail"})
            std::filesystem::copy(file_.string() + part, copy.string() + part);
    }
    std::ifstream in(copy.string() + "-tail", std::ios::binary);
    const std::string whole{std::istreambuf_iterator<char>(in), {}};
    std::mt19937_64 random(11);
    int holes = 0;
    // One in each place where a page may lie; about five pages are in use.
    for (std::size_t place = 0; place < whole.size(); place += tail_page_size) {
        std::string hurt = whole;
        hurt[place + random() % tail_page_size] ^= static_cast<char>(1U << random() % 8);
        std::ofstream(copy.string() + "-tail", std::ios::binary) << hurt;
        const Verdict verdict = must(verify(copy));
        EXPECT_GE(verdict.readings + 4'000, safe);
        ASSERT_FALSE(verdict.sound()) << "place " << place;
        EXPECT_NE(verdict.damage[0].what.find("tail"), std::string::npos) << verdict.damage[0].what;
        if (verdict.damage[0].readings > 0) {
            ++holes;
            EXPECT_GE(verdict.damage[0].readings + verdict.readings, safe);
        } else {
            // An older version of a page, or the newest of all, of which the one before it is then taken.
            EXPECT_GT(verdict.readings + interval + 2, safe);
        }
    }
    EXPECT_GE(holes, 2);
}

}  // namespace
}  // namespace amphora::record
