// What guards the system and what it did, over the interface.
#include <gtest/gtest.h>

#include "io/record/writer.hpp"
#include "unit/io/web/api/desk_fixture.hpp"

namespace amphora::web {
namespace {

class StandingApi : public DeskTest {};

TEST_F(StandingApi, WhatTheGuardsDidComesFromTheRecord) {
    EXPECT_EQ(ask_json("/api/v1/guards")["acts"][0]["what"], "cut") << "nothing in the record: as the present says";
    {
        auto writer = record::Writer::open(past.file());
        ASSERT_TRUE(writer);
        ASSERT_TRUE(writer->begin_boot("boot", 0, true));
        ASSERT_TRUE(writer->keep({.at_us = begin_us, .kind = "tripped", .guard = "low", .value = 11.5}));
        ASSERT_TRUE(writer->keep({.at_us = begin_us + 1, .kind = "ordered", .relay = "loads", .on = false}));
    }
    past.forget();
    ASSERT_TRUE(past.refresh());
    const auto acts = ask_json("/api/v1/guards")["acts"];
    ASSERT_EQ(acts.size(), 2U);
    EXPECT_EQ(acts[0]["guard"], "relay loads");
    EXPECT_EQ(acts[0]["what"], "ordered off");
    EXPECT_EQ(acts[1]["guard"], "low");
    EXPECT_EQ(acts[1]["what"], "tripped: the value was 11.5") << "of a guard that is described no more";
    EXPECT_EQ(acts[1]["at"], begin_s);
}

}  // namespace
}  // namespace amphora::web
