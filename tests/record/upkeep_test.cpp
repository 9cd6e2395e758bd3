#include "io/record/upkeep.hpp"

#include <array>
#include <fstream>
#include <set>

#include "io/record/block_table.hpp"
#include "io/record/derive.hpp"
#include "io/record/merger.hpp"
#include "io/record/page_seal.hpp"
#include "io/record/record_file.hpp"
#include "record_fixture.hpp"

namespace amphora::record {
namespace {

class UpkeepTest : public RecordTest {
protected:
    void flip_bit(std::uint64_t byte, unsigned bit) const {
        std::fstream f(file_, std::ios::in | std::ios::out | std::ios::binary);
        f.seekg(static_cast<std::streamoff>(byte));
        const char old = static_cast<char>(f.get());
        f.seekp(static_cast<std::streamoff>(byte));
        f.put(static_cast<char>(old ^ static_cast<char>(1U << bit)));
    }
};

TEST_F(UpkeepTest, ASoundRecordIsVerified) {
    record(steady_log(70'000));
    const Verdict verdict = must(verify(file_));
    EXPECT_TRUE(verdict.sound()) << (verdict.sound() ? "" : verdict.damage[0].what);
    EXPECT_EQ(verdict.readings, 70'000U);
    EXPECT_EQ(verdict.blocks, 3U);
}

TEST_F(UpkeepTest, ABackupTakenWhileRecordingIsWholeAndSound) {
    const auto log = steady_log(36'000);
    const auto copy = folder_ / "copy.amphora";
    Writer w = writer();
    must(w.begin_boot("boot", 0, true));
    for (const auto& r : log) must(w.append(r));
    must(backup(file_, copy));
    const auto safe = static_cast<std::ptrdiff_t>(w.safe());
    EXPECT_FALSE(backup(file_, copy).has_value());
    must(w.close());
    file_ = copy;
    EXPECT_TRUE(must(verify(file_)).sound());
    EXPECT_TRUE(same_log(readings(), {log.begin(), log.begin() + safe}));
}

TEST_F(UpkeepTest, CompactingJoinsSmallBlocksAndKeepsEveryReading) {
    const auto log = steady_log(20'000);
    record(log);
    {
        Database database(file_, Access::write);
        database.execute("DELETE FROM block");
        for (std::size_t i = 0; i < log.size(); i += 500)
            store_block(database, imported, std::span(log).subspan(i, 500));
    }
    EXPECT_EQ(must(verify(file_)).blocks, 40U);
    must(compact(file_));
    EXPECT_EQ(must(verify(file_)).blocks, 1U);
    EXPECT_TRUE(must(verify(file_)).sound());
    EXPECT_TRUE(same_log(readings(), log));
}

TEST_F(UpkeepTest, WrongRollupsAreFoundAndMadeAgain) {
    record(steady_log(10'000));
    Database(file_, Access::write).execute("DELETE FROM rollup WHERE unit_us = 3600000000");
    const Verdict verdict = must(verify(file_));
    ASSERT_FALSE(verdict.sound());
    EXPECT_NE(verdict.damage[0].what.find("rederive"), std::string::npos);
    must(begin_afresh(file_, LocalDays::utc()));
    EXPECT_TRUE(must(verify(file_)).sound());
}

/// Wherever a bit flips, verify says so; and salvage saves all other blocks.
TEST_F(UpkeepTest, AFlippedBitIsNoticedAndCostsAtMostItsBlock) {
    const auto log = steady_log(140'000);
    record(log);
    const auto size = std::filesystem::file_size(file_);
    std::mt19937_64 random(6);
    for (int round = 0; round < 150; ++round) {
        // Every byte of the header, and anywhere.
        const std::uint64_t byte = round < 100 ? static_cast<std::uint64_t>(round) : random() % size;
        const auto bit = static_cast<unsigned>(random() % 8);
        flip_bit(byte, bit);
        const auto verdict = verify(file_);
        ASSERT_TRUE(verdict) << "byte " << byte << ": " << verdict.error().message;
        ASSERT_FALSE(verdict->sound()) << "byte " << byte;
        EXPECT_TRUE(
            verdict->damage[0].what.starts_with("page " + std::to_string(byte / page_size + 1) + " of the file"))
            << "byte " << byte << ": " << verdict->damage[0].what;
        if (round % 4 == 0) {
            const auto saved = folder_ / "saved.amphora";
            std::filesystem::remove(saved);
            const Rescue rescue = must(salvage(file_, saved));
            EXPECT_GE(rescue.readings + ledger::block_capacity, log.size()) << "byte " << byte;
            EXPECT_TRUE(must(verify(saved)).sound());
            std::uint64_t lost = 0;
            for (const Damage& d : rescue.lost) lost += d.readings;
            EXPECT_EQ(lost, log.size() - rescue.readings) << "byte " << byte;
        }
        flip_bit(byte, bit);
    }
    EXPECT_TRUE(must(verify(file_)).sound());
}

/// Other blocks are read as if nothing were wrong, and the damaged one is named with its span.
TEST_F(UpkeepTest, ADamagedBlockIsNamedAndTheOthersAreRead) {
    const auto log = steady_log(140'000);
    record(log);
    const Database database(file_, Access::write);
    const auto rows = blocks_between(database, INT64_MIN, INT64_MAX);
    ASSERT_EQ(rows.size(), 5U);
    Database(file_, Access::write).execute("UPDATE block SET data = zeroblob(length(data)) WHERE id = 3");
    const Verdict verdict = must(verify(file_));
    ASSERT_EQ(verdict.damage.size(), 1U);
    EXPECT_EQ(verdict.damage[0].span, (Span{rows[2].first_us, rows[2].last_us + 1}));
    EXPECT_NE(verdict.damage[0].what.find("block 3"), std::string::npos);
    const Reader reader = must(Reader::open(file_));
    EXPECT_FALSE(reader.visit({INT64_MIN, INT64_MAX}, [](auto&&...) {}).has_value());
    EXPECT_EQ(readings({INT64_MIN, rows[2].first_us}).size(), 2U * ledger::block_capacity);
    EXPECT_EQ(readings({rows[3].first_us, INT64_MAX}).size(), log.size() - 3U * ledger::block_capacity);
}

/// Wherever a bit flips in what the write-ahead log holds, verify says so; what is cut off its end, as by a power cut,
/// is no damage.
TEST_F(UpkeepTest, AFlippedBitInTheWriteAheadLogIsNoticed) {
    const auto live = folder_ / "live.amphora";
    const auto log_of = [](const std::filesystem::path& file) { return std::filesystem::path(file.string() + "-wal"); };
    Database database = open_to_write(live);
    database.execute("PRAGMA wal_checkpoint(TRUNCATE); PRAGMA wal_autocheckpoint = 0");
    for (int i = 0; i < 5; ++i)
        database.execute("INSERT OR REPLACE INTO note (name, value) VALUES ('n" + std::to_string(i) +
                         "', zeroblob(9000))");
    std::filesystem::copy_file(live, file_);
    std::filesystem::copy_file(log_of(live), log_of(file_));
    const auto size = std::filesystem::file_size(log_of(file_));
    const auto verdict_now = [&] {
        std::filesystem::remove(file_.string() + "-shm");
        return must(verify(file_));
    };
    const Verdict whole = verdict_now();
    EXPECT_TRUE(whole.sound());
    EXPECT_TRUE(whole.notes.empty());
    std::mt19937_64 random(9);
    const std::filesystem::path record = file_;
    for (int round = 0; round < 60; ++round) {
        // In the headers of the log and of its first frame, and anywhere.
        const std::uint64_t byte = round < 30 ? static_cast<std::uint64_t>(round) * 2 : random() % size;
        const auto bit = static_cast<unsigned>(random() % 8);
        file_ = log_of(record);
        flip_bit(byte, bit);
        file_ = record;
        const Verdict hurt = verdict_now();
        EXPECT_FALSE(hurt.sound()) << "byte " << byte << ", bit " << bit;
        const std::string what = hurt.sound() ? "" : hurt.damage[0].what;
        EXPECT_NE(what.find("write-ahead log"), std::string::npos) << what;
        file_ = log_of(record);
        flip_bit(byte, bit);
        file_ = record;
    }
    std::filesystem::resize_file(log_of(record), size - 2000);
    std::filesystem::resize_file(log_of(record), size);
    const Verdict cut = verdict_now();
    EXPECT_TRUE(cut.sound());
    EXPECT_EQ(cut.notes.size(), 1U);
}

TEST_F(UpkeepTest, AFlippedBitInTheTailIsNoticed) {
    const auto live = folder_ / "live.amphora";
    const auto tail_of = [](const std::filesystem::path& file) {
        return std::filesystem::path(file.string() + "-tail");
    };
    Writer w = must(Writer::open(live, {Second(900), LocalDays::utc(), {}}));
    must(w.begin_boot("boot", 0, true));
    for (const auto& r : steady_log(3'000)) must(w.append(r));
    must(w.commit());
    for (const char* part : {"", "-wal", "-tail"})
        if (std::filesystem::exists(live.string() + part))
            std::filesystem::copy_file(live.string() + part, file_.string() + part);
    EXPECT_TRUE(must(verify(file_)).sound());
    const std::filesystem::path record = file_;
    std::mt19937_64 random(12);
    for (int round = 0; round < 60; ++round) {
        // In the first pages, which are full, and anywhere.
        const std::uint64_t byte = random() % (round < 30 ? 8'192 : std::filesystem::file_size(tail_of(record)));
        const auto bit = static_cast<unsigned>(random() % 8);
        for (const bool hurt : {true, false}) {
            file_ = tail_of(record);
            flip_bit(byte, bit);
            file_ = record;
            EXPECT_EQ(must(verify(file_)).sound(), !hurt) << "byte " << byte << ", bit " << bit;
        }
    }
    // A page that a power cut tore: its first half is new, its second old.
    std::fstream tail(tail_of(record), std::ios::in | std::ios::out | std::ios::binary);
    tail.seekp(static_cast<std::streamoff>(std::filesystem::file_size(tail_of(record)) - 4096));
    tail << std::string(2048, 'n');
    tail.close();
    EXPECT_TRUE(must(verify(file_)).sound());
}

/// A record in use: imported, derived twice (which leaves free pages), with what guards did, and a recorder that has
/// written a log and a tail beside it. Wherever a bit flips in any of the three files, it is noticed, and it is said in
/// which of them.
TEST_F(UpkeepTest, AFlippedBitInAnyFileOfARecordInUseIsNamed) {
    const auto live = folder_ / "live.amphora";
    {
        auto merger = must(Merger::open(live, LocalDays::utc()));
        must(merger.add(steady_log(40'000)));
        must(merger.finish());
    }
    must(derive(live, {System{}, "one"}, LocalDays::utc(), {}));
    must(begin_afresh(live, LocalDays::utc()));
    Writer w = must(Writer::open(live, {Second(900), LocalDays::utc(), {}}));
    must(w.begin_boot("boot", 0, true));
    must(w.keep({.at_us = new_year_us, .kind = "tripped", .guard = "low", .value = 11.5}));
    for (const auto& r : steady_log(5'000, new_year_us + 50'000 * second_us)) must(w.append(r));
    must(w.commit());
    const std::filesystem::path record = file_;
    for (const char* part : {"", "-wal", "-tail"})
        std::filesystem::copy_file(live.string() + part, record.string() + part);
    ASSERT_TRUE(must(verify(record)).sound());
    std::set<std::uint64_t> newer;  // pages that the log has, by the number before each ("WAL file format")
    std::ifstream log(record.string() + "-wal", std::ios::binary);
    for (std::streamoff at = 32; log.seekg(at); at += 24 + static_cast<std::streamoff>(page_size)) {
        std::array<char, 4> number{};
        if (!log.read(number.data(), 4)) break;
        newer.insert(static_cast<std::uint64_t>(static_cast<unsigned char>(number[2])) << 8U |
                     static_cast<unsigned char>(number[3]));
    }
    std::mt19937_64 random(21);
    for (const std::string part : {"", "-wal", "-tail"}) {
        const auto size = std::filesystem::file_size(record.string() + part);
        ASSERT_GT(size, 0U) << part;
        for (int round = 0; round < 60; ++round) {
            const std::uint64_t byte = random() % size;
            const auto bit = static_cast<unsigned>(random() % 8);
            file_ = record.string() + part;
            flip_bit(byte, bit);
            std::filesystem::remove(record.string() + "-shm");
            const auto verdict = verify(record);
            if (part.empty() && newer.contains(byte / page_size + 1)) {
                EXPECT_TRUE(verdict && verdict->sound()) << "nobody reads a page that the log has a newer one of";
                EXPECT_EQ(verdict->notes.size(), 1U) << "but it is named";
                flip_bit(byte, bit);
                continue;
            }
            ASSERT_FALSE(verdict && verdict->sound()) << part << " byte " << byte << ", bit " << bit;
            std::string said = verdict ? "" : verdict.error().message;
            if (verdict)
                for (const Damage& d : verdict->damage) said += d.what + "; ";
            EXPECT_EQ(said.find("write-ahead log") != std::string::npos, part == "-wal") << said;
            EXPECT_EQ(said.find("the tail") != std::string::npos, part == "-tail") << said;
            flip_bit(byte, bit);
        }
    }
    file_ = record;
    std::filesystem::remove(record.string() + "-shm");
    EXPECT_TRUE(must(verify(record)).sound());
}

TEST_F(UpkeepTest, ATornFileIsSalvagedAsFarAsItGoes) {
    const auto log = steady_log(140'000);
    record(log);
    std::filesystem::resize_file(file_, std::filesystem::file_size(file_) * 7 / 8 / 4096 * 4096);
    const Rescue rescue = must(salvage(file_, folder_ / "saved.amphora"));
    EXPECT_GT(rescue.readings, 30'000U);
}

TEST_F(UpkeepTest, AWreckedFirstPageStillGivesTheBlocks) {
    const auto log = steady_log(100'000);
    record(log);
    for (std::uint64_t byte = 0; byte < 4096; byte += 3) flip_bit(byte, 5);
    EXPECT_EQ(Reader::open(file_).error().fault, Fault::not_a_record);
    const Rescue rescue = must(salvage(file_, folder_ / "saved.amphora"));
    EXPECT_EQ(rescue.readings, log.size());
}

}  // namespace
}  // namespace amphora::record
