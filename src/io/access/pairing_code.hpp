// A link as a code that a telephone's camera reads: QR code, ISO/IEC 18004.
#pragma once

#include <expected>
#include <string>
#include <string_view>
#include <vector>

namespace amphora::access {

class PairingCode {
public:
    /// An error where the text is longer than such a code holds.
    static std::expected<PairingCode, std::string> of(const std::string& text);

    /// Modules on each side, without the quiet zone.
    [[nodiscard]] int size() const { return size_; }
    /// Outside it is light.
    [[nodiscard]] bool dark(int column, int row) const;

private:
    int size_ = 0;
    std::vector<bool> modules_;  // by rows
};

/// The quiet zone that the standard asks for around it, in modules.
inline constexpr int quiet_zone = 4;

/// For a terminal: two modules in each character, quiet zone included. With `coloured` black on white is asked for;
/// else the terminal's letters are taken to be lighter than what is behind them.
[[nodiscard]] std::string half_blocks(const PairingCode& code, bool coloured);

/// The dark modules as the data of an SVG path, a module being one unit and the quiet zone left out.
[[nodiscard]] std::string svg_path(const PairingCode& code);

}  // namespace amphora::access
