#include "core/design/year_lanes.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "core/design/draws.hpp"

// Wider vectors where the machine has them. The arithmetic is the same to the bit: no contraction, no reordering.
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(__SANITIZE_ADDRESS__)
#define AMPHORA_WIDE __attribute__((target_clones("avx512f", "avx2", "default")))
#else
#define AMPHORA_WIDE
#endif

namespace amphora::design {
namespace {

/// All that the inner loops touch, in one object: the compiler then knows that no array overlaps another, without which
/// it would not go wide.
struct Work {
    alignas(64) float first_well[lanes];
    float total[lanes];
    DayChance chance;
    // of the hour
    float sun[lanes];
    // sums of the day
    float unserved[lanes];
    float dry[lanes];
    float lowest[lanes];
    float wasted[lanes];
    float moved[lanes];
};

struct Hour {
    float load;
    float steady;
    float air;
    float coldest;
};

inline float least(float a, float b) { return a < b ? a : b; }
inline float most(float a, float b) { return a > b ? a : b; }
inline float within(float x, float low, float high) { return least(most(x, low), high); }

/// Power of one solar charger in one hour, added to what the others give.
inline __attribute__((always_inline)) void add_sun(const SolarTable& s, std::size_t hour, float air, Work& w) {
    const float a = s.a[hour];
    const float b = s.b[hour];
    const float p0 = s.p0 + s.p1 * air;
    const float p1 = s.p1;
    const float p2 = s.p2;
    const float ceiling = s.most;
    for (int l = 0; l < lanes; ++l) {
        const float g = most(0.0F, w.chance.clearness[l] * (a + w.chance.diffuse[l] * b));
        w.sun[l] += within(g * (p0 + p1 * w.chance.warmer[l] + p2 * g), 0.0F, ceiling);
    }
}

/// Open-circuit voltage, the pieces written out so that the loop over lanes stays the innermost.
template <std::size_t... I>
inline __attribute__((always_inline)) float open_voltage(const BankTable& b, float z, std::index_sequence<I...>) {
    return (b.volt0 + ... + (b.slope[I] * within(z - b.from[I], 0.0F, b.width[I])));
}

/// One hour of the bank for all lanes.
inline __attribute__((always_inline)) void step_bank(const BankTable& table, const Hour& hour, Work& w) {
    const BankTable b = table;  // its own copy: nothing below can change it
    const float one_over_capacity = 1.0F / b.capacity;
    const float share_kept = b.well * (1.0F - b.keep);
    const float room = b.well * b.capacity;
    const float one_over_pull = 1.0F / b.pull;
    const float one_over_climb = 1.0F / (1.0F - b.loss_onset + 1e-6F);
    const float air = hour.air;
    const float load = hour.load;
    const float steady = hour.steady;
    const float coldest = hour.coldest;
    for (int l = 0; l < lanes; ++l) {
        const float q1 = w.first_well[l];
        const float q0 = w.total[l];
        const float z = q0 * one_over_capacity;
        const float temperature = most(coldest, air + w.chance.warmer[l]);
        const float cold = most(0.0F, 25.0F - temperature);
        const float open = open_voltage(b, z, std::make_index_sequence<BankTable::pieces>{});
        const float resistance = b.resistance * (1.0F + b.colder * cold);

        // Power to current, by one step from the open-circuit voltage; positive is out of the battery.
        const float wanted = load * w.chance.use[l] - w.sun[l] - steady;
        const float volt = most(0.7F * open, open - resistance * (wanted / open));
        const float amperes = wanted / volt;

        // What the bank can give: no lower than the reserve, or than the cold lets it, no more than the first well has.
        const float stays = most(b.floor, b.capacity * b.fade_in_cold * cold);
        const float give =
            within(least(q0 - stays, (b.keep * q1 + share_kept * q0) * one_over_pull), 0.0F, b.most_discharge);
        // What it takes: the chargers' voltage, its own limit, the room left, and nothing in the frost.
        const float by_volt = (b.volt_full - open) / resistance;
        const float by_room = (room - b.keep * q1 - share_kept * q0) * one_over_pull;
        const float warm_enough = within((temperature - b.charge_from) * 1e6F, 0.0F, b.most_charge);
        const float take = most(0.0F, least(least(by_volt, by_room), least(warm_enough, b.capacity - q0)));

        const float current = within(amperes, -take, give);
        const float short_of = most(0.0F, amperes - current);
        const float lost = 1.0F - b.loss * (b.loss_floor + (1.0F - b.loss_floor) *
                                                               within((z - b.loss_onset) * one_over_climb, 0.0F, 1.0F));
        const float drawn = most(current, 0.0F);
        const float out = drawn + least(current, 0.0F) * lost + b.self;
        const float left = within(q0 - out, 0.0F, b.capacity);

        w.first_well[l] = within(b.keep * q1 + share_kept * q0 - out * b.pull, 0.0F, room);
        w.total[l] = left;
        w.unserved[l] += short_of * volt;
        w.dry[l] += least(1.0F, short_of * 1e3F);  // an hour counts whole from a milliampere on
        w.wasted[l] += most(0.0F, current - amperes) * volt;
        w.lowest[l] = least(w.lowest[l], left * one_over_capacity);
        w.moved[l] += drawn;
    }
}

AMPHORA_WIDE
void walk_day(const YearTables& t, int day, Work& w, std::vector<float>* trace) {
    for (int h = 0; h < 24; ++h) {
        const auto hour = static_cast<std::size_t>(day) * 24 + static_cast<std::size_t>(h);
        for (float& watts : w.sun) watts = 0.0F;
        for (const SolarTable& s : t.solar) add_sun(s, hour, t.air[hour], w);
        step_bank(t.bank, {t.load[hour], t.steady[hour], t.air[hour], t.coldest}, w);
        if (trace != nullptr) trace->push_back(w.total[0] / t.bank.capacity);
    }
}

}  // namespace

Block start(const YearTables& tables) {
    Block b;
    b.first_well.fill(tables.bank.well * tables.bank.capacity);
    b.total.fill(tables.bank.capacity);
    return b;
}

BlockYear walk_year(const YearTables& tables, const Chances& chances, std::uint64_t seed, std::uint64_t first_draw,
                    int year, Block& block, std::vector<float>* trace) {
    BlockYear result;
    for (Lane& l : result.lowest) l.fill(1.0F);
    Work w{};
    std::ranges::copy(block.first_well, w.first_well);
    std::ranges::copy(block.total, w.total);
    for (int n = 0; n < days_per_year; ++n) {
        const int day = (tables.first_day + n) % days_per_year;
        const std::uint64_t key =
            mixed(seed ^ mixed(static_cast<std::uint64_t>(year) * 1000U + static_cast<std::uint64_t>(n)));
        draw_day(tables, chances, key, first_draw, day, block.memory, w.chance);
        std::ranges::fill(w.unserved, 0.0F);
        std::ranges::fill(w.dry, 0.0F);
        std::ranges::fill(w.wasted, 0.0F);
        std::ranges::fill(w.lowest, 1.0F);
        walk_day(tables, day, w, trace);
        const auto m = static_cast<std::size_t>(tables.month[static_cast<std::size_t>(day)]);
        for (std::size_t l = 0; l < lanes; ++l) {
            result.unserved[m][l] += w.unserved[l];
            result.dry_hours[m][l] += w.dry[l];
            result.wasted[m][l] += w.wasted[l];
            result.lowest[m][l] = least(result.lowest[m][l], w.lowest[l]);
        }
    }
    std::ranges::copy(w.first_well, block.first_well.begin());
    std::ranges::copy(w.total, block.total.begin());
    std::ranges::copy(w.moved, result.moved.begin());
    return result;
}

}  // namespace amphora::design
