#include "core/ledger/time_column.hpp"

#include <algorithm>
#include <vector>

#include "core/ledger/column.hpp"

namespace amphora::ledger {
namespace {

enum class Kind : std::uint8_t { steady = 0, jittering = 1 };

// Times far apart enough to wrap around do not occur in a sound record, but must do no harm in a damaged one.
std::int64_t plus(std::int64_t a, std::int64_t b) {
    return static_cast<std::int64_t>(static_cast<std::uint64_t>(a) + static_cast<std::uint64_t>(b));
}
std::int64_t minus(std::int64_t a, std::int64_t b) {
    return static_cast<std::int64_t>(static_cast<std::uint64_t>(a) - static_cast<std::uint64_t>(b));
}
std::int64_t times(std::int64_t a, std::int64_t b) {
    return static_cast<std::int64_t>(static_cast<std::uint64_t>(a) * static_cast<std::uint64_t>(b));
}

std::vector<std::int64_t> steps_of(std::span<const std::int64_t> t) {
    std::vector<std::int64_t> steps;
    steps.reserve(t.size());
    for (std::size_t i = 1; i < t.size(); ++i) steps.push_back(minus(t[i], t[i - 1]));
    return steps;
}

std::int64_t median(std::vector<std::int64_t> v) {
    if (v.empty()) return 0;
    const auto middle = v.begin() + static_cast<std::ptrdiff_t>(v.size() / 2);
    std::nth_element(v.begin(), middle, v.end());
    return *middle;
}

/// The coarsest of 1, 10, ... 1,000,000 microseconds that divides every step and the cadence.
std::int64_t unit_of(std::span<const std::int64_t> steps) {
    std::int64_t unit = 1'000'000;
    for (const std::int64_t s : steps)
        while (s % unit != 0) unit /= 10;
    return unit;
}

}  // namespace

void encode_times(ByteWriter& out, std::span<const std::int64_t> t) {
    if (t.empty()) return;
    const auto steps = steps_of(t);
    const std::int64_t cadence = median(steps);
    const auto exceptions =
        static_cast<std::size_t>(std::ranges::count_if(steps, [&](auto s) { return s != cadence; }));
    const Kind kind = exceptions <= 4 + t.size() / 64 ? Kind::steady : Kind::jittering;
    out.byte(static_cast<std::uint8_t>(kind));
    out.signed_number(t[0]);
    out.signed_number(cadence);
    if (kind == Kind::steady) {
        out.number(exceptions);
        std::size_t next = 0;
        for (std::size_t i = 0; i < steps.size(); ++i) {
            if (steps[i] == cadence) continue;
            out.number(i - next);
            out.signed_number(steps[i]);
            next = i + 1;
        }
        return;
    }
    const std::int64_t unit = unit_of(steps);
    out.number(static_cast<std::uint64_t>(unit));
    std::vector<std::int64_t> offsets(t.size());
    std::int64_t offset = 0;
    for (std::size_t i = 1; i < t.size(); ++i) {
        offset = plus(offset, minus(steps[i - 1] / unit, cadence / unit));
        offsets[i] = offset;
    }
    encode_column(out, offsets);
}

bool decode_times(ByteReader& in, std::span<std::int64_t> t) {
    if (t.empty()) return in.ok();
    const auto kind = static_cast<Kind>(in.byte());
    const std::int64_t first = in.signed_number();
    const std::int64_t cadence = in.signed_number();
    if (kind == Kind::steady) {
        std::size_t at = 0;
        std::int64_t now = first;
        const auto run_to = [&](std::size_t end) {
            for (; at < end; ++at, now = plus(now, cadence)) t[at] = now;
        };
        const std::uint64_t exceptions = in.number_up_to(t.size());
        for (std::uint64_t i = 0; i < exceptions && in.ok(); ++i) {
            run_to(at + in.number_up_to(t.size() - 1 - at));
            t[at++] = now;
            now = plus(now, in.signed_number());
            if (at == t.size()) in.fail();
        }
        if (!in.ok()) return false;
        run_to(t.size());
        return true;
    }
    const auto unit = static_cast<std::int64_t>(in.number_up_to(1'000'000));
    if (kind != Kind::jittering || unit == 0 || !decode_column(in, t)) return false;
    for (std::size_t i = 0; i < t.size(); ++i)
        t[i] = plus(first, times(plus(times(static_cast<std::int64_t>(i), cadence / unit), t[i]), unit));
    return true;
}

}  // namespace amphora::ledger
