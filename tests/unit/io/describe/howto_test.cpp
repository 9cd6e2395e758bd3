// Every description that docs/howto/connect-a-meter.md shows can be read.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "io/describe/describe.hpp"

namespace amphora::describe {
namespace {

const std::string system_around =
    "[battery]\nchemistry = \"lfp\"\ndesign_capacity_ah = 200\n"
    "[[charger]]\nname = \"roof\"\nkind = \"shore\"\ncurrent_a = 20\n";
const std::string shunt = "[[meter]]\nname = \"house\"\nrated_current_a = 500\nrated_drop_mv = 75\n";

std::vector<std::string> blocks_of(const std::filesystem::path& page) {
    std::ifstream in(page);
    std::stringstream text;
    text << in.rdbuf();
    const std::string all = text.str();
    const std::string begin = "```toml\n";
    std::vector<std::string> blocks;
    for (auto at = all.find(begin); at != std::string::npos; at = all.find(begin, at)) {
        at += begin.size();
        blocks.push_back(all.substr(at, all.find("```", at) - at));
    }
    return blocks;
}

TEST(HowToConnectAMeter, ItsDescriptionsCanBeRead) {
    const auto blocks = blocks_of(std::string(AMPHORA_SOURCE_DIR) + "/docs/howto/connect-a-meter.md");
    EXPECT_GE(blocks.size(), 7U);
    for (const auto& block : blocks) {
        const auto described = describe_text(system_around + (block.starts_with("[[meter]]") ? "" : shunt) + block);
        EXPECT_TRUE(described) << block << described.error().front().path << ": " << described.error().front().message;
    }
}

}  // namespace
}  // namespace amphora::describe
