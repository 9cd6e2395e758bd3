// Records put aside in a file without a name, to be read once more from the front: for a second pass over what is too
// much for memory. The file is gone when the spool is, or when the program dies.
#pragma once

#include <concepts>
#include <cstddef>
#include <cstdio>
#include <expected>
#include <memory>
#include <string>
#include <type_traits>

#include "io/sink/output_file.hpp"

namespace amphora::sink {

/// The bytes under a spool, in $TMPDIR or else /var/tmp, which outlives neither the program nor a crash.
class SpoolFile {
public:
    static std::expected<SpoolFile, SinkError> create();

    /// Appends; a failure is kept and told by rewind().
    void append(const void* bytes, std::size_t count);
    /// Back to the front, to be read. An error if anything could not be kept.
    std::expected<void, SinkError> rewind();
    /// False at the end.
    bool read(void* bytes, std::size_t count);

private:
    using File = std::unique_ptr<std::FILE, int (*)(std::FILE*)>;
    explicit SpoolFile(File file) : file_(std::move(file)) {}
    File file_;
};

template <class Record>
    requires std::is_trivially_copyable_v<Record>
class Spool {
public:
    static std::expected<Spool, SinkError> create() {
        auto file = SpoolFile::create();
        if (!file) return std::unexpected(std::move(file.error()));
        return Spool(std::move(*file));
    }

    /// Puts a record aside.
    void keep(const Record& record) { file_.append(&record, sizeof record); }

    /// Calls `visit` with every record, in the order in which they were kept.
    std::expected<void, SinkError> replay(std::invocable<const Record&> auto visit) {
        if (auto rewound = file_.rewind(); !rewound) return rewound;
        for (Record record; file_.read(&record, sizeof record);) visit(record);
        return {};
    }

private:
    explicit Spool(SpoolFile file) : file_(std::move(file)) {}
    SpoolFile file_;
};

}  // namespace amphora::sink
