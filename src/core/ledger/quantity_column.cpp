#include "core/ledger/quantity_column.hpp"

#include <bit>
#include <cmath>
#include <ranges>
#include <vector>

#include "core/ledger/column.hpp"
#include "core/ledger/decimal.hpp"

namespace amphora::ledger {
namespace {

enum class Kind : std::uint8_t { exceptions_only = 0, decimal = 1, bits = 2 };

struct Exception {  // `run` equal values from `at` on
    std::size_t at;
    std::size_t run;
    std::uint64_t bits;
};

/// What fits the column, in order, and what does not.
struct Sorted {
    std::vector<std::int64_t> fitting;
    std::vector<Exception> exceptions;

    void except(std::size_t at, double value) {
        const auto bits = std::bit_cast<std::uint64_t>(value);
        if (!exceptions.empty() && exceptions.back().at + exceptions.back().run == at && exceptions.back().bits == bits)
            ++exceptions.back().run;
        else
            exceptions.push_back({at, 1, bits});
    }
};

/// The bits of a double as a number that grows with the value, so that neighbours differ little.
std::int64_t ordered_bits(double value) {
    const auto b = std::bit_cast<std::int64_t>(value);
    return b ^ static_cast<std::int64_t>(static_cast<std::uint64_t>(b >> 63) >> 1U);
}
double from_ordered_bits(std::int64_t o) {
    return std::bit_cast<double>(o ^ static_cast<std::int64_t>(static_cast<std::uint64_t>(o >> 63) >> 1U));
}

Sorted sort_decimals(std::span<const double> values, unsigned decimals) {
    Sorted s;
    s.fitting.resize(values.size());
    if (as_decimals(values, decimals, s.fitting)) return s;
    s.fitting.clear();
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (const auto n = as_decimal(values[i], decimals))
            s.fitting.push_back(*n);
        else
            s.except(i, values[i]);
    }
    return s;
}

Sorted sort_bits(std::span<const double> values) {
    Sorted s;
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (std::isfinite(values[i]))
            s.fitting.push_back(ordered_bits(values[i]));
        else
            s.except(i, values[i]);
    }
    return s;
}

void write_exceptions(ByteWriter& out, const std::vector<Exception>& exceptions) {
    out.number(exceptions.size());
    std::size_t next = 0;
    for (const Exception& e : exceptions) {
        out.number(e.at - next);
        out.number(e.run);
        out.fixed64(e.bits);
        next = e.at + e.run;
    }
}

std::vector<Exception> read_exceptions(ByteReader& in, std::size_t count) {
    std::vector<Exception> exceptions;
    const std::uint64_t listed = in.number_up_to(count);
    std::size_t next = 0;
    for (std::uint64_t i = 0; i < listed && in.ok(); ++i) {
        Exception e{};
        e.at = next + in.number_up_to(count - next);
        e.run = in.number_up_to(count - e.at);
        e.bits = in.fixed64();
        next = e.at + e.run;
        exceptions.push_back(e);
    }
    return exceptions;
}

/// Spreads the fitting values, which lie at the front of `values`, to their places between the exceptions.
void interleave(std::span<double> values, const std::vector<Exception>& exceptions, std::size_t fitting) {
    std::size_t end = values.size();
    std::size_t from = fitting;
    for (const Exception& e : std::views::reverse(exceptions)) {
        while (end > e.at + e.run) values[--end] = values[--from];
        while (end > e.at) values[--end] = std::bit_cast<double>(e.bits);
    }
}

}  // namespace

void encode_quantity(ByteWriter& out, std::span<const double> values) {
    const auto decimals = common_decimals(values);
    Sorted s = decimals ? sort_decimals(values, *decimals) : sort_bits(values);
    const Kind kind = s.fitting.empty() ? Kind::exceptions_only : decimals ? Kind::decimal : Kind::bits;
    out.byte(static_cast<std::uint8_t>(kind));
    write_exceptions(out, s.exceptions);
    if (kind == Kind::exceptions_only) return;
    if (kind == Kind::decimal) {
        const std::int64_t step = common_step(s.fitting);
        const std::int64_t first = s.fitting.front();
        for (std::int64_t& n : s.fitting) n = step == 1 ? n - first : (n - first) / step;
        out.byte(static_cast<std::uint8_t>(*decimals));
        out.signed_number(first);
        out.number(static_cast<std::uint64_t>(step));
    }
    encode_column(out, s.fitting);
}

bool decode_quantity(ByteReader& in, std::span<double> values) {
    const auto kind = static_cast<Kind>(in.byte());
    const auto exceptions = read_exceptions(in, values.size());
    std::size_t fitting = values.size();
    for (const Exception& e : exceptions) fitting -= e.run;
    if (!in.ok() || kind > Kind::bits || (kind == Kind::exceptions_only) != (fitting == 0)) return false;
    std::vector<std::int64_t> numbers(fitting);
    if (kind == Kind::decimal) {
        const std::uint8_t decimals = in.byte();
        const std::int64_t first = in.signed_number();
        const auto step = static_cast<std::uint64_t>(in.number());
        if (decimals > most_decimals || !decode_column(in, numbers)) return false;
        const double power = power_of_ten(decimals);
        for (std::size_t i = 0; i < fitting; ++i) {
            const std::uint64_t n = static_cast<std::uint64_t>(first) + static_cast<std::uint64_t>(numbers[i]) * step;
            values[i] = static_cast<double>(static_cast<std::int64_t>(n)) / power;
        }
    } else if (kind == Kind::bits) {
        if (!decode_column(in, numbers)) return false;
        for (std::size_t i = 0; i < fitting; ++i) values[i] = from_ordered_bits(numbers[i]);
    }
    interleave(values, exceptions, fitting);
    return in.ok();
}

}  // namespace amphora::ledger
