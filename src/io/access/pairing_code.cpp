#include "io/access/pairing_code.hpp"

#include <fmt/format.h>
#include <qrencode.h>

#include <iterator>
#include <memory>

namespace amphora::access {

std::expected<PairingCode, std::string> PairingCode::of(const std::string& text) {
    const std::unique_ptr<QRcode, decltype(&::QRcode_free)> made(
        ::QRcode_encodeString8bit(text.c_str(), 0, QR_ECLEVEL_M), &::QRcode_free);
    if (!made) return std::unexpected(std::string("the link is too long for a code; type it instead"));
    PairingCode code;
    code.size_ = made->width;
    const auto count = static_cast<std::size_t>(made->width) * static_cast<std::size_t>(made->width);
    code.modules_.reserve(count);
    for (std::size_t i = 0; i < count; ++i) code.modules_.push_back((made->data[i] & 1U) != 0);
    return code;
}

bool PairingCode::dark(int column, int row) const {
    if (column < 0 || row < 0 || column >= size_ || row >= size_) return false;
    return modules_[(static_cast<std::size_t>(row) * static_cast<std::size_t>(size_)) +
                    static_cast<std::size_t>(column)];
}

std::string half_blocks(const PairingCode& code, bool coloured) {
    std::string text;
    for (int row = -quiet_zone; row < code.size() + quiet_zone; row += 2) {
        if (coloured) text += "\x1b[30;107m";
        for (int column = -quiet_zone; column < code.size() + quiet_zone; ++column) {
            // What is drawn: the dark modules in black letters, or the light ones in light letters.
            const bool upper = code.dark(column, row) == coloured;
            const bool lower = code.dark(column, row + 1) == coloured;
            text += upper ? (lower ? "\u2588" : "\u2580") : (lower ? "\u2584" : " ");
        }
        text += coloured ? "\x1b[0m\n" : "\n";
    }
    return text;
}

std::string svg_path(const PairingCode& code) {
    std::string path;
    for (int row = 0; row < code.size(); ++row)
        for (int column = 0; column < code.size();) {
            int end = column;
            while (code.dark(end, row)) ++end;
            if (end > column)
                fmt::format_to(std::back_inserter(path), "M{} {}h{}v1h-{}z", column, row, end - column, end - column);
            column = end + 1;
        }
    return path;
}

}  // namespace amphora::access
