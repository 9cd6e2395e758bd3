#include "io/web/query.hpp"

#include <gtest/gtest.h>

#include <string>
#include <string_view>

namespace {

using amphora::web::Query;

// What was parsed, which must have been possible.
Query parsed(std::string_view text) {
    const auto query = Query::parse(text);
    EXPECT_TRUE(query) << text;
    return query.value_or(Query{});
}

TEST(Query, DecodesNamesAndValues) {
    const Query query = parsed("from=12.5&name=blue%20heron&plus=a+b&empty=&flag");
    EXPECT_EQ(query.find("name"), "blue heron");
    EXPECT_EQ(query.find("plus"), "a b");
    EXPECT_EQ(query.find("empty"), "");
    EXPECT_EQ(query.find("flag"), "");
    EXPECT_FALSE(query.find("absent"));
    EXPECT_EQ(query.number("from"), 12.5);
}

TEST(Query, TakesTheFirstOfTwo) { EXPECT_EQ(parsed("a=1&a=2").find("a"), "1"); }

TEST(Query, ANumberIsWhollyANumber) {
    const Query query = parsed("a=1x&b=&c=nan&d=inf&e=-3e2");
    for (const char* name : {"a", "b", "c", "d", "absent"}) EXPECT_FALSE(query.number(name)) << name;
    EXPECT_EQ(query.number("e"), -300.0);
}

TEST(Query, RefusesMalformedEscapesAndControlCharacters) {
    for (const char* text : {"a=%", "a=%2", "a=%zz", "a=%00", "a=%0d%0aX: y", "%1f=1"}) {
        EXPECT_FALSE(Query::parse(text)) << text;
    }
}

TEST(Query, RefusesMoreThan32Pairs) {
    std::string text = "a=1";
    for (int i = 1; i < 32; ++i) text += "&a=1";
    EXPECT_TRUE(Query::parse(text));
    EXPECT_FALSE(Query::parse(text + "&a=1"));
}

}  // namespace
