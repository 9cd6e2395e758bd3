// RFC 6901, JavaScript Object Notation (JSON) Pointer, section 5: the example document and every pointer into it that
// leads to a number.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "io/source/json_figure.hpp"

namespace amphora::source {
namespace {

const auto document = nlohmann::json::parse(R"({"foo": ["bar", "baz"], "": 0, "a/b": 1, "c%d": 2, "e^f": 3, "g|h": 4,
    "i\\j": 5, "k\"l": 6, " ": 7, "m~n": 8})");

TEST(Rfc6901, TheExamplesOfSection5) {
    EXPECT_EQ(figure_at(document, "/"), 0.0);
    EXPECT_EQ(figure_at(document, "/a~1b"), 1.0);
    EXPECT_EQ(figure_at(document, "/c%d"), 2.0);
    EXPECT_EQ(figure_at(document, "/e^f"), 3.0);
    EXPECT_EQ(figure_at(document, "/g|h"), 4.0);
    EXPECT_EQ(figure_at(document, "/i\\j"), 5.0);
    EXPECT_EQ(figure_at(document, "/k\"l"), 6.0);
    EXPECT_EQ(figure_at(document, "/ "), 7.0);
    EXPECT_EQ(figure_at(document, "/m~0n"), 8.0);
}

TEST(Rfc6901, WhatIsNoNumberIsSaid) {
    EXPECT_EQ(figure_at(document, "").error(), FigureFault::not_a_number);
    EXPECT_EQ(figure_at(document, "/foo").error(), FigureFault::not_a_number);
    EXPECT_EQ(figure_at(document, "/foo/0").error(), FigureFault::not_a_number);
}

TEST(Rfc6901, Section4ArrayIndices) {
    const auto list = nlohmann::json::parse(R"({"cells": [3.31, 3.32]})");
    EXPECT_EQ(figure_at(list, "/cells/0"), 3.31);
    EXPECT_EQ(figure_at(list, "/cells/1"), 3.32);
    for (const auto* pointer : {"/cells/2", "/cells/-", "/cells/00", "/cells/01", "/cells/-1", "/cells/1e0", "/cells/",
                                "/cells/99999999999999999999", "/cells/0/0"})
        EXPECT_EQ(figure_at(list, pointer).error(), FigureFault::none_there) << pointer;
}

TEST(Rfc6901, Section4EscapesAreUndoneInTheRightOrder) {  // "~01" is "~1", not "/"
    EXPECT_EQ(figure_at(nlohmann::json::parse(R"({"~1": 9})"), "/~01"), 9.0);
}

TEST(Rfc6901, Section3Syntax) {
    for (const auto* sound : {"", "/", "/a~1b", "/m~0n", "/~01"}) EXPECT_TRUE(is_json_pointer(sound)) << sound;
    for (const auto* wrong : {"a", "/~", "/~2", "/a~b", "/a~"}) EXPECT_FALSE(is_json_pointer(wrong)) << wrong;
}

}  // namespace
}  // namespace amphora::source
