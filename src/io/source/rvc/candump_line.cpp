#include "io/source/rvc/candump_line.hpp"

#include <algorithm>
#include <charconv>

#include "io/source/moment.hpp"

namespace amphora::rvc {
namespace {

constexpr std::uint32_t error_flag = 0x2000'0000;  // of linux/can.h
constexpr std::uint32_t most_of_29_bits = 0x1FFF'FFFF;
constexpr std::uint32_t most_of_11_bits = 0x7FF;
// Seconds since the program or the frame before began are far below any year that a log could be from.
constexpr std::int64_t least_absolute_us = 100'000'000LL * 1'000'000;

void skip_blanks(std::string_view& rest) { rest.remove_prefix(std::min(rest.find_first_not_of(" \t\r"), rest.size())); }

std::string_view next_word(std::string_view& rest) {
    skip_blanks(rest);
    const auto word = rest.substr(0, rest.find_first_of(" \t\r"));
    rest.remove_prefix(word.size());
    return word;
}

template <class T>
std::optional<T> hexadecimal(std::string_view digits) {
    T value{};
    const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), value, 16);
    if (error != std::errc{} || end != digits.data() + digits.size()) return std::nullopt;
    return value;
}

bool read_time(std::string_view& rest, std::optional<Instant>& at) {
    skip_blanks(rest);
    if (!rest.starts_with('(')) return true;
    const auto close = rest.find(')');
    if (close == std::string_view::npos) return false;
    auto text = rest.substr(1, close - 1);
    skip_blanks(text);
    const auto moment = source::read_moment(text.data(), text.data() + text.size());
    if (moment.fault != source::MomentFault::none || moment.end != text.data() + text.size()) return false;
    if (moment.at.us >= least_absolute_us) at = moment.at;
    rest.remove_prefix(close + 1);
    return true;
}

bool read_identifier(std::string_view digits, CanFrame& frame) {
    const auto id = hexadecimal<std::uint32_t>(digits);
    if (!id) return false;
    if (digits.size() == 3) {
        frame.id = *id;
        return *id <= most_of_11_bits;
    }
    if (digits.size() != 8) return false;
    frame.extended = true;
    if ((*id & error_flag) != 0) frame.kind = FrameKind::error;
    frame.id = *id & most_of_29_bits;
    return *id <= (error_flag | most_of_29_bits);
}

bool append_byte(std::string_view digits, CanFrame& frame) {
    const auto byte = hexadecimal<std::uint8_t>(digits);
    if (digits.size() != 2 || !byte || frame.length == frame.bytes.size()) return false;
    frame.bytes[frame.length++] = *byte;
    return true;
}

// "0178090139C43577", "01.78.09", "R" or "R8".
bool read_log_data(std::string_view data, CanFrame& frame) {
    if (data.starts_with('R')) {
        frame.kind = FrameKind::remote;
        return data.size() == 1 || (data.size() == 2 && data[1] >= '0' && data[1] <= '8');
    }
    while (!data.empty()) {
        if (!append_byte(data.substr(0, 2), frame)) return false;
        data.remove_prefix(2);
        if (data.starts_with('.')) data.remove_prefix(1);
    }
    return true;
}

// "[8]  01 78 09 01 39 C4 35 77", "[0]" or "[8]  remote request".
std::optional<CandumpFault> read_printed_data(std::string_view size, std::string_view rest, CanFrame& frame) {
    if (size.size() == 4) return CandumpFault::long_frame;  // "[08]" or "[64]": candump's mark of CAN FD
    const int count = size.size() == 3 ? size[1] - '0' : -1;
    if (size.back() != ']' || count < 0 || count > 8) return CandumpFault::bad_data;
    auto look = rest;
    if (next_word(look) == "remote") {
        frame.kind = FrameKind::remote;
        return std::nullopt;
    }
    for (int i = 0; i < count; ++i)
        if (!append_byte(next_word(rest), frame)) return CandumpFault::bad_data;
    return std::nullopt;
}

// "19FFFD80#...": what stands on both sides of the mark.
std::optional<CandumpFault> read_log_frame(std::string_view word, CanFrame& frame) {
    const auto mark = word.find('#');
    if (!read_identifier(word.substr(0, mark), frame)) return CandumpFault::bad_identifier;
    const auto data = word.substr(mark + 1);
    if (data.starts_with('#')) return CandumpFault::long_frame;
    if (!read_log_data(data, frame)) return CandumpFault::bad_data;
    return std::nullopt;
}

// candump -x puts the direction, and two flags, before the identifier: "RX - -".
std::string_view identifier_behind_flags(std::string_view word, std::string_view& rest) {
    if (word != "RX" && word != "TX") return word;
    next_word(rest);
    next_word(rest);
    return next_word(rest);
}

}  // namespace

std::expected<CandumpLine, CandumpFault> read_candump_line(std::string_view line) {
    CandumpLine found;
    auto rest = line;
    if (!read_time(rest, found.at)) return std::unexpected(CandumpFault::bad_time);
    found.bus = next_word(rest);
    const auto word = identifier_behind_flags(next_word(rest), rest);
    if (found.bus.empty() || word.empty()) return std::unexpected(CandumpFault::no_frame);
    if (word.contains('#')) {
        if (const auto fault = read_log_frame(word, found.frame)) return std::unexpected(*fault);
        return found;
    }
    const auto size = next_word(rest);
    if (!size.starts_with('[')) return std::unexpected(CandumpFault::no_frame);
    if (!read_identifier(word, found.frame)) return std::unexpected(CandumpFault::bad_identifier);
    if (const auto fault = read_printed_data(size, rest, found.frame)) return std::unexpected(*fault);
    return found;
}

std::string_view describe(CandumpFault fault) {
    switch (fault) {
        case CandumpFault::no_frame:
            return "no CAN frame; expected a line such as \"(1700000000.0) can0 19FFFD80#0178090139C43577\"";
        case CandumpFault::bad_time:
            return "no time in the brackets; expected unix seconds";
        case CandumpFault::bad_identifier:
            return "no CAN identifier; expected 3 or 8 hexadecimal digits";
        case CandumpFault::bad_data:
            return "data cut short or no data; expected up to 8 hexadecimal bytes, as many as said";
        case CandumpFault::long_frame:
            return "a CAN FD frame; expected one of at most 8 bytes";
    }
    return "unknown";
}

}  // namespace amphora::rvc
