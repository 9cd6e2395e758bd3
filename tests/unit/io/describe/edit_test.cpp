#include "io/describe/edit.hpp"

#include <gtest/gtest.h>

namespace amphora::describe {
namespace {

constexpr std::string_view text =
    "# my van\n[[appliance]]\nname = \"pump\"   # the loud one\npower_w = 60\n\n[[appliance]]\npower_w = 20\nname = "
    "'lights'\n[[circuit]]\nname = "
    "\"pump\"\n";

TEST(Edit, PutsAKeyBehindTheName) {
    EXPECT_EQ(with_key(text, "appliance", "pump", {"circuit", "\"water\""}),
              "# my van\n[[appliance]]\nname = \"pump\"   # the loud one\ncircuit = \"water\"\npower_w = "
              "60\n\n[[appliance]]\npower_w = 20\nname = "
              "'lights'\n[[circuit]]\nname = \"pump\"\n");
}

TEST(Edit, LeavesWhatIsThereAlone) {
    EXPECT_EQ(with_key(text, "appliance", "pump", {"power_w", "70"}), text);
    EXPECT_EQ(with_key(text, "appliance", "lights", {"power_w", "70"}), text) << "the key stands before the name";
    EXPECT_EQ(with_key(text, "appliance", "heater", {"power_w", "70"}), text);
}

TEST(Edit, KnowsTheTableOfAName) {
    EXPECT_TRUE(has_key(text, "appliance", "pump", "power_w"));
    EXPECT_FALSE(has_key(text, "circuit", "pump", "power_w"));
    EXPECT_EQ(with_key(text, "circuit", "pump", {"fuse_a", "10"}), std::string(text) + "fuse_a = 10\n");
}

TEST(Edit, FindsTheOneWithoutAName) {
    constexpr std::string_view plain = "[[inverter]]\npower_w = 500\n[[charger]]\nname = \"sun\"\n";
    EXPECT_EQ(with_key(plain, "inverter", "inverter", {"circuit", "\"ac\""}),
              "[[inverter]]\ncircuit = \"ac\"\npower_w = 500\n[[charger]]\nname = \"sun\"\n");
    EXPECT_EQ(with_key(plain, "charger", "charger", {"circuit", "\"ac\""}), plain);
}

TEST(Edit, ReplacesAValueAndKeepsItsComment) {
    constexpr std::string_view commented =
        "[[appliance]]\nname = \"pump\"\nmeasured_w = 1.5   # last year\npower_w = 60\n[[appliance]]\nname = "
        "\"lights\"\nmeasured_w = 2\n";
    EXPECT_EQ(with_value(commented, "appliance", "pump", {"measured_w", "48.2"}),
              "[[appliance]]\nname = \"pump\"\nmeasured_w = 48.2   # last year\npower_w = 60\n[[appliance]]\nname = "
              "\"lights\"\nmeasured_w = 2\n");
    EXPECT_EQ(with_value(text, "appliance", "pump", {"measured_w", "48"}),
              with_key(text, "appliance", "pump", {"measured_w", "48"}));
    EXPECT_EQ(with_value("[[appliance]]\ncircuit = 'a # b' # c\nname = 'x'\n", "appliance", "x", {"circuit", "\"d\""}),
              "[[appliance]]\ncircuit = \"d\"   # c\nname = 'x'\n");
}

TEST(Edit, QuotesWhatNeedsIt) { EXPECT_EQ(quoted("the \"big\" one\\"), "\"the \\\"big\\\" one\\\\\""); }

}  // namespace
}  // namespace amphora::describe
