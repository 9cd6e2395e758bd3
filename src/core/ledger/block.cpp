#include "core/ledger/block.hpp"

#include <algorithm>
#include <bit>

#include "core/ledger/bytes.hpp"
#include "core/ledger/crc32c.hpp"
#include "core/ledger/quantity_column.hpp"
#include "core/ledger/time_column.hpp"

namespace amphora::ledger {
namespace {

constexpr std::uint8_t version = 1;
constexpr std::size_t checksum_size = 4;

}  // namespace

const char* describe(BlockFault fault) {
    switch (fault) {
        case BlockFault::too_short:
            return "too short to be a block";
        case BlockFault::checksum:
            return "the checksum does not match: the bytes are damaged";
        case BlockFault::unknown_version:
            return "written by a newer version of the program";
        case BlockFault::malformed:
            return "the checksum matches but the content makes no sense";
    }
    return "unknown fault";
}

std::vector<std::uint8_t> encode_block(std::span<const Reading> readings) {
    ByteWriter out;
    out.bytes().reserve(64 + readings.size() * 2);
    out.byte(version);
    out.number(readings.size());
    std::vector<std::int64_t> times(readings.size());
    std::ranges::transform(readings, times.begin(), [](const Reading& r) { return r.at.us; });
    encode_times(out, times);

    std::vector<double> values(readings.size());
    std::ranges::transform(readings, values.begin(), [](const Reading& r) { return r.current.value(); });
    encode_quantity(out, values);
    std::ranges::transform(readings, values.begin(), [](const Reading& r) { return r.voltage.value(); });
    encode_quantity(out, values);
    std::ranges::transform(readings, values.begin(), [](const Reading& r) { return r.temperature.value(); });
    encode_quantity(out, values);

    out.fixed32(crc32c(out.bytes()));
    return std::move(out.bytes());
}

std::expected<void, BlockFault> decode_block(std::span<const std::uint8_t> bytes, Columns& columns) {
    const auto fail = [&](BlockFault fault) {
        columns = {};
        return std::unexpected(fault);
    };
    if (bytes.size() < checksum_size + 2) return fail(BlockFault::too_short);
    const auto content = bytes.first(bytes.size() - checksum_size);
    ByteReader checksum(bytes.last(checksum_size));
    if (checksum.fixed32() != crc32c(content)) return fail(BlockFault::checksum);
    ByteReader in(content);
    if (in.byte() != version) return fail(BlockFault::unknown_version);
    const std::uint64_t count = in.number_up_to(block_capacity);
    columns.time_us.resize(count);
    columns.current.resize(count);
    columns.voltage.resize(count);
    columns.temperature.resize(count);
    const bool sound = decode_times(in, columns.time_us) && decode_quantity(in, columns.current) &&
                       decode_quantity(in, columns.voltage) && decode_quantity(in, columns.temperature) && in.ok() &&
                       in.left() == 0;
    if (!sound) return fail(BlockFault::malformed);
    return {};
}

std::size_t block_count(std::span<const std::uint8_t> bytes) {
    ByteReader in(bytes);
    in.byte();
    const std::uint64_t count = in.number_up_to(block_capacity);
    return in.ok() ? count : 0;
}

}  // namespace amphora::ledger
