// The descriptions that people copy from must be right.
#include <gtest/gtest.h>

#include <filesystem>

#include "io/describe/describe.hpp"

namespace amphora::describe {
namespace {

TEST(Examples, EveryOneIsValid) {
    int examples = 0;
    for (const auto& file : std::filesystem::directory_iterator(AMPHORA_SOURCE_DIR "/examples")) {
        if (file.path().extension() != ".toml") continue;
        ++examples;
        const auto described = describe_file(file.path());
        if (described) continue;
        for (const auto& mistake : described.error()) ADD_FAILURE() << to_text(mistake, file.path().string());
    }
    EXPECT_GE(examples, 3);
}

}  // namespace
}  // namespace amphora::describe
