// Values on their way from any order into that of time, in bounded memory: what does not fit lies in a temporary file.
#pragma once

#include <cstdint>
#include <optional>
#include <queue>
#include <string>
#include <vector>

namespace amphora::intake {

/// One value of one quantity: 16 bytes, in memory as in the file.
struct SpooledValue {
    static constexpr std::int64_t most_quantities = 16;

    std::int64_t key = 0;  // microseconds since 1970 times most_quantities, and the quantity
    double value = 0.0;

    [[nodiscard]] std::int64_t us() const { return key / most_quantities; }
    [[nodiscard]] std::size_t quantity() const { return static_cast<std::size_t>(key % most_quantities); }
};

/// Sorts by time, then quantity; what has both alike stays in the order in which it came. Memory: 16 bytes for each of
/// `in_memory` values and as much again while they are sorted; in the file 16 bytes a value.
class SortedSpool {
public:
    explicit SortedSpool(std::size_t in_memory) : in_memory_(in_memory) {}
    ~SortedSpool();
    SortedSpool(const SortedSpool&) = delete;
    SortedSpool& operator=(const SortedSpool&) = delete;

    void put(SpooledValue value);
    /// After the last put(), before the first next().
    void end();
    /// The next in order; nothing after the last, or on an error().
    [[nodiscard]] std::optional<SpooledValue> next();
    /// What went wrong with the temporary file, as a sentence; empty when nothing did.
    [[nodiscard]] const std::string& error() const { return error_; }

private:
    /// A sorted stretch of the file, and the part of it that is in memory.
    struct Run {
        std::uint64_t at = 0;  // values; where the file is read next
        std::uint64_t end = 0;
        std::vector<SpooledValue> part;
        std::size_t taken = 0;
    };
    struct Head {
        SpooledValue value;
        std::size_t run;
        bool operator<(const Head& other) const {  // the smallest comes first out of a priority queue
            return value.key != other.value.key ? value.key > other.value.key : run > other.run;
        }
    };

    void spill();
    void take_head(std::size_t run);
    bool fill(Run& run);
    bool open_file();

    std::size_t in_memory_;
    std::vector<SpooledValue> values_;  // not in the file yet; without a file: all, sorted once ended
    std::size_t taken_ = 0;
    int file_ = -1;
    std::uint64_t written_ = 0;  // values
    std::vector<Run> runs_;
    std::priority_queue<Head> heads_;
    std::string error_;
};

}  // namespace amphora::intake
