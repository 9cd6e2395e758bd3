#include "io/source/byte_input.hpp"

#include <fcntl.h>
#include <fmt/core.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <utility>

namespace amphora::source {
namespace {

class FileInput final : public ByteInput {
public:
    FileInput(int descriptor, bool owned, std::string name)
        : descriptor_(descriptor), owned_(owned), name_(std::move(name)) {}
    FileInput(const FileInput&) = delete;
    FileInput& operator=(const FileInput&) = delete;
    FileInput(FileInput&&) = delete;
    FileInput& operator=(FileInput&&) = delete;
    ~FileInput() override {
        if (owned_) ::close(descriptor_);
    }

    std::expected<std::size_t, SourceError> read(std::span<char> room) override {
        for (;;) {
            const auto got = ::read(descriptor_, room.data(), room.size());
            if (got >= 0) return static_cast<std::size_t>(got);
            if (errno == EINTR) continue;
            return std::unexpected(SourceError{SourceFault::cannot_read,
                                               fmt::format("{}: cannot be read: {}", name_, std::strerror(errno))});
        }
    }

    [[nodiscard]] std::optional<std::uint64_t> size() const override {
        struct stat about{};
        if (::fstat(descriptor_, &about) != 0 || !S_ISREG(about.st_mode)) return std::nullopt;
        return static_cast<std::uint64_t>(about.st_size);
    }

    [[nodiscard]] std::string name() const override { return name_; }

private:
    int descriptor_;
    bool owned_;
    std::string name_;
};

class MemoryInput final : public ByteInput {
public:
    MemoryInput(std::string_view bytes, std::size_t piece) : rest_(bytes), size_(bytes.size()), piece_(piece) {}

    std::expected<std::size_t, SourceError> read(std::span<char> room) override {
        const auto count = std::min({rest_.size(), room.size(), piece_});
        std::ranges::copy(rest_.substr(0, count), room.begin());
        rest_.remove_prefix(count);
        return count;
    }

    [[nodiscard]] std::optional<std::uint64_t> size() const override { return size_; }
    [[nodiscard]] std::string name() const override { return "memory"; }

private:
    std::string_view rest_;
    std::uint64_t size_;
    std::size_t piece_;
};

}  // namespace

std::expected<std::unique_ptr<ByteInput>, SourceError> open_input(const std::string& path) {
    if (path == "-") return std::make_unique<FileInput>(STDIN_FILENO, false, "standard input");
    const int descriptor = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
    if (descriptor < 0)
        return std::unexpected(
            SourceError{SourceFault::cannot_open, fmt::format("{}: cannot be opened: {}", path, std::strerror(errno))});
    ::posix_fadvise(descriptor, 0, 0, POSIX_FADV_SEQUENTIAL);
    return std::make_unique<FileInput>(descriptor, true, path);
}

std::unique_ptr<ByteInput> memory_input(std::string_view bytes, std::size_t piece) {
    return std::make_unique<MemoryInput>(bytes, piece);
}

}  // namespace amphora::source
