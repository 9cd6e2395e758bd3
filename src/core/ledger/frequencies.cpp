#include "core/ledger/frequencies.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace amphora::ledger {

Frequencies normalise(const Counts& counts, unsigned bits) {
    Frequencies f;
    const std::uint64_t total = std::accumulate(counts.begin(), counts.end(), std::uint64_t{0});
    if (total == 0) return f;
    const std::uint32_t whole = 1U << bits;
    std::int64_t sum = 0;
    for (std::size_t s = 0; s < symbol_count; ++s) {
        if (counts[s] == 0) continue;
        const std::uint64_t share = (std::uint64_t{counts[s]} * whole + total / 2) / total;
        f.share[s] = static_cast<std::uint16_t>(std::max<std::uint64_t>(1, share));
        sum += f.share[s];
    }
    // The rounding error goes to the largest shares, where a unit costs least.
    while (sum != static_cast<std::int64_t>(whole)) {
        auto& largest = *std::max_element(f.share.begin(), f.share.end());
        const std::int64_t room = sum > whole ? -std::min<std::int64_t>(sum - whole, (largest + 1) / 2) : whole - sum;
        largest = static_cast<std::uint16_t>(largest + room);
        sum += room;
    }
    return f;
}

double shannon_bits(const Counts& counts) {
    double total = 0.0;
    double sum = 0.0;
    for (const std::uint32_t c : counts) {
        if (c == 0) continue;
        const double n = c;
        total += n;
        sum += n * std::log2(n);
    }
    return total > 0.0 ? total * std::log2(total) - sum : 0.0;
}

void write_frequencies(ByteWriter& out, const Frequencies& f) {
    const auto present = static_cast<std::size_t>(std::ranges::count_if(f.share, [](auto s) { return s != 0; }));
    out.number(present);
    std::size_t written = 0;
    std::size_t next = 0;
    for (std::size_t s = 0; s < symbol_count; ++s) {
        if (f.share[s] == 0) continue;
        out.number(s - next);
        next = s + 1;
        if (++written < present) out.number(f.share[s]);
    }
}

Frequencies read_frequencies(ByteReader& in, unsigned bits) {
    Frequencies f;
    const std::uint64_t present = in.number_up_to(symbol_count);
    std::uint64_t left = std::uint64_t{1} << bits;
    std::size_t symbol = 0;
    for (std::uint64_t i = 0; i < present && in.ok(); ++i) {
        symbol += in.number_up_to(symbol_count);
        const std::uint64_t share = i + 1 < present ? in.number_up_to(left - 1) : left;
        if (symbol >= symbol_count || share == 0) {
            in.fail();
            return {};
        }
        f.share[symbol++] = static_cast<std::uint16_t>(share);
        left -= share;
    }
    return in.ok() ? f : Frequencies{};
}

}  // namespace amphora::ledger
