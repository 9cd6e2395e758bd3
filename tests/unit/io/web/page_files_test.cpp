#include "io/web/page_files.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>
#include <string_view>

namespace {

using namespace amphora::web;

TEST(PageFiles, HoldThePageAndItsParts) {
    std::set<std::string_view> paths;
    for (const PageFile& file : page_files()) {
        EXPECT_TRUE(paths.insert(file.path).second) << file.path;
        EXPECT_FALSE(file.bytes.empty()) << file.path;
        EXPECT_TRUE(file.gzipped.empty() || file.gzipped.starts_with("\x1f\x8b")) << file.path;
        EXPECT_TRUE(file.tag.size() == 18 && file.tag.starts_with('"') && file.tag.ends_with('"')) << file.path;
    }
    EXPECT_TRUE(paths.contains("/"));
}

TEST(PageFiles, NothingInThePageIsInline) {
    const auto page = std::ranges::find(page_files(), "/", &PageFile::path);
    ASSERT_NE(page, page_files().end());
    for (const char* inline_part : {"<style", "style=", "<script>", "onload=", "onclick=", "javascript:"}) {
        EXPECT_EQ(page->bytes.find(inline_part), std::string_view::npos) << inline_part;
    }
}

TEST(PageFiles, WeighLessThan120KilobytesOnTheWire) {
    std::size_t weight = 0;
    for (const PageFile& file : page_files()) {
        weight += file.gzipped.empty() ? file.bytes.size() : file.gzipped.size();
    }
    EXPECT_LT(weight, 120'000U);
    RecordProperty("bytes", static_cast<int>(weight));
}

}  // namespace
