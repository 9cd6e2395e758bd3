#include "io/record/schema.hpp"

#include "record_fixture.hpp"

namespace amphora::record {
namespace {

std::int64_t tables(const Database& database, const char* name) {
    Statement s = database.prepare(
        "SELECT count(*) FROM sqlite_schema WHERE type = 'table' AND name = ?1 AND sql LIKE '%STRICT%'");
    s.bind(std::string_view(name));
    return s.step() ? s.integer(0) : 0;
}

TEST_F(RecordTest, EachMigrationAddsItsTablesAndKeepsWhatThereWas) {
    {
        Database database(file_, Access::create);
        migrate(database, 1);
        EXPECT_EQ(database.number("PRAGMA user_version"), 1);
        EXPECT_EQ(database.number("PRAGMA application_id"), application_id);
        for (const char* table : {"note", "boot", "block"}) EXPECT_EQ(tables(database, table), 1) << table;
        EXPECT_EQ(tables(database, "rollup"), 0);
        database.execute("INSERT INTO boot (name, clock_us, synchronised) VALUES ('b', 7, 1)");

        migrate(database, 2);
        EXPECT_EQ(database.number("PRAGMA user_version"), 2);
        EXPECT_EQ(tables(database, "rollup"), 1);
        EXPECT_EQ(tables(database, "derived"), 0);

        migrate(database, 3);
        EXPECT_EQ(database.number("PRAGMA user_version"), 3);
        EXPECT_EQ(tables(database, "derived"), 1);
        EXPECT_EQ(tables(database, "derivation"), 1);
        EXPECT_EQ(database.number("SELECT clock_us FROM boot"), 7);
        EXPECT_EQ(tables(database, "guard_act"), 0);

        migrate(database, 4);
        EXPECT_EQ(database.number("PRAGMA user_version"), 4);
        EXPECT_EQ(tables(database, "guard_act"), 1);
        EXPECT_EQ(database.number("SELECT clock_us FROM boot"), 7);
        EXPECT_EQ(migrations().size(), 4U) << "a test for each step, please";
    }
    EXPECT_TRUE(Writer::open(file_).has_value());
}

TEST_F(RecordTest, ReadingsOfAnOlderFormatGetTheirRollups) {
    const auto log = steady_log(5000);
    record(log);
    {
        Database database(file_, Access::write);
        database.execute(
            "DROP TABLE rollup; DROP TABLE derived; DROP TABLE derivation; DROP TABLE guard_act; PRAGMA user_version = "
            "1;"
            "DELETE FROM note WHERE name IN ('rolled_up_reading', 'rolled_up_step_us')");
    }
    EXPECT_EQ(Reader::open(file_).error().fault, Fault::refused);
    must(must(Writer::open(file_)).close());
    ledger::Rollup sum;
    for (const auto& r : must(must(Reader::open(file_)).rollups(ledger::minute_us, {INT64_MIN, INT64_MAX})))
        sum.merge(r);
    EXPECT_EQ(sum.readings, 5000);
}

TEST_F(RecordTest, ANewerFormatIsNotTouched) {
    record(steady_log(10));
    Database(file_, Access::write).execute("PRAGMA user_version = 99");
    EXPECT_EQ(Writer::open(file_).error().fault, Fault::newer);
    EXPECT_EQ(Reader::open(file_).error().fault, Fault::newer);
}

}  // namespace
}  // namespace amphora::record
