// Half an hour of live operation in half a minute, with kills, an unplugged meter, garbage, a full disk and a clock
// that is set. The long version is scripts/soak-live.
#include <gtest/gtest.h>
#include <sys/wait.h>

#include <cstdlib>
#include <string>

namespace amphora::live {
namespace {

TEST(Soak, NothingIsLostBeyondTheDurabilityInterval) {
    if (std::system("python3 -c 'import pty' 2>/dev/null") != 0) GTEST_SKIP() << "python3 is needed";
    const std::string command =
        std::string(AMPHORA_SOURCE_DIR) + "/scripts/soak-live --hours 0.5 --kills 2 --program " + AMPHORA_PROGRAM;
    const int status = std::system(command.c_str());
    EXPECT_TRUE(WIFEXITED(status) && WEXITSTATUS(status) == 0);
}

}  // namespace
}  // namespace amphora::live
