#include "app/rules_page.hpp"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <regex>
#include <set>

#include "core/design/rule_table.hpp"

namespace amphora::app {
namespace {

const std::filesystem::path root = AMPHORA_SOURCE_DIR;

std::string text_of(const std::filesystem::path& file) {
    std::ifstream in(file);
    return {std::istreambuf_iterator<char>(in), {}};
}

TEST(RulesPage, IsTheOneInTheDocs) {
    EXPECT_EQ(text_of(root / "docs/reference/findings.md"), rules_page())
        << "run: build/amphora check --rules > docs/reference/findings.md";
}

TEST(RuleTable, HasEveryRuleOfTheCodeAndNoOther) {
    std::set<std::string> in_code;
    const std::regex name("\"((?:cable|fuse|shunt|bank|charger|inverter|plan)\\.[a-z-]+)\"");
    for (const auto& entry : std::filesystem::directory_iterator(root / "src/core/design")) {
        if (!entry.path().filename().string().ends_with("_rules.cpp")) continue;
        const std::string text = text_of(entry.path());
        for (std::sregex_iterator it(text.begin(), text.end(), name), end; it != end; ++it) in_code.insert((*it)[1]);
    }
    std::set<std::string> in_table;
    for (const auto& r : design::rule_table()) {
        EXPECT_TRUE(in_table.insert(std::string(r.rule)).second) << r.rule << " twice";
        EXPECT_FALSE(r.asks.empty() || r.limit.empty() || r.source.empty() || r.severity.empty()) << r.rule;
    }
    EXPECT_EQ(in_code, in_table);
}

}  // namespace
}  // namespace amphora::app
