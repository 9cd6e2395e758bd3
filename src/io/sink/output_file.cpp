#include "io/sink/output_file.hpp"

#include <fcntl.h>
#include <fmt/core.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <utility>

namespace amphora::sink {
namespace {

// A device, pipe or socket cannot be replaced by a file: it is written straight. (Nor can a folder: to open it fails.)
bool is_special(const std::string& path) {
    struct stat about{};
    return ::stat(path.c_str(), &about) == 0 && !S_ISREG(about.st_mode);
}

// The file that a symbolic link leads to, so that it is replaced and not the link.
std::string behind_links(const std::string& path) {
    const std::unique_ptr<char, decltype(&std::free)> real(::realpath(path.c_str(), nullptr), &std::free);
    return real ? real.get() : path;
}

}  // namespace

struct OutputFile::Parts {
    std::string path;       // where it will be
    std::string temporary;  // where it is; empty for the standard output, and once it is in its place
    int descriptor = -1;
    std::string buffer;
    int failure = 0;  // errno of the first write that failed

    Parts() = default;
    Parts(const Parts&) = delete;
    Parts& operator=(const Parts&) = delete;
    Parts(Parts&&) = delete;
    Parts& operator=(Parts&&) = delete;
    ~Parts() {
        if (descriptor > STDERR_FILENO) ::close(descriptor);
        if (!temporary.empty()) ::unlink(temporary.c_str());
    }

    void flush() {
        std::string_view rest = buffer;
        while (!rest.empty() && failure == 0) {
            const auto written = ::write(descriptor, rest.data(), rest.size());
            if (written >= 0)
                rest.remove_prefix(static_cast<std::size_t>(written));
            else if (errno != EINTR)
                failure = errno;
        }
        buffer.clear();
    }

    // What mkstemp gave only to us is given to whom a new file would be.
    void open_to_others() const {
        struct stat before{};
        const bool replaced = ::stat(path.c_str(), &before) == 0;
        const auto mask = ::umask(0);
        ::umask(mask);
        ::fchmod(descriptor, replaced ? before.st_mode & 0777U : 0666U & ~mask);
    }

    // It stays only ours, as mkstemp made it; or the folder's owner's, who could not read what root keeps there.
    [[nodiscard]] bool close_to_others() const {
        if (::geteuid() != 0) return true;
        const auto folder = std::filesystem::path(path).parent_path();
        struct stat about{};
        return ::stat(folder.empty() ? "." : folder.c_str(), &about) == 0 &&
               ::fchown(descriptor, about.st_uid, about.st_gid) == 0;
    }

    [[nodiscard]] std::unexpected<SinkError> failed(int error) const {
        return std::unexpected(
            SinkError{SinkFault::cannot_write, fmt::format("{}: cannot be written: {}", path, std::strerror(error))});
    }
};

OutputFile::OutputFile(std::unique_ptr<Parts> parts) : parts_(std::move(parts)) {}
OutputFile::OutputFile(OutputFile&&) noexcept = default;
OutputFile& OutputFile::operator=(OutputFile&&) noexcept = default;
OutputFile::~OutputFile() = default;

std::expected<OutputFile, SinkError> OutputFile::create(const std::string& path, Readers readers) {
    auto parts = std::make_unique<Parts>();
    if (path == "-") {
        parts->path = "standard output";
        parts->descriptor = STDOUT_FILENO;
    } else if (is_special(path)) {
        parts->path = path;
        parts->descriptor = ::open(path.c_str(), O_WRONLY | O_CLOEXEC);
    } else {
        parts->path = behind_links(path);
        std::string name = parts->path + ".XXXXXX";
        parts->descriptor = ::mkostemp(name.data(), O_CLOEXEC);
        if (parts->descriptor >= 0) {
            parts->temporary = std::move(name);
            if (readers == Readers::usual)
                parts->open_to_others();
            else if (!parts->close_to_others())
                return parts->failed(errno);
        }
    }
    if (parts->descriptor < 0)
        return std::unexpected(
            SinkError{SinkFault::cannot_create, fmt::format("{}: cannot be created: {}", path, std::strerror(errno))});
    return OutputFile(std::move(parts));
}

void OutputFile::write(std::string_view bytes) {
    constexpr std::size_t enough = std::size_t{64} * 1024;
    parts_->buffer += bytes;
    if (parts_->buffer.size() >= enough) parts_->flush();
}

std::expected<void, SinkError> OutputFile::commit() {
    auto& parts = *parts_;
    parts.flush();
    if (parts.failure != 0) return parts.failed(parts.failure);
    if (parts.temporary.empty()) return {};
    if (::fsync(parts.descriptor) != 0) return parts.failed(errno);
    const bool closed = ::close(std::exchange(parts.descriptor, -1)) == 0;
    if (!closed || std::rename(parts.temporary.c_str(), parts.path.c_str()) != 0) return parts.failed(errno);
    parts.temporary.clear();
    // The new name is safe once the folder is; where that cannot be asked for, the file is whole all the same.
    const auto folder = std::filesystem::path(parts.path).parent_path();
    const int place = ::open(folder.empty() ? "." : folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (place >= 0) {
        ::fsync(place);
        ::close(place);
    }
    return {};
}

std::expected<void, SinkError> replace_file(const std::string& path, std::string_view text, Readers readers) {
    auto file = OutputFile::create(path, readers);
    if (!file) return std::unexpected(file.error());
    file->write(text);
    return file->commit();
}

}  // namespace amphora::sink
