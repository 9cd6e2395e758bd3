#include "io/access/visitors.hpp"

#include <gmock/gmock.h>
#include <sys/stat.h>

#include <fstream>
#include <iterator>
#include <thread>

#include "support/scratch_folder.hpp"

namespace amphora::access {
namespace {

using testing::HasSubstr;
using testing::Not;

class VisitorsTest : public testing::Test {
protected:
    Visitors another() {
        return Visitors(StateFile(file), [this] { return at; });
    }
    std::string contents() const {
        std::ifstream in(file);
        return {std::istreambuf_iterator<char>(in), {}};
    }

    ScratchFolder folder;
    std::filesystem::path file = folder.path() / "van.access";
    Moment at{std::chrono::seconds(1'800'000'000)};
    Visitors visitors = another();
};

TEST_F(VisitorsTest, LetsADeviceInByItsSecretOnly) {
    const auto phone = visitors.admit("phone", Role::full).value();
    const auto guest = visitors.admit("guest", Role::view).value();
    EXPECT_EQ(visitors.find(phone.secret)->name, "phone");
    EXPECT_EQ(visitors.find(phone.secret)->role, Role::full);
    EXPECT_EQ(visitors.find(guest.secret)->role, Role::view);
    EXPECT_FALSE(visitors.find(phone.device.id));
    EXPECT_FALSE(visitors.find(to_hex(phone.device.secret)));
    EXPECT_FALSE(visitors.find(""));
    EXPECT_FALSE(visitors.find("someone else"));
}

TEST_F(VisitorsTest, KeepsNoSecretAndShowsTheFileToNobodyElse) {
    const auto phone = visitors.admit("phone", Role::full).value();
    const auto token = visitors.invite(Role::view).value();
    EXPECT_THAT(contents(), Not(HasSubstr(phone.secret)));
    EXPECT_THAT(contents(), Not(HasSubstr(token)));
    struct stat about{};
    ASSERT_EQ(::stat(file.c_str(), &about), 0);
    EXPECT_EQ(about.st_mode & 0777U, 0600U);
}

TEST_F(VisitorsTest, AnInvitationLetsOneDeviceInOnceAndNotForLong) {
    const auto token = visitors.invite(Role::view).value();
    EXPECT_FALSE(visitors.redeem("another token", "guest").value());
    const auto guest = visitors.redeem(token, "guest").value();
    ASSERT_TRUE(guest);
    EXPECT_EQ(guest->device.role, Role::view);
    EXPECT_EQ(visitors.find(guest->secret)->name, "guest");
    EXPECT_FALSE(visitors.redeem(token, "second").value()) << "it was used";

    const auto late = visitors.invite(Role::full).value();
    at += invitation_lasts;
    EXPECT_FALSE(visitors.redeem(late, "late").value());
    const auto early = visitors.invite(Role::full).value();
    at -= std::chrono::hours(1);
    EXPECT_FALSE(visitors.redeem(early, "early").value()) << "a clock that is set back must not make it last for ever";
    EXPECT_EQ(visitors.devices().size(), 1U);
}

TEST_F(VisitorsTest, OnlySoManyInvitationsAreOpen) {
    const auto first = visitors.invite(Role::full).value();
    for (std::size_t i = 0; i < most_invitations; ++i) ASSERT_TRUE(visitors.invite(Role::full));
    EXPECT_FALSE(visitors.redeem(first, "phone").value());
}

TEST_F(VisitorsTest, WhoIsRemovedInAnotherProcessIsAStrangerAtOnce) {
    const auto phone = visitors.admit("phone", Role::full).value();
    ASSERT_TRUE(visitors.find(phone.secret));
    Visitors other = another();
    EXPECT_FALSE(other.remove("no such id").value());
    EXPECT_TRUE(other.remove(phone.device.id).value());
    EXPECT_FALSE(visitors.find(phone.secret));
    visitors.tend();
    EXPECT_FALSE(another().find(phone.secret)) << "and is not written back";
}

TEST_F(VisitorsTest, ADeviceLapsesWhenItIsNotUsedAndInTheEndAnyway) {
    const auto phone = visitors.admit("phone", Role::full).value();
    for (int i = 0; i < 4; ++i) {
        at += std::chrono::days(89);
        ASSERT_TRUE(visitors.find(phone.secret)) << i;
        visitors.tend();
    }
    at += std::chrono::days(60);
    EXPECT_FALSE(visitors.find(phone.secret)) << "after 400 days";
    const auto idle = visitors.admit("idle", Role::full).value();
    at += std::chrono::days(90);
    EXPECT_FALSE(visitors.find(idle.secret));
    EXPECT_TRUE(visitors.devices().empty());
}

TEST_F(VisitorsTest, WritesDownWhoWasSeenOnceAnHour) {
    const auto phone = visitors.admit("phone", Role::full).value();
    at += std::chrono::minutes(59);
    (void)visitors.find(phone.secret);
    visitors.tend();
    EXPECT_EQ(another().devices().front().seen, at - std::chrono::minutes(59));
    EXPECT_EQ(visitors.devices().front().seen, at);
    at += std::chrono::minutes(1);
    (void)visitors.find(phone.secret);
    visitors.tend();
    EXPECT_EQ(another().devices().front().seen, at);
}

TEST_F(VisitorsTest, AnotherPassphraseSignsEveryoneOut) {
    ASSERT_TRUE(visitors.set_passphrase("hash one"));
    const auto phone = visitors.admit("phone", Role::full).value();
    ASSERT_TRUE(another().set_passphrase("hash two"));
    EXPECT_EQ(visitors.passphrase(), "hash two");
    EXPECT_FALSE(visitors.find(phone.secret));
}

TEST_F(VisitorsTest, ThereIsRoomForSoManyDevices) {
    const auto first = visitors.admit("first", Role::full).value();
    for (std::size_t i = 1; i < most_devices; ++i) {
        at += std::chrono::seconds(1);
        ASSERT_TRUE(visitors.admit("more", Role::view));
    }
    ASSERT_TRUE(visitors.find(first.secret));  // now it was seen last
    at += std::chrono::seconds(1);
    ASSERT_TRUE(visitors.admit("one too many", Role::view));
    EXPECT_EQ(visitors.devices().size(), most_devices);
    EXPECT_TRUE(visitors.find(first.secret));
}

TEST_F(VisitorsTest, KnowsWhereThePageIs) {
    EXPECT_EQ(visitors.page(), PagePlace{});
    const PagePlace page{false, "192.168.8.1", 80};
    ASSERT_TRUE(visitors.set_page(page));
    const auto mark = visitors.file().mark();
    ASSERT_TRUE(visitors.set_page(page));
    EXPECT_EQ(visitors.file().mark(), mark) << "what is the same is not written again";
    EXPECT_EQ(another().page(), page);
}

TEST_F(VisitorsTest, WhereTheFileIsDamagedNobodyIsKnown) {
    const auto phone = visitors.admit("phone", Role::full).value();
    std::ofstream(file) << "{}";
    EXPECT_FALSE(visitors.find(phone.secret));
    const auto refused = visitors.admit("another", Role::full);
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error().fault, StateFault::damaged);
    EXPECT_THAT(refused.error().message, HasSubstr("amphora devices passphrase"));
}

TEST_F(VisitorsTest, ChangesOfSeveralProcessesAtOnceAllHold) {
    std::vector<std::thread> threads;
    for (int t = 0; t < 4; ++t)
        threads.emplace_back([this] {
            Visitors mine = another();
            for (int i = 0; i < 10; ++i) EXPECT_TRUE(mine.admit("device", Role::view));
        });
    for (auto& thread : threads) thread.join();
    EXPECT_EQ(visitors.devices().size(), 40U);
}

TEST(DeviceName, IsFitToBePrinted) {
    EXPECT_EQ(name_fault("Bed's phone é"), "");
    for (const std::string name : {"", "a\x1b[31m", "a\nb", "a\x7f", "a\xC2\x9b", "tab\t"})
        EXPECT_NE(name_fault(name), "") << name;
    EXPECT_NE(name_fault(std::string(61, 'a')), "");
}

}  // namespace
}  // namespace amphora::access
