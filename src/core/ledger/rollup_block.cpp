#include "core/ledger/rollup_block.hpp"

#include <array>
#include <numeric>

#include "core/ledger/bytes.hpp"
#include "core/ledger/column.hpp"
#include "core/ledger/crc32c.hpp"

namespace amphora::ledger {
namespace {

constexpr std::uint8_t version = 1;
constexpr std::size_t checksum_size = 4;
constexpr std::uint64_t most_rollups = 1U << 20U;

constexpr std::array<std::int64_t Rollup::*, 3> counts{&Rollup::start_us, &Rollup::readings, &Rollup::covered_us};
constexpr std::array<Range Rollup::*, 3> ranges{&Rollup::current, &Rollup::voltage, &Rollup::temperature};
constexpr std::array<Wide Rollup::*, 4> flows{&Rollup::charge_in, &Rollup::charge_out, &Rollup::energy_in,
                                              &Rollup::energy_out};
constexpr std::array<std::int64_t Range::*, 4> figures{&Range::known, &Range::low, &Range::high, &Range::sum};

/// The largest common divisor of all values; 1 when all are zero.
std::int64_t common_divisor(std::span<const std::int64_t> values) {
    std::uint64_t divisor = 0;
    for (const std::int64_t v : values) {
        const auto magnitude = v < 0 ? -static_cast<std::uint64_t>(v) : static_cast<std::uint64_t>(v);
        divisor = std::gcd(divisor, magnitude);
        if (divisor == 1) break;
    }
    return divisor == 0 || divisor > static_cast<std::uint64_t>(INT64_MAX) ? 1 : static_cast<std::int64_t>(divisor);
}

/// Calls `visit(get, set)` for each column: all figures of a rollup as 64-bit numbers, the wide ones in two halves.
template <class Visit>
void for_each_column(Visit visit) {
    for (const auto member : counts)
        visit([=](const Rollup& r) { return r.*member; }, [=](Rollup& r, std::int64_t v) { r.*member = v; });
    for (const auto range : ranges)
        for (const auto figure : figures)
            visit([=](const Rollup& r) { return (r.*range).*figure; },
                  [=](Rollup& r, std::int64_t v) { (r.*range).*figure = v; });
    for (const auto flow : flows) {
        constexpr Wide half = Wide{1} << 62;
        visit([=](const Rollup& r) { return static_cast<std::int64_t>(r.*flow % half); },
              [=](Rollup& r, std::int64_t v) { r.*flow = v; });
        visit([=](const Rollup& r) { return static_cast<std::int64_t>(r.*flow / half); },
              [=](Rollup& r, std::int64_t v) { r.*flow += v * half; });
    }
}

}  // namespace

std::vector<std::uint8_t> encode_rollups(std::span<const Rollup> rollups) {
    ByteWriter out;
    out.byte(version);
    out.number(rollups.size());
    std::vector<std::int64_t> column(rollups.size());
    for_each_column([&](auto get, auto) {
        for (std::size_t i = 0; i < rollups.size(); ++i) column[i] = get(rollups[i]);
        const std::int64_t divisor = common_divisor(column);
        for (std::int64_t& v : column) v /= divisor;
        out.number(static_cast<std::uint64_t>(divisor));
        encode_column(out, column);
    });
    out.fixed32(crc32c(out.bytes()));
    return std::move(out.bytes());
}

std::expected<std::vector<Rollup>, BlockFault> decode_rollups(std::span<const std::uint8_t> bytes) {
    if (bytes.size() < checksum_size + 2) return std::unexpected(BlockFault::too_short);
    const auto content = bytes.first(bytes.size() - checksum_size);
    ByteReader checksum(bytes.last(checksum_size));
    if (checksum.fixed32() != crc32c(content)) return std::unexpected(BlockFault::checksum);
    ByteReader in(content);
    if (in.byte() != version) return std::unexpected(BlockFault::unknown_version);
    std::vector<Rollup> rollups(in.number_up_to(most_rollups));
    std::vector<std::int64_t> column(rollups.size());
    bool sound = in.ok();
    for_each_column([&](auto, auto set) {
        const std::uint64_t divisor = in.number();
        sound = sound && decode_column(in, column);
        for (std::size_t i = 0; sound && i < rollups.size(); ++i)
            set(rollups[i], static_cast<std::int64_t>(static_cast<std::uint64_t>(column[i]) * divisor));
    });
    if (!sound || !in.ok() || in.left() != 0) return std::unexpected(BlockFault::malformed);
    return rollups;
}

}  // namespace amphora::ledger
