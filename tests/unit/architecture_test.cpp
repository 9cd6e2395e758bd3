// The rules of the house, checked on the sources themselves: who may include whom, that every test is built, and that
// no file outgrows a reader.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace amphora {
namespace {

namespace fs = std::filesystem;

const fs::path root = AMPHORA_SOURCE_DIR;

std::vector<fs::path> files_below(const fs::path& folder, const std::set<std::string>& extensions) {
    std::vector<fs::path> found;
    for (const auto& entry : fs::recursive_directory_iterator(folder))
        if (entry.is_regular_file() && extensions.contains(entry.path().extension().string()))
            found.push_back(entry.path().lexically_relative(root));
    std::ranges::sort(found);
    return found;
}

std::vector<fs::path> sources() { return files_below(root / "src", {".hpp", ".cpp", ".h", ".c"}); }

std::vector<std::string> lines_of(const fs::path& file) {
    std::ifstream in(root / file);
    std::vector<std::string> lines;
    for (std::string line; std::getline(in, line);) lines.push_back(line);
    return lines;
}

struct Include {
    std::string what;
    bool system = false;  // in angle brackets
};

std::optional<Include> include_in(std::string_view line) {
    const auto at = line.find_first_not_of(" \t");
    if (at == std::string_view::npos || line[at] != '#') return std::nullopt;
    const auto word = line.find_first_not_of(" \t", at + 1);
    if (word == std::string_view::npos || !line.substr(word).starts_with("include")) return std::nullopt;
    const auto open = line.find_first_of("<\"", word);
    const auto close = line.find_first_of(">\"", open + 1);
    if (open == std::string_view::npos || close == std::string_view::npos) return std::nullopt;
    return Include{std::string(line.substr(open + 1, close - open - 1)), line[open] == '<'};
}

/// "src/core/battery/x.hpp" or "core/battery/x.hpp" -> "core/battery"; "app/x.hpp" -> "app".
std::string room_of(std::string path) {
    if (path.starts_with("src/")) path.erase(0, 4);
    const std::size_t depth = path.starts_with("core/") ? path.find('/', 5) : path.find('/');
    return path.substr(0, depth);
}

/// The core's folders by floor: each may include what lies on a lower floor, and itself; never a neighbour.
const std::map<std::string, int> floor_of{
    {"core/quantity", 0},  {"core/system", 1}, {"core/ledger", 2},   {"core/battery", 2},  {"core/meter", 2},
    {"core/sun", 2},       {"core/health", 2}, {"core/estimate", 3}, {"core/guard", 3},    {"core/commission", 3},
    {"core/appliance", 3}, {"core/fault", 3},  {"core/design", 3},   {"core/pipeline", 4},
};

bool allowed(const std::string& from, const std::string& to) {
    if (from == to) return true;
    const bool to_core = to.starts_with("core/");
    if (from.starts_with("core/")) return to_core && floor_of.at(to) < floor_of.at(from);
    if (from == "twin") return to == "core/quantity" || to == "core/system";
    if (from == "io") return to_core || to == "twin";
    if (from == "app") return to_core || to == "twin" || to == "io";
    return false;
}

TEST(Architecture, EveryFolderOfTheSourcesIsKnown) {
    std::set<std::string> rooms;
    for (const fs::path& file : sources()) rooms.insert(room_of(file.generic_string()));
    EXPECT_TRUE(rooms.contains("core/quantity"));  // else the walk went wrong and every test below would pass
    for (const std::string& room : rooms)
        EXPECT_TRUE(floor_of.contains(room) || room == "io" || room == "twin" || room == "app")
            << room << " has no floor: say in tests/unit/architecture_test.cpp what it may include";
}

TEST(Architecture, IncludesPointDownwards) {
    int seen = 0;
    for (const fs::path& file : sources())
        for (const std::string& line : lines_of(file)) {
            const auto include = include_in(line);
            if (!include || include->system) continue;
            ++seen;
            EXPECT_TRUE(fs::exists(root / "src" / include->what))
                << file << " includes \"" << include->what << "\": write our own headers from src, others in <>";
            EXPECT_TRUE(allowed(room_of(file.generic_string()), room_of(include->what)))
                << file << " includes " << include->what;
        }
    EXPECT_GT(seen, 100);
}

using Arrows = std::map<std::string, std::set<std::string>>;

/// A way from `at` back to a folder on the way to it, as "a -> b -> a"; empty if there is none.
std::string cycle_from(const std::string& at, const Arrows& arrows, std::vector<std::string> way) {
    const bool met = std::ranges::find(way, at) != way.end();
    way.push_back(at);
    if (met) {
        std::string text;
        for (const std::string& folder : way) text += (text.empty() ? "" : " -> ") + folder;
        return text;
    }
    const auto onward = arrows.find(at);
    if (onward == arrows.end()) return "";
    for (const std::string& next : onward->second)
        if (const auto found = cycle_from(next, arrows, way); !found.empty()) return found;
    return "";
}

std::string folder_of_io(const std::string& path) {
    const auto begin = path.find("io/") + 3;
    return path.substr(begin, path.find('/', begin) - begin);
}

TEST(Architecture, NoCycleAmongTheFoldersOfIo) {
    Arrows arrows;
    for (const fs::path& file : sources()) {
        if (room_of(file.generic_string()) != "io") continue;
        for (const std::string& line : lines_of(file)) {
            const auto include = include_in(line);
            if (!include || include->system || room_of(include->what) != "io") continue;
            const auto from = folder_of_io(file.generic_string());
            if (const auto to = folder_of_io(include->what); to != from) arrows[from].insert(to);
        }
    }
    EXPECT_TRUE(arrows["live"].contains("source"));  // else the walk went wrong
    for (const auto& [folder, onward] : arrows) EXPECT_EQ(cycle_from(folder, arrows, {}), "");
}

TEST(Architecture, ACycleIsFound) {
    EXPECT_EQ(cycle_from("a", {{"a", {"b"}}, {"b", {"c"}}, {"c", {"a"}}}, {}), "a -> b -> c -> a");
    EXPECT_EQ(cycle_from("a", {{"a", {"b", "c"}}, {"b", {"c"}}}, {}), "");
}

// A header of the standard library has neither a dot nor a slash in its name. No threads, files, clocks or dice: time
// comes with the readings, and the same readings give the same bits.
TEST(Architecture, TheCoreIsPureStandardLibrary) {
    static const std::set<std::string> worldly{"iostream", "fstream",      "filesystem", "thread",
                                               "mutex",    "shared_mutex", "future"};
    static const std::vector<std::string> unpredictable{"_clock::now", "random_device", "getenv", "time(nullptr)"};
    for (const fs::path& file : sources()) {
        if (!file.generic_string().starts_with("src/core/")) continue;
        for (const std::string& line : lines_of(file)) {
            for (const std::string& word : unpredictable)
                EXPECT_EQ(line.find(word), std::string::npos) << file << ": " << line;
            const auto include = include_in(line);
            if (!include || !include->system) continue;
            EXPECT_EQ(include->what.find_first_of("./"), std::string::npos) << file << " includes " << include->what;
            EXPECT_FALSE(worldly.contains(include->what)) << file << " reaches for the world: " << include->what;
        }
    }
}

TEST(Architecture, NoArrowTurnsBack) {
    EXPECT_TRUE(allowed("core/estimate", "core/battery"));
    EXPECT_TRUE(allowed("app", "io"));
    EXPECT_FALSE(allowed("core/battery", "core/estimate"));
    EXPECT_FALSE(allowed("core/battery", "core/meter"));
    EXPECT_FALSE(allowed("core/pipeline", "io"));
    EXPECT_FALSE(allowed("twin", "core/battery"));
    EXPECT_FALSE(allowed("io", "app"));
}

TEST(Architecture, IncludeLinesAreRead) {
    EXPECT_EQ(include_in("#include \"core/a.hpp\"")->what, "core/a.hpp");
    EXPECT_EQ(include_in("  #  include <vector>")->what, "vector");
    EXPECT_TRUE(include_in("#include <vector>")->system);
    EXPECT_FALSE(include_in("// #include <vector>"));
    EXPECT_FALSE(include_in("#pragma once"));
}

TEST(Architecture, NoSourceFileIsLongerThan400Lines) {
    for (const fs::path& file : sources()) EXPECT_LE(lines_of(file).size(), 400U) << file;
}

// The build writes down which files it compiles into the test programs (tests/CMakeLists.txt).
TEST(Architecture, EveryTestIsInTheBuild) {
    std::set<std::string> built;
    std::ifstream list(AMPHORA_TEST_FILES);
    for (std::string line; std::getline(list, line);)
        built.insert(fs::path(line).lexically_relative(root).generic_string());
    EXPECT_TRUE(built.contains("tests/unit/architecture_test.cpp"));
    for (const fs::path& file : files_below(root / "tests", {".cpp"}))
        EXPECT_TRUE(built.contains(file.generic_string()) || !file.stem().string().ends_with("_test"))
            << file << " is compiled into no test program";
}

TEST(Architecture, UnitTestsMirrorTheSources) {
    for (const fs::path& file : files_below(root / "tests" / "unit", {".cpp"})) {
        const fs::path folder = file.lexically_relative("tests/unit").parent_path();
        EXPECT_TRUE(fs::is_directory(root / "src" / folder)) << file << " tests a folder that is not in src";
    }
}

}  // namespace
}  // namespace amphora
