// A file that is there in full or not at all: written beside its place under another name, then renamed.
#pragma once

#include <cstdint>
#include <expected>
#include <memory>
#include <string>
#include <string_view>

namespace amphora::sink {

enum class SinkFault : std::uint8_t { cannot_create, cannot_write };

struct SinkError {
    SinkFault fault;
    std::string message;  // what, where; without a full stop
};

/// Who may read a file once it is there: whoever could before, or where it is new whoever may read any new file of this
/// user; or only its owner. What root makes for its owner alone belongs to the owner of the folder.
enum class Readers : std::uint8_t { usual, owner };

class OutputFile {
public:
    /// Makes the new file, so that a folder that cannot be written shows at once. "-" is the standard output, which is
    /// written straight. A file that is there already stays as it is until commit().
    static std::expected<OutputFile, SinkError> create(const std::string& path, Readers readers = Readers::usual);

    OutputFile(OutputFile&&) noexcept;
    OutputFile& operator=(OutputFile&&) noexcept;
    OutputFile(const OutputFile&) = delete;
    OutputFile& operator=(const OutputFile&) = delete;
    ~OutputFile();  // without commit(), nothing is left behind

    /// Appends. A failure is kept and told by commit(), so that writers need not look every time.
    void write(std::string_view bytes);

    /// Writes out what is left, makes it durable, and puts the file in its place.
    std::expected<void, SinkError> commit();

private:
    struct Parts;
    explicit OutputFile(std::unique_ptr<Parts> parts);
    std::unique_ptr<Parts> parts_;
};

/// Puts the text in the file's place, in full or not at all, and durably.
std::expected<void, SinkError> replace_file(const std::string& path, std::string_view text,
                                            Readers readers = Readers::usual);

}  // namespace amphora::sink
