// Reads any delimited text, or JSON lines, by a mapping. Memory does not grow with the log: each line is read and
// forgotten, but for logs that are grouped by quantity, which are sorted (SeriesJoin says how).
#pragma once

#include <cstdint>
#include <expected>
#include <memory>
#include <string>
#include <vector>

#include "core/quantity/reading.hpp"
#include "io/intake/mapping.hpp"
#include "io/intake/sign_check.hpp"
#include "io/source/byte_input.hpp"

namespace amphora::intake {

struct BadLine {
    std::uint64_t number = 0;
    std::string why;
    std::string text;
};

struct LogReport {
    std::uint64_t lines = 0;  // with content
    std::uint64_t readings = 0;
    std::uint64_t bad = 0;
    std::uint64_t beyond = 0;        // values that the meter could not show (OL), left out
    std::uint64_t others = 0;        // lines of other meters; in none of the above
    std::vector<BadLine> first_bad;  // at most 5
    SignCheck sign;
};

class LogReader {
public:
    /// Finds the mapped columns; the error says which are missing and which there are.
    [[nodiscard]] static std::expected<LogReader, std::string> open(std::unique_ptr<source::ByteInput> input,
                                                                    const Mapping& mapping);
    ~LogReader();
    LogReader(LogReader&&) noexcept;
    LogReader& operator=(LogReader&&) noexcept;

    /// At most `most` further readings, in the order of the log (in that of time where it had to be sorted); none at
    /// its end. Bad lines are counted and passed over.
    [[nodiscard]] std::expected<std::vector<Reading>, std::string> next(std::size_t most);

    [[nodiscard]] const LogReport& report() const;
    /// Bytes taken so far of those in all (0: not known), before unpacking not counted.
    [[nodiscard]] std::uint64_t bytes_read() const;

private:
    class Parts;
    explicit LogReader(std::unique_ptr<Parts> parts);
    std::unique_ptr<Parts> parts_;
};

}  // namespace amphora::intake
