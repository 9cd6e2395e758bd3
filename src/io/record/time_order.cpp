#include "io/record/time_order.hpp"

#include <limits>
#include <list>

namespace amphora::record {
namespace {

constexpr std::int64_t never = std::numeric_limits<std::int64_t>::max();

/// A decoded block and how far it was visited.
struct Open {
    ledger::Columns columns;
    std::size_t at = 0;
    std::size_t end = 0;

    [[nodiscard]] std::int64_t front() const { return columns.time_us[at]; }
    /// Where the first reading at or after `us` lies, from `at` on.
    [[nodiscard]] std::size_t reach(std::int64_t us) const {
        const auto begin = columns.time_us.begin();
        return static_cast<std::size_t>(
            std::lower_bound(begin + static_cast<std::ptrdiff_t>(at), begin + static_cast<std::ptrdiff_t>(end), us) -
            begin);
    }
};

class Merge {
public:
    Merge(std::int64_t from_us, std::int64_t to_us, const Visit& visit) : from_(from_us), to_(to_us), visit_(visit) {}

    void open(ledger::Columns columns) {
        Open block{std::move(columns)};
        block.end = block.columns.size();
        block.at = block.reach(from_);
        block.end = block.reach(to_);
        if (block.at < block.end) open_.push_back(std::move(block));
    }
    /// The earliest reading not yet visited.
    [[nodiscard]] std::int64_t front() const {
        std::int64_t earliest = never;
        for (const Open& b : open_) earliest = std::min(earliest, b.front());
        return earliest;
    }
    /// Visits everything before `limit`; ties in the order in which blocks were opened.
    void run_to(std::int64_t limit) {
        while (!open_.empty() && front() < limit) {
            const auto first = std::ranges::min_element(open_, {}, &Open::front);
            std::int64_t others = limit;
            for (auto b = open_.begin(); b != open_.end(); ++b)
                if (b != first) others = std::min(others, std::max(b->front(), first->front() + 1));
            const std::size_t until = std::max(first->reach(others), first->at + 1);
            visit_(first->columns, first->at, until);
            first->at = until;
            if (first->at < first->end) continue;
            spare_ = std::move(first->columns);
            open_.erase(first);
        }
    }
    /// Memory of a block that was visited, to be used again.
    [[nodiscard]] ledger::Columns spare() { return std::move(spare_); }

private:
    std::int64_t from_;
    std::int64_t to_;
    const Visit& visit_;
    std::list<Open> open_;
    ledger::Columns spare_;
};

}  // namespace

void visit_in_order(const Database& database, std::span<const BlockRow> rows, const ledger::Columns& tail,
                    std::int64_t from_us, std::int64_t to_us, const Visit& visit) {
    Merge merge(from_us, to_us, visit);
    bool tail_open = tail.size() == 0;
    for (const BlockRow& row : rows) {
        if (!tail_open && tail.time_us.front() <= row.first_us) {
            merge.run_to(tail.time_us.front());
            merge.open(tail);
            tail_open = true;
        }
        merge.run_to(row.first_us);
        ledger::Columns columns = merge.spare();
        load_block(database, row, columns);
        merge.open(std::move(columns));
    }
    if (!tail_open) {
        merge.run_to(tail.time_us.front());
        merge.open(tail);
    }
    merge.run_to(never);
}

}  // namespace amphora::record
