#include "core/ledger/column.hpp"

#include <algorithm>
#include <bit>
#include <vector>

#include "core/ledger/column_plan.hpp"
#include "core/ledger/rans.hpp"

namespace amphora::ledger {
namespace {

constexpr std::size_t lane_count = 4;  // a long column is cut into lanes that are decoded side by side
constexpr std::size_t shortest_for_lanes = 2048;
constexpr std::size_t most_contexts = 4;

/// Differences that wrap around: for columns that spread too far for the mean.
class Previous {
public:
    Previous(std::int64_t first, const MeanSettings&) : last_(first) {}
    [[nodiscard]] std::int64_t floor() const { return last_; }
    [[nodiscard]] static unsigned context() { return 0; }
    void learn(std::int64_t value) { last_ = value; }

private:
    std::int64_t last_;
};

std::int64_t wrapping_difference(std::int64_t a, std::int64_t b) {
    return static_cast<std::int64_t>(static_cast<std::uint64_t>(a) - static_cast<std::uint64_t>(b));
}
std::int64_t wrapping_sum(std::int64_t a, std::int64_t b) {
    return static_cast<std::int64_t>(static_cast<std::uint64_t>(a) + static_cast<std::uint64_t>(b));
}

/// Where lane `i` of a column begins; lane `lanes` "begins" at its end.
std::size_t lane_begin(std::size_t count, std::size_t lanes, std::size_t i) {
    return i == lanes ? count : count / lanes * i;
}
std::size_t lanes_for(std::size_t count) { return count >= shortest_for_lanes ? lane_count : 1; }

/// Residuals and their contexts, ready to be coded.
struct Residuals {
    std::vector<std::int64_t> value;
    std::vector<std::uint8_t> context;
};

template <class Predictor>
Residuals residuals_of(std::span<const std::int64_t> values, const MeanSettings& mean) {
    Residuals r{std::vector<std::int64_t>(values.size()), std::vector<std::uint8_t>(values.size())};
    const std::size_t lanes = lanes_for(values.size());
    for (std::size_t lane = 0; lane < lanes; ++lane) {
        const std::size_t begin = lane_begin(values.size(), lanes, lane);
        const std::size_t end = lane_begin(values.size(), lanes, lane + 1);
        Predictor predictor(values[begin], mean);
        for (std::size_t i = begin; i < end; ++i) {
            r.value[i] = wrapping_difference(values[i], predictor.floor());
            r.context[i] = static_cast<std::uint8_t>(predictor.context());
            predictor.learn(values[i]);
        }
    }
    return r;
}

struct Coding {
    unsigned low_bits;
    unsigned table_bits;
    std::array<Frequencies, most_contexts> frequencies;
    std::array<std::array<std::uint16_t, symbol_count>, most_contexts> start;
};

[[gnu::always_inline]] inline void encode_value(RansEncoder& coder, const Coding& coding, std::int64_t residual,
                                                unsigned context) {
    const Split split = split_residual(residual >> coding.low_bits);
    const std::uint64_t low = static_cast<std::uint64_t>(residual) & ((std::uint64_t{1} << coding.low_bits) - 1U);
    // In reverse of the order in which they are read: symbol, extra bits from the lowest 16 up, low bits.
    if (coding.low_bits != 0) coder.plain(low, coding.low_bits);
    for (unsigned pieces = (split.extra_bits + 15U) / 16U; pieces-- > 0;) {
        const unsigned bits = std::min(16U, split.extra_bits - 16U * pieces);
        coder.plain((split.extra >> (16U * pieces)) & ((std::uint64_t{1} << bits) - 1U), bits);
    }
    coder.symbol(coding.start[context][split.symbol], coding.frequencies[context].share[split.symbol],
                 coding.table_bits);
}

/// Codes the lanes side by side, each from its end to its beginning.
std::array<RansEncoder, lane_count> encode_lanes(const Residuals& residuals, const Coding& coding, std::size_t lanes) {
    std::array<RansEncoder, lane_count> coders;
    const std::size_t count = residuals.value.size();
    const std::size_t each = count / lanes;
    const auto code = [&](std::size_t lane, std::size_t i) {
        encode_value(coders[lane], coding, residuals.value[i], residuals.context[i]);
    };
    for (std::size_t i = count; i-- > each * lanes;) code(lanes - 1, i);
    for (std::size_t i = each; i-- > 0;)
        for (std::size_t lane = 0; lane < lanes; ++lane) code(lane, lane * each + i);
    return coders;
}

template <class Predictor, unsigned contexts, bool has_low_bits>
class LaneDecoder {
public:
    LaneDecoder(std::span<const std::uint8_t> words, std::int64_t first, const ColumnPlan& plan, const RansSlot* slots)
        : coder_(words), predictor_(first, plan.mean), slots_(slots), low_bits_(plan.low_bits) {}

    [[gnu::always_inline]] std::int64_t next() {
        constexpr unsigned table_bits = table_bits_for(contexts);
        const RansSlot* table = slots_;
        if constexpr (contexts > 1) table += std::size_t{predictor_.context()} << table_bits;
        const std::uint32_t symbol = coder_.symbol(table, table_bits);
        std::int64_t residual = unzigzag(symbol);
        if (symbol >= direct_symbols) [[unlikely]]
            residual = large(symbol);
        if constexpr (has_low_bits)
            residual =
                static_cast<std::int64_t>(static_cast<std::uint64_t>(residual) << low_bits_ | coder_.plain(low_bits_));
        const std::int64_t value = wrapping_sum(predictor_.floor(), residual);
        predictor_.learn(value);
        return value;
    }
    [[nodiscard]] bool finished() const { return coder_.finished(); }

private:
    [[gnu::noinline]] std::int64_t large(std::uint32_t symbol) {
        const unsigned bits = extra_bits_of(std::min<std::uint32_t>(symbol, symbol_count - 1));
        std::uint64_t extra = 0;
        for (unsigned done = 0; done < bits; done += 16) extra |= coder_.plain(std::min(16U, bits - done)) << done;
        return join_residual(std::min<std::uint32_t>(symbol, symbol_count - 1), extra);
    }
    RansDecoder coder_;
    Predictor predictor_;
    const RansSlot* slots_;
    unsigned low_bits_;
};

struct Lane {
    std::int64_t first;
    std::span<const std::uint8_t> words;
};

template <class Predictor, unsigned contexts, bool has_low_bits>
bool decode_lanes_as(std::span<const Lane> lanes, const ColumnPlan& plan, const RansSlot* slots,
                     std::span<std::int64_t> out) {
    using Decoder = LaneDecoder<Predictor, contexts, has_low_bits>;
    const auto decoder = [&](std::size_t i) { return Decoder(lanes[i].words, lanes[i].first, plan, slots); };
    if (lanes.size() == 1) {
        Decoder d = decoder(0);
        for (std::int64_t& v : out) v = d.next();
        return d.finished();
    }
    // Four chains of dependent instructions at once keep the processor busy.
    Decoder a = decoder(0), b = decoder(1), c = decoder(2), d = decoder(3);
    const std::size_t each = out.size() / lane_count;
    std::int64_t* const to = out.data();
    for (std::size_t i = 0; i < each; ++i) {
        to[i] = a.next();
        to[each + i] = b.next();
        to[2 * each + i] = c.next();
        to[3 * each + i] = d.next();
    }
    for (std::size_t i = 4 * each; i < out.size(); ++i) to[i] = d.next();
    return a.finished() && b.finished() && c.finished() && d.finished();
}

bool decode_lanes(std::span<const Lane> lanes, const ColumnPlan& plan, const RansSlot* slots,
                  std::span<std::int64_t> out) {
    const bool low = plan.low_bits != 0;
    if (plan.wide)
        return low ? decode_lanes_as<Previous, 1, true>(lanes, plan, slots, out)
                   : decode_lanes_as<Previous, 1, false>(lanes, plan, slots, out);
    if (plan.mean.contexts == 1)
        return low ? decode_lanes_as<RunningMean, 1, true>(lanes, plan, slots, out)
                   : decode_lanes_as<RunningMean, 1, false>(lanes, plan, slots, out);
    return low ? decode_lanes_as<RunningMean, 4, true>(lanes, plan, slots, out)
               : decode_lanes_as<RunningMean, 4, false>(lanes, plan, slots, out);
}

void write_plan(ByteWriter& out, const ColumnPlan& plan) {
    const auto length_log = static_cast<unsigned>(std::countr_zero(plan.mean.length));
    out.byte(static_cast<std::uint8_t>((plan.wide ? 1U : 0U) | (plan.mean.contexts == 4 ? 2U : 0U) | length_log << 4U));
    out.byte(static_cast<std::uint8_t>(plan.low_bits));
    out.number(plan.mean.restart);
}

ColumnPlan read_plan(ByteReader& in) {
    ColumnPlan plan;
    const std::uint8_t flags = in.byte();
    plan.wide = (flags & 1U) != 0;
    plan.mean.contexts = (flags & 2U) != 0 ? 4 : 1;
    plan.mean.length = 1U << (flags >> 4U);
    plan.low_bits = in.byte();
    plan.mean.restart = static_cast<std::uint32_t>(in.number_up_to(UINT32_MAX));
    const bool sound = (flags & 0x0CU) == 0 && plan.mean.length <= MeanSettings::max_length && plan.low_bits <= 16 &&
                       (!plan.wide || plan.mean.contexts == 1);
    if (!sound) in.fail();
    return plan;
}

}  // namespace

void encode_column(ByteWriter& out, std::span<const std::int64_t> values) {
    if (values.empty()) return;
    std::vector<std::int64_t> relative(values.size());
    for (std::size_t i = 0; i < values.size(); ++i) relative[i] = wrapping_difference(values[i], values[0]);
    const ColumnPlan plan = plan_column(relative);
    const Residuals residuals =
        plan.wide ? residuals_of<Previous>(relative, plan.mean) : residuals_of<RunningMean>(relative, plan.mean);

    std::array<Counts, most_contexts> counts{};
    for (std::size_t i = 0; i < values.size(); ++i)
        ++counts[residuals.context[i]][split_residual(residuals.value[i] >> plan.low_bits).symbol];

    write_plan(out, plan);
    out.signed_number(values[0]);
    Coding coding{plan.low_bits, plan.table_bits(), {}, {}};
    for (unsigned c = 0; c < plan.mean.contexts; ++c) {
        coding.frequencies[c] = normalise(counts[c], plan.table_bits());
        std::uint32_t start = 0;
        for (std::size_t s = 0; s < symbol_count; ++s) {
            coding.start[c][s] = static_cast<std::uint16_t>(start);
            start += coding.frequencies[c].share[s];
        }
        write_frequencies(out, coding.frequencies[c]);
    }
    const std::size_t lanes = lanes_for(values.size());
    auto coders = encode_lanes(residuals, coding, lanes);
    for (std::size_t lane = 0; lane < lanes; ++lane) {
        const auto words = coders[lane].finish();
        out.signed_number(relative[lane_begin(values.size(), lanes, lane)]);
        out.number(words.size());
        out.words(words);
    }
}

bool decode_column(ByteReader& in, std::span<std::int64_t> values) {
    if (values.empty()) return in.ok();
    const ColumnPlan plan = read_plan(in);
    const std::int64_t base = in.signed_number();
    if (!in.ok()) return false;
    std::vector<RansSlot> slots(std::size_t{plan.mean.contexts} << plan.table_bits());
    for (unsigned c = 0; c < plan.mean.contexts; ++c) {
        const Frequencies f = read_frequencies(in, plan.table_bits());
        fill_slots(f, plan.table_bits(), std::span(slots).subspan(std::size_t{c} << plan.table_bits()));
    }
    std::array<Lane, lane_count> lanes;
    const std::size_t used = lanes_for(values.size());
    for (std::size_t i = 0; i < used; ++i) {
        lanes[i].first = in.signed_number();
        lanes[i].words = in.take(in.number_up_to(in.left() / 4) * 4);
        const bool in_range = lanes[i].first > -mean_value_limit && lanes[i].first < mean_value_limit;
        if (!plan.wide && !in_range) in.fail();
    }
    if (!in.ok()) return false;
    const std::span<const Lane> all(lanes.data(), used);
    const bool sound = decode_lanes(all, plan, slots.data(), values);
    for (std::int64_t& v : values) v = wrapping_sum(v, base);
    return sound;
}

}  // namespace amphora::ledger
