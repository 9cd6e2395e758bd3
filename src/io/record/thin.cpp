#include "io/record/thin.hpp"

#include <cmath>
#include <vector>

#include "io/record/block_table.hpp"
#include "io/record/derive.hpp"
#include "io/record/record_file.hpp"
#include "io/record/rollup_store.hpp"
#include "io/record/upkeep.hpp"

namespace amphora::record {
namespace {

/// The mean of what is known, to a thousandth of an ampere or volt or a hundredth of a degree: finer than a meter is.
class Mean {
public:
    void add(double v) {
        if (!std::isfinite(v)) return;
        sum_ += v;
        ++count_;
    }
    [[nodiscard]] double value(double steps) const {
        return count_ == 0 ? std::nan("") : std::round(sum_ / count_ * steps) / steps + 0.0;
    }

private:
    double sum_ = 0.0;
    double count_ = 0.0;
};

Reading mean_of(std::span<const Reading> readings) {
    if (readings.size() == 1) return readings.front();
    Mean current;
    Mean voltage;
    Mean temperature;
    for (const Reading& r : readings) {
        current.add(r.current.value());
        voltage.add(r.voltage.value());
        temperature.add(r.temperature.value());
    }
    return {readings.front().at, Ampere(current.value(1000.0)), Volt(voltage.value(1000.0)),
            Celsius(temperature.value(100.0))};
}

std::vector<Reading> thinned(const std::vector<Reading>& readings, std::int64_t every_us) {
    std::vector<Reading> left;
    for (std::size_t i = 0; i < readings.size();) {
        const std::int64_t span = ledger::floor_to(readings[i].at.us, every_us);
        std::size_t end = i + 1;
        while (end < readings.size() && ledger::floor_to(readings[end].at.us, every_us) == span) ++end;
        left.push_back(mean_of(std::span(readings).subspan(i, end - i)));
        i = end;
    }
    return left;
}

/// Visits each block concerned with its readings as they are and as they would be.
template <class Visit>
void for_each_block(const Database& database, const Thinning& t, Visit visit) {
    for (const BlockRow& row : blocks_between(database, INT64_MIN, t.before_us)) {
        if (row.last_us >= t.before_us) continue;
        const auto readings = load_readings(database, row);
        visit(row, readings, thinned(readings, t.every_us));
    }
}

void add(ThinningCost& cost, const std::vector<Reading>& readings, const std::vector<Reading>& left) {
    cost.readings += readings.size();
    cost.readings_left += left.size();
    cost.bytes += ledger::encode_block(readings).size();
    cost.bytes_left += ledger::encode_block(left).size();
}

}  // namespace

Result<ThinningCost> thinning_cost(const std::filesystem::path& file, const Thinning& thinning) {
    return guarded([&] {
        ThinningCost cost;
        for_each_block(open_to_read(file), thinning,
                       [&](const BlockRow&, const auto& readings, const auto& left) { add(cost, readings, left); });
        return cost;
    });
}

Result<ThinningCost> thin(const std::filesystem::path& file, const Thinning& thinning, const LocalDays& days) {
    ThinningCost cost;
    const auto done = guarded([&] {
        Database database = open_existing_to_write(file);
        Transaction t(database);
        for_each_block(database, thinning, [&](const BlockRow& row, const auto& readings, const auto& left) {
            if (left.size() == readings.size()) return;
            add(cost, readings, left);
            mark_rollups_stale(database, row.first_us);
            store_block(database, row.boot, left, row.id);
        });
        if (cost.readings > 0) forget_derived(database);
        t.commit();
        settle_rollups(database, days);
    });
    if (!done) return std::unexpected(done.error());
    if (const auto compacted = compact(file); !compacted) return std::unexpected(compacted.error());
    return cost;
}

}  // namespace amphora::record
