// The code that lets a telephone in, as the terminal shows it: drawn as pixels, photographed askew, and read by a
// decoder that shares nothing with the program (zbarimg of Debian's zbar-tools).
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <string>
#include <vector>

#include "live/program.hpp"
#include "live/served_page.hpp"
#include "support/scratch_folder.hpp"

namespace amphora::live {
namespace {

/// Shades of grey, 0 black to 255 white.
struct Picture {
    int width = 0, height = 0;
    std::vector<unsigned char> shades;

    [[nodiscard]] int at(int x, int y) const {
        if (x < 0 || y < 0 || x >= width || y >= height) return 90;  // the wall behind the screen
        return shades[static_cast<std::size_t>(y * width + x)];
    }
};

/// A terminal of light letters on a dark ground, its cells twice as high as wide, that knows half blocks and "black on
/// white" (ECMA-48: SGR 30 and 107), which is all that the code needs; other letters stay blank.
Picture on_a_screen(const std::string& text) {
    constexpr int across = 7, down = 14, columns = 80;
    struct Cell {
        int upper, lower;
    };
    std::vector<std::vector<Cell>> rows(1);
    int letter = 220, ground = 25;
    for (std::size_t i = 0; i < text.size();) {
        if (text[i] == '\x1b') {
            const std::size_t end = text.find('m', i);
            const bool black_on_white = text.substr(i, end - i) == "\x1b[30;107";
            letter = black_on_white ? 15 : 220;
            ground = black_on_white ? 245 : 25;
            i = end + 1;
        } else if (text[i] == '\n') {
            rows.emplace_back();
            ++i;
        } else if (const std::string glyph = text.substr(i, 3); glyph.starts_with("\xe2\x96")) {
            rows.back().push_back({glyph == "\u2584" ? ground : letter, glyph == "\u2580" ? ground : letter});
            i += 3;
        } else {
            if (text[i] != '\r') rows.back().push_back({ground, ground});
            ++i;
        }
    }
    Picture picture{columns * across, static_cast<int>(rows.size()) * down, {}};
    for (int y = 0; y < picture.height; ++y)
        for (int x = 0; x < picture.width; ++x) {
            const auto& row = rows[static_cast<std::size_t>(y / down)];
            const auto column = static_cast<std::size_t>(x / across);
            const Cell cell = column < row.size() ? row[column] : Cell{25, 25};
            picture.shades.push_back(static_cast<unsigned char>(y % down < down / 2 ? cell.upper : cell.lower));
        }
    return picture;
}

/// Turned by some degrees, a little nearer, blurred, flat, and grainy.
Picture photographed(const Picture& screen, double degrees) {
    constexpr double nearer = 1.3;
    const double angle = degrees * M_PI / 180, sine = std::sin(angle), cosine = std::cos(angle);
    const auto side =
        static_cast<int>(nearer * std::hypot(screen.width, screen.height));  // all of it, however it is turned
    Picture photo{side, side, {}};
    unsigned grain = 1;
    for (int y = 0; y < photo.height; ++y)
        for (int x = 0; x < photo.width; ++x) {
            int sum = 0;
            for (const double dy : {-0.6, 0.0, 0.6})
                for (const double dx : {-0.6, 0.0, 0.6}) {
                    const double u = (x + dx) / nearer - screen.width / 2.0,
                                 v = (y + dy) / nearer - screen.height / 2.0;
                    sum += screen.at(static_cast<int>(std::lround(u * cosine - v * sine + screen.width / 2.0)),
                                     static_cast<int>(std::lround(u * sine + v * cosine + screen.height / 2.0)));
                }
            grain = grain * 1103515245U + 12345U;
            photo.shades.push_back(
                static_cast<unsigned char>(50 + sum / 9 / 2 + static_cast<int>(grain >> 16U) % 17 - 8));
        }
    return photo;
}

/// What the decoder reads in it; empty where it finds no code.
std::string read_code(const Picture& picture, const std::filesystem::path& folder) {
    const std::string file = (folder / "code.pgm").string();
    std::ofstream out(file, std::ios::binary);
    out << "P5\n" << picture.width << ' ' << picture.height << "\n255\n";
    out.write(reinterpret_cast<const char*>(picture.shades.data()),
              static_cast<std::streamsize>(picture.shades.size()));
    out.close();
    std::FILE* decoder = ::popen(("zbarimg --nodbus --quiet --raw " + file + " 2>/dev/null").c_str(), "r");
    std::string said;
    std::array<char, 256> part{};
    while (std::fgets(part.data(), part.size(), decoder) != nullptr) said += part.data();
    ::pclose(decoder);
    return said.substr(0, said.find('\n'));
}

TEST(PairingPicture, ACameraReadsTheCodeOfTheTerminal) {
    if (std::system("command -v zbarimg >/dev/null") != 0)
        GTEST_SKIP() << "THE CODE WAS NOT READ: there is no zbarimg here (scripts/install-packages zbar-tools)";
    const ScratchFolder folder;
    const std::string system = (folder.path() / "van.toml").string();
    const std::string passphrase = (folder.path() / "passphrase").string();
    std::ofstream(system) << "[battery]\nchemistry = \"lfp\"\ndesign_capacity_ah = 200\n";
    std::ofstream(passphrase) << "lantern otter gravel seven\n";
    const ServedPage page({"page", "--system", system, "--port", "0", "--lan", "--address", "127.0.0.1",
                           "--passphrase-file", passphrase});
    const std::vector<std::string> words{"devices", "invite", "--system", system};
    for (const std::string& shown : {show_on_terminal(words, false), show_on_terminal(words, true)}) {
        const std::size_t at = shown.find("http://127.0.0.1:" + std::to_string(page.port()) + "/#/pair?token=");
        ASSERT_NE(at, std::string::npos) << shown;
        const std::string link = shown.substr(at, shown.find_first_of("\r\n", at) - at);
        const Picture screen = on_a_screen(shown);
        EXPECT_EQ(read_code(screen, folder.path()), link);
        for (const double degrees : {-10.0, 4.0, 10.0})
            EXPECT_EQ(read_code(photographed(screen, degrees), folder.path()), link) << degrees << " degrees";
    }
}

}  // namespace
}  // namespace amphora::live
