#include "io/web/api/description_file.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <fstream>
#include <iterator>
#include <span>

#include "core/ledger/crc32c.hpp"

namespace amphora::web {
namespace {

/// Writes a file and waits until the device has it; an empty text when that worked, else why not.
std::string write_through(const std::filesystem::path& file, std::string_view text) {
    const int descriptor = ::open(file.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0644);
    if (descriptor < 0) return std::strerror(errno);
    std::string fault;
    while (!text.empty() && fault.empty()) {
        const ssize_t written = ::write(descriptor, text.data(), text.size());
        if (written < 0) {
            fault = std::strerror(errno);
        } else {
            text.remove_prefix(static_cast<std::size_t>(written));
        }
    }
    if (fault.empty() && ::fsync(descriptor) != 0) fault = std::strerror(errno);
    ::close(descriptor);
    return fault;
}

std::filesystem::path beside(const std::filesystem::path& file, std::string_view ending) {
    std::filesystem::path other = file;
    other += ending;
    return other;
}

}  // namespace

std::string DescriptionFile::text() const {
    std::ifstream in(file_, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

std::string DescriptionFile::mark_of(std::string_view text) {
    const std::span bytes(reinterpret_cast<const std::uint8_t*>(text.data()), text.size());
    return fmt::format("{:08x}-{}", ledger::crc32c(bytes), text.size());
}

std::expected<describe::Described, SaveFault> DescriptionFile::save(const std::string& changed, std::string_view mark) {
    const std::string before = text();
    if (mark_of(before) != mark) {
        return std::unexpected(
            SaveFault{SaveFault::Kind::changed,
                      "The description was changed meanwhile, from elsewhere. Look at it as it is now, and make the "
                      "change again."});
    }
    auto described = describe::describe_text(changed);
    if (!described) {
        return std::unexpected(SaveFault{
            SaveFault::Kind::mistaken,
            fmt::format("There {} in it: nothing was saved.",
                        described.error().size() == 1 ? std::string("is a mistake")
                                                      : fmt::format("are {} mistakes", described.error().size()))});
    }
    const auto refused = [&](const std::string& why) {
        return std::unexpected(
            SaveFault{SaveFault::Kind::unwritable,
                      fmt::format("{} cannot be written ({}): nothing was saved.", file_.string(), why)});
    };
    if (const auto fault = write_through(beside(file_, ".before"), before); !fault.empty()) return refused(fault);
    const auto fresh = beside(file_, ".new");
    if (const auto fault = write_through(fresh, changed); !fault.empty()) return refused(fault);
    std::error_code error;
    std::filesystem::rename(fresh, file_, error);
    if (error) return refused(error.message());
    return std::move(*described);
}

}  // namespace amphora::web
