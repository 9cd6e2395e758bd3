#include "io/describe/reference_page.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cctype>
#include <fstream>
#include <iterator>
#include <string>

#include "io/describe/describe.hpp"
#include "io/describe/key.hpp"

namespace amphora::describe {
namespace {

std::string file_text(const std::string& path) {
    std::ifstream in(std::string(AMPHORA_SOURCE_DIR "/") + path);
    return {std::istreambuf_iterator<char>(in), {}};
}

TEST(ReferencePage, TheCommittedPageIsUpToDate) {
    EXPECT_EQ(file_text("docs/reference/system-toml.md"), reference_page())
        << "run: build/amphora check --keys > docs/reference/system-toml.md";
}

TEST(ReferencePage, ItsExampleIsValid) {
    const auto page = reference_page();
    const auto begin = page.find("```toml\n") + 8;
    const auto described = describe_text(std::string_view(page).substr(begin, page.find("```", begin) - begin));
    ASSERT_TRUE(described.has_value());
    EXPECT_EQ(described->system.name, "Blue Heron");
}

TEST(Table, EveryKeyIsExplained) {
    for (const auto& table : all_tables()) {
        EXPECT_FALSE(table.meaning.empty()) << table.path;
        for (const auto& key : table.keys) {
            EXPECT_FALSE(key.meaning.empty()) << key.name;
            EXPECT_NE(key.required, !key.otherwise.text.empty()) << key.name << ": required, or else with a default";
            EXPECT_NE(key.required, !key.otherwise.source.empty()) << key.name << ": a default says where it is from";
        }
    }
}

TEST(Table, NamesEndInTheirUnit) {
    for (const auto& table : all_tables())
        for (const auto& key : table.keys) {
            if (key.unit.empty() || key.unit == "degrees") continue;
            std::string ending = "_";
            for (const char c : key.unit) {
                if (c == '/')
                    ending += "_per_";
                else
                    ending += static_cast<char>(std::tolower(c));
            }
            EXPECT_TRUE(key.name.ends_with(ending)) << key.name;
        }
}

TEST(Table, RepeatedAndOptionalTablesCanBeEnteredAndCounted) {
    for (const auto& table : all_tables()) {
        const bool always = table.presence == Presence::always;
        EXPECT_EQ(always, !table.enter) << table.path;
        if (always) continue;
        System system;
        EXPECT_EQ(table.count(system), 0U);
        table.enter(system);
        EXPECT_EQ(table.count(system), 1U);
    }
}

}  // namespace
}  // namespace amphora::describe
