#include "io/source/sysfs/number_file.hpp"

#include <fcntl.h>
#include <fmt/core.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstring>

#include "io/source/bad_line.hpp"
#include "io/source/decimal.hpp"

namespace amphora::sysfs {
namespace {

constexpr std::size_t longest = 255;

std::unexpected<FileError> failure(FileFault fault, const std::filesystem::path& file, std::string_view what) {
    return std::unexpected(FileError{fault, fmt::format("{}: {}", file.string(), what)});
}

std::unexpected<FileError> system_failure(const std::filesystem::path& file, int code) {
    const bool gone = code == ENOENT || code == ENODEV || code == ENXIO || code == ENOTDIR;
    return failure(gone ? FileFault::absent : FileFault::unreadable, file, std::strerror(code));
}

}  // namespace

// A FIFO or a device in place of the attribute must not hold the reader up: hence O_NONBLOCK.
std::expected<std::string, FileError> read_text(const std::filesystem::path& file) {
    const int descriptor = ::open(file.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK);
    if (descriptor < 0) return system_failure(file, errno);
    std::array<char, longest> room{};
    ssize_t got = 0;
    do got = ::read(descriptor, room.data(), room.size());
    while (got < 0 && errno == EINTR);
    const int code = errno;
    ::close(descriptor);
    if (got < 0) return system_failure(file, code);
    std::string text(room.data(), static_cast<std::size_t>(got));
    while (!text.empty() && (text.back() == '\n' || text.back() == ' ')) text.pop_back();
    return text;
}

std::expected<double, FileError> read_number(const std::filesystem::path& file) {
    const auto text = read_text(file);
    if (!text) return std::unexpected(text.error());
    const auto* const last = text->data() + text->size();
    const auto number = source::read_decimal(text->data(), last);
    const bool whole = number.end == last && text->size() < longest;  // what fills the room may be cut short
    if (number.fault != source::NumberFault::none || !whole)
        return failure(FileFault::not_a_number, file,
                       fmt::format("expected a number, found \"{}\"", source::excerpt(*text)));
    return number.value;
}

}  // namespace amphora::sysfs
