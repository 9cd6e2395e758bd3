#include "io/record/carve.hpp"

#include <array>
#include <fstream>
#include <optional>
#include <span>
#include <vector>

#include "io/record/page_seal.hpp"

namespace amphora::record {
namespace {

constexpr std::size_t usable = page_size - seal_size;  // of each page
constexpr std::size_t most_overflow_pages = 4096;
constexpr std::uint8_t table_leaf = 0x0D;

using Bytes = std::vector<std::uint8_t>;

/// Big-endian numbers and SQLite's variable-length integers; past the end, zeros and not ok.
class BigEndian {
public:
    explicit BigEndian(std::span<const std::uint8_t> bytes, std::size_t at = 0) : bytes_(bytes), at_(at) {}
    std::uint8_t byte() {
        if (at_ < bytes_.size()) return bytes_[at_++];
        ok_ = false;
        return 0;
    }
    std::uint64_t fixed(unsigned count) {
        std::uint64_t v = 0;
        for (unsigned i = 0; i < count; ++i) v = v << 8U | byte();
        return v;
    }
    std::uint64_t varint() {
        std::uint64_t v = 0;
        for (int i = 0; i < 8; ++i) {
            const std::uint8_t b = byte();
            v = v << 7U | (b & 0x7FU);
            if (b < 0x80U) return v;
        }
        return v << 8U | byte();
    }
    [[nodiscard]] std::size_t at() const { return at_; }
    [[nodiscard]] bool ok() const { return ok_; }

private:
    std::span<const std::uint8_t> bytes_;
    std::size_t at_;
    bool ok_ = true;
};

class Pages {
public:
    explicit Pages(const std::filesystem::path& file) : in_(file, std::ios::binary) {}
    /// Page `number`, counted from 1; empty past the end or where the device cannot read it.
    std::span<const std::uint8_t> page(std::uint64_t number) {
        in_.clear();
        in_.seekg(static_cast<std::streamoff>((number - 1) * page_size));
        buffer_.resize(page_size);
        in_.read(reinterpret_cast<char*>(buffer_.data()), page_size);
        if (in_.gcount() != page_size) return {};
        return buffer_;
    }

private:
    std::ifstream in_;
    Bytes buffer_;
};

/// Bytes of a payload that lie in the leaf itself ("the amount of payload that spills onto overflow pages").
std::size_t local_size(std::uint64_t payload) {
    constexpr std::uint64_t most = usable - 35;
    constexpr std::uint64_t least = (usable - 12) * 32 / 255 - 23;
    if (payload <= most) return payload;
    const std::uint64_t k = least + (payload - least) % (usable - 4);
    return k <= most ? k : least;
}

std::optional<Bytes> payload_of(Pages& pages, const Bytes& leaf, BigEndian cell, std::uint64_t size) {
    const std::size_t local = local_size(size);
    if (cell.at() + local > leaf.size()) return std::nullopt;
    const auto begin = leaf.begin() + static_cast<std::ptrdiff_t>(cell.at());
    Bytes payload(begin, begin + static_cast<std::ptrdiff_t>(local));
    if (local == size) return payload;
    std::uint64_t next = BigEndian(leaf, cell.at() + local).fixed(4);
    for (std::size_t i = 0; next != 0 && payload.size() < size && i < most_overflow_pages; ++i) {
        const auto page = pages.page(next);
        if (page.empty()) return std::nullopt;
        next = BigEndian(page).fixed(4);
        const std::size_t part = std::min<std::size_t>(usable - 4, size - payload.size());
        payload.insert(payload.end(), page.begin() + 4, page.begin() + 4 + static_cast<std::ptrdiff_t>(part));
    }
    return payload.size() == size ? std::optional(payload) : std::nullopt;
}

std::size_t size_of_serial(std::uint64_t type) {
    constexpr std::array<std::size_t, 12> sizes{0, 1, 2, 3, 4, 6, 8, 8, 0, 0, 0, 0};
    return type < sizes.size() ? sizes[type] : static_cast<std::size_t>((type - 12) / 2);
}

/// The shift and the data of a row of the table block; nothing when the row is of another table.
struct RowContent {
    std::int64_t shift_us;
    std::span<const std::uint8_t> data;
};
std::optional<RowContent> row_content(const Bytes& payload) {
    BigEndian header(payload);
    const std::uint64_t header_size = header.varint();
    std::array<std::uint64_t, 7> types{};
    for (auto& type : types) type = header.varint();
    if (!header.ok() || header.at() != header_size || types[6] < 12 || types[6] % 2 != 0) return std::nullopt;
    std::size_t at = header_size;
    std::int64_t shift = 0;
    for (std::size_t column = 0; column < 6; ++column) {
        if (types[column] > 9) return std::nullopt;
        const std::size_t size = size_of_serial(types[column]);
        if (column == 4 && size > 0) {
            const std::uint64_t raw = BigEndian(payload, at).fixed(static_cast<unsigned>(size));
            shift = static_cast<std::int64_t>(raw << (64 - 8 * size)) >> (64 - 8 * size);
        } else if (column == 4) {
            shift = types[column] == 9 ? 1 : 0;
        }
        at += size;
    }
    if (at + size_of_serial(types[6]) != payload.size()) return std::nullopt;
    return RowContent{shift, std::span(payload).subspan(at)};
}

void carve_leaf(Pages& pages, const Bytes& leaf, const Found& found) {
    const std::size_t cells = BigEndian(leaf, 3).fixed(2);
    ledger::Columns columns;
    for (std::size_t i = 0; i < std::min<std::size_t>(cells, page_size / 2); ++i) {
        BigEndian cell(leaf, BigEndian(leaf, 8 + 2 * i).fixed(2));
        const std::uint64_t size = cell.varint();
        const auto id = static_cast<std::int64_t>(cell.varint());
        if (!cell.ok() || size < 16 || size > page_size * most_overflow_pages) continue;
        const auto payload = payload_of(pages, leaf, cell, size);
        const auto row = payload ? row_content(*payload) : std::nullopt;
        if (!row || !ledger::decode_block(row->data, columns)) continue;
        for (std::int64_t& t : columns.time_us) t += row->shift_us;
        found(id, columns);
    }
}

}  // namespace

void carve_blocks(const std::filesystem::path& file, const Found& found) {
    Pages pages(file);
    std::error_code ignored;
    const std::uint64_t count = std::filesystem::file_size(file, ignored) / page_size;
    for (std::uint64_t number = 1; !ignored && number <= count; ++number) {
        const auto page = pages.page(number);
        if (page.empty() || page[0] != table_leaf) continue;
        const Bytes leaf(page.begin(), page.end());
        carve_leaf(pages, leaf, found);
    }
}

}  // namespace amphora::record
