#include "io/record/tail_file.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <bit>
#include <cstdlib>
#include <fstream>
#include <map>
#include <new>

#include "core/ledger/block.hpp"
#include "core/ledger/bytes.hpp"
#include "core/ledger/crc32c.hpp"

namespace amphora::record {
namespace {

constexpr std::uint32_t magic = 0x4C494154;  // "TAIL"
constexpr std::size_t header_size = 4 + 8 + 8 + 4 + 8 + 8 + 2;
constexpr std::size_t room = tail_page_size - header_size - 4;
constexpr std::size_t file_size = tail_page_size * tail_pages * 2;

std::size_t place_of(const TailPage& page) {
    return (page.page % tail_pages * 2 + page.generation % 2) * tail_page_size;
}

bool decode_page(std::span<const std::uint8_t> bytes, std::uint64_t record_id, TailPage& page) {
    ledger::ByteReader checksum(bytes.last(4));
    ledger::ByteReader in(bytes);
    if (in.fixed32() != magic || checksum.fixed32() != ledger::crc32c(bytes.first(bytes.size() - 4))) return false;
    if (in.fixed64() != record_id) return false;
    page.page = in.fixed64();
    page.generation = in.fixed32();
    page.first = in.fixed64();
    page.boot = static_cast<std::int64_t>(in.fixed64());
    const std::size_t low = in.byte();
    const auto content = in.take(low | static_cast<std::size_t>(in.byte()) << 8U);
    ledger::Columns columns;
    if (!in.ok() || !ledger::decode_block(content, columns)) return false;
    page.readings.clear();
    for (std::size_t i = 0; i < columns.size(); ++i) page.readings.push_back(columns.reading(i));
    return true;
}

template <class Visit>
void for_each_page(const std::filesystem::path& file, std::uint64_t record_id, Visit visit) {
    std::ifstream in(file, std::ios::binary);
    std::vector<std::uint8_t> bytes(tail_page_size);
    TailPage page;
    while (in.read(reinterpret_cast<char*>(bytes.data()), static_cast<std::streamsize>(bytes.size())))
        if (decode_page(bytes, record_id, page)) visit(page);
}

/// True when turning one bit would make the page sound, or empty. A checksum of this kind is linear: what each single
/// bit does to it is had by shifting (RFC 3720's polynomial, reflected), without trying each.
bool one_bit_flipped(std::span<const std::uint8_t> bytes) {
    constexpr std::uint32_t polynomial = 0x82F63B78;
    int set = 0;
    for (const std::uint8_t byte : bytes) set += std::popcount(byte);
    if (set <= 1) return set == 1;
    const auto content = bytes.first(bytes.size() - 4);
    const std::uint32_t differ = ledger::ByteReader(bytes.last(4)).fixed32() ^ ledger::crc32c(content);
    if (differ == 0) return false;
    if (std::popcount(differ) == 1) return true;
    std::uint32_t effect = polynomial;  // of the last bit
    for (std::size_t bit = 0; bit < content.size() * 8; ++bit) {
        if (effect == differ) return true;
        effect = (effect & 1U) != 0 ? effect >> 1U ^ polynomial : effect >> 1U;
    }
    return false;
}

}  // namespace

std::vector<std::size_t> flipped_tail_pages(const std::filesystem::path& file) {
    std::vector<std::size_t> flipped;
    std::ifstream in(file, std::ios::binary);
    std::vector<std::uint8_t> bytes(tail_page_size);
    for (std::size_t place = 0;
         in.read(reinterpret_cast<char*>(bytes.data()), static_cast<std::streamsize>(bytes.size())); ++place)
        if (one_bit_flipped(bytes)) flipped.push_back(place);
    return flipped;
}

std::filesystem::path tail_path(const std::filesystem::path& record) { return record.string() + "-tail"; }

std::vector<std::uint8_t> encode_tail_page(const TailPage& page, std::uint64_t record_id) {
    const auto content = ledger::encode_block(page.readings);
    if (content.size() > room) return {};
    ledger::ByteWriter out;
    out.fixed32(magic);
    out.fixed64(record_id);
    out.fixed64(page.page);
    out.fixed32(page.generation);
    out.fixed64(page.first);
    out.fixed64(static_cast<std::uint64_t>(page.boot));
    out.byte(static_cast<std::uint8_t>(content.size()));
    out.byte(static_cast<std::uint8_t>(content.size() >> 8U));
    auto& bytes = out.bytes();
    bytes.insert(bytes.end(), content.begin(), content.end());
    bytes.resize(tail_page_size - 4);
    out.fixed32(ledger::crc32c(bytes));
    return std::move(bytes);
}

TailFile::TailFile(const std::filesystem::path& file, std::uint64_t record_id, const std::string& vfs)
    : file_(std::filesystem::absolute(file)), name_(file_.string()), record_id_(record_id) {
    sqlite3_vfs* system = sqlite3_vfs_find(vfs.empty() ? nullptr : vfs.c_str());
    if (system == nullptr) check(SQLITE_ERROR, "no such file system");
    handle_.reset(static_cast<sqlite3_file*>(std::calloc(1, static_cast<std::size_t>(system->szOsFile))));
    if (!handle_) throw std::bad_alloc();
    constexpr int flags = SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE | SQLITE_OPEN_SUPER_JOURNAL;
    check(system->xOpen(system, name_.c_str(), handle_.get(), flags, nullptr), "cannot open the tail");
    sqlite3_int64 size = 0;
    check(handle_->pMethods->xFileSize(handle_.get(), &size), "cannot ask for the tail's size");
    if (size >= static_cast<sqlite3_int64>(file_size)) return;
    const std::vector<std::uint8_t> zeros(tail_page_size);
    for (std::size_t at = 0; at < file_size; at += tail_page_size)
        check(handle_->pMethods->xWrite(handle_.get(), zeros.data(), static_cast<int>(zeros.size()),
                                        static_cast<sqlite3_int64>(at)),
              "cannot make room for the tail");
    check(handle_->pMethods->xSync(handle_.get(), SQLITE_SYNC_FULL), "cannot make room for the tail");
}

void TailFile::Close::operator()(sqlite3_file* f) const {
    if (f->pMethods != nullptr) f->pMethods->xClose(f);
    std::free(f);
}

bool TailFile::write(const TailPage& page) {
    const auto bytes = encode_tail_page(page, record_id_);
    if (bytes.empty()) return false;
    const auto place = static_cast<sqlite3_int64>(place_of(page));
    check(handle_->pMethods->xWrite(handle_.get(), bytes.data(), static_cast<int>(bytes.size()), place),
          "cannot write the newest readings");
    check(handle_->pMethods->xSync(handle_.get(), SQLITE_SYNC_NORMAL | SQLITE_SYNC_DATAONLY),
          "cannot make the newest readings safe");
    return true;
}

void TailFile::check(int code, const char* what) const {
    if (code == SQLITE_OK) return;
    throw DatabaseFailure{error_of(code, fmt::format("{} ({})", what, sqlite3_errstr(code)), file_)};
}

std::uint64_t highest_tail_page(const std::filesystem::path& file, std::uint64_t record_id) {
    std::uint64_t highest = 0;
    for_each_page(file, record_id, [&](const TailPage& page) { highest = std::max(highest, page.page); });
    return highest;
}

std::vector<TailPage> read_tail(const std::filesystem::path& file, std::uint64_t record_id, std::uint64_t from) {
    std::map<std::uint64_t, TailPage> newest;
    for_each_page(file, record_id, [&](const TailPage& page) {
        if (page.first + page.readings.size() <= from) return;
        auto& known = newest[page.page];
        if (known.readings.empty() || known.generation < page.generation) known = page;
    });
    std::vector<TailPage> pages;
    for (auto& [number, found] : newest) {
        const std::uint64_t end = found.first + found.readings.size();
        if (end <= from) continue;
        if (found.first < from) {
            const auto skip = static_cast<std::ptrdiff_t>(from - found.first);
            found.readings.erase(found.readings.begin(), found.readings.begin() + skip);
            found.first = from;
        }
        from = end;
        pages.push_back(std::move(found));
    }
    return pages;
}

}  // namespace amphora::record
