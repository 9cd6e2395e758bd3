#include "io/sink/spool.hpp"

#include <fcntl.h>
#include <fmt/core.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>

namespace amphora::sink {
namespace {

std::string folder() {
    const char* chosen = std::getenv("TMPDIR");  // NOLINT(concurrency-mt-unsafe): nothing here sets variables
    return chosen != nullptr && *chosen != '\0' ? chosen : "/var/tmp";
}

}  // namespace

std::expected<SpoolFile, SinkError> SpoolFile::create() {
    const auto where = folder();
    std::string name = where + "/amphora.XXXXXX";
    const int descriptor = ::mkostemp(name.data(), O_CLOEXEC);
    if (descriptor >= 0) ::unlink(name.c_str());
    File file(descriptor >= 0 ? ::fdopen(descriptor, "w+") : nullptr, &std::fclose);
    if (!file)
        return std::unexpected(
            SinkError{SinkFault::cannot_create,
                      fmt::format("{}: no file can be created there: {}; set TMPDIR to a folder that can be written",
                                  where, std::strerror(errno))});
    return SpoolFile(std::move(file));
}

void SpoolFile::append(const void* bytes, std::size_t count) { std::fwrite(bytes, 1, count, file_.get()); }

std::expected<void, SinkError> SpoolFile::rewind() {
    if (std::ferror(file_.get()) != 0 || std::fseek(file_.get(), 0, SEEK_SET) != 0)
        return std::unexpected(SinkError{SinkFault::cannot_write,
                                         fmt::format("{}: no room for the estimates: {}; set TMPDIR to another folder",
                                                     folder(), std::strerror(errno))});
    return {};
}

bool SpoolFile::read(void* bytes, std::size_t count) { return std::fread(bytes, 1, count, file_.get()) == count; }

}  // namespace amphora::sink
