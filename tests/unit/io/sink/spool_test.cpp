#include "io/sink/spool.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <optional>
#include <string>

#include "support/scratch_folder.hpp"

namespace amphora::sink {
namespace {

struct Record {
    int number;
    double value;
};

// Points TMPDIR at a folder for as long as it lives.
class TemporaryFolderIs {
public:
    explicit TemporaryFolderIs(const std::string& folder) {
        if (const char* before = std::getenv("TMPDIR")) before_ = before;
        ::setenv("TMPDIR", folder.c_str(), 1);
    }
    ~TemporaryFolderIs() {
        if (before_)
            ::setenv("TMPDIR", before_->c_str(), 1);
        else
            ::unsetenv("TMPDIR");
    }
    TemporaryFolderIs(const TemporaryFolderIs&) = delete;
    TemporaryFolderIs& operator=(const TemporaryFolderIs&) = delete;
    TemporaryFolderIs(TemporaryFolderIs&&) = delete;
    TemporaryFolderIs& operator=(TemporaryFolderIs&&) = delete;

private:
    std::optional<std::string> before_;
};

TEST(Spool, GivesBackWhatWasKeptInOrder) {
    auto spool = Spool<Record>::create();
    ASSERT_TRUE(spool) << spool.error().message;
    for (int i = 0; i < 10'000; ++i) spool->keep({i, i * 0.5});
    for (int pass = 0; pass < 2; ++pass) {
        int next = 0;
        ASSERT_TRUE(spool->replay([&next](const Record& record) {
            EXPECT_EQ(record.number, next);
            EXPECT_EQ(record.value, next * 0.5);
            ++next;
        }));
        EXPECT_EQ(next, 10'000);
    }
}

TEST(Spool, AnEmptyOneHasNothing) {
    auto spool = Spool<Record>::create();
    ASSERT_TRUE(spool);
    int seen = 0;
    EXPECT_TRUE(spool->replay([&seen](const Record&) { ++seen; }));
    EXPECT_EQ(seen, 0);
}

TEST(Spool, ItsFileHasNoName) {
    const ScratchFolder folder;
    const TemporaryFolderIs temporary(folder.path());
    auto spool = Spool<Record>::create();
    ASSERT_TRUE(spool);
    spool->keep({1, 1.0});
    EXPECT_TRUE(std::filesystem::is_empty(folder.path()));
}

TEST(Spool, SaysWhereItCouldNotBe) {
    const TemporaryFolderIs temporary("/no/such/folder");
    const auto spool = Spool<Record>::create();
    ASSERT_FALSE(spool);
    EXPECT_EQ(spool.error().fault, SinkFault::cannot_create);
    EXPECT_THAT(spool.error().message, testing::HasSubstr("/no/such/folder"));
}

}  // namespace
}  // namespace amphora::sink
