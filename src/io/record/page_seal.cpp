#include "io/record/page_seal.hpp"

#include <sqlite3.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cstring>
#include <fstream>
#include <list>
#include <mutex>
#include <set>
#include <span>
#include <thread>

#include "core/ledger/crc32c.hpp"

namespace amphora::record {
namespace {

using Page = std::array<std::uint8_t, page_size>;

constexpr std::size_t reserved_at = 20;  // in the first page: how many bytes at a page's end are left free

/// Puts the page's number into its last bytes, and returns what the checksum then is.
std::uint32_t seal_of(Page page, std::uint64_t number) {
    for (std::size_t i = 0; i < seal_size; ++i)
        page[page_size - seal_size + i] = static_cast<std::uint8_t>(number >> (8U * i));
    return ledger::crc32c(page);
}

/// Lies in memory after the file of the file system below. That one's functions are used as they are, but for writing.
/// Nothing may be put on top of it, since it is found by the methods of the file.
struct Sealed {
    sqlite3_io_methods methods;  // first, so that a pointer to it is one to all
    const sqlite3_io_methods* below;
    bool on;
};

std::size_t room_below(const sqlite3_vfs& below) {
    return (static_cast<std::size_t>(below.szOsFile) + 15U) / 16U * 16U;
}

int write_sealed(sqlite3_file* file, const void* bytes, int count, sqlite3_int64 at) {
    auto* self = reinterpret_cast<Sealed*>(const_cast<sqlite3_io_methods*>(file->pMethods));
    if (count != static_cast<int>(page_size)) return self->below->xWrite(file, bytes, count, at);
    Page page;
    std::memcpy(page.data(), bytes, page_size);
    if (at == 0) self->on = page[reserved_at] == seal_size;
    if (!self->on) return self->below->xWrite(file, bytes, count, at);
    const std::uint32_t seal = seal_of(page, static_cast<std::uint64_t>(at) / page_size + 1);
    std::memcpy(page.data() + page_size - seal_size, &seal, seal_size);
    return self->below->xWrite(file, page.data(), count, at);
}

int open_sealed(sqlite3_vfs* vfs, const char* name, sqlite3_file* file, int flags, int* out_flags) {
    auto* below = static_cast<sqlite3_vfs*>(vfs->pAppData);
    const int code = below->xOpen(below, name, file, flags, out_flags);
    if (code != SQLITE_OK || (flags & SQLITE_OPEN_MAIN_DB) == 0) return code;
    auto* self = reinterpret_cast<Sealed*>(reinterpret_cast<char*>(file) + room_below(*below));
    self->below = file->pMethods;
    self->methods = *file->pMethods;
    self->methods.xWrite = write_sealed;
    std::uint8_t reserved = 0;
    const int read = self->below->xRead(file, &reserved, 1, reserved_at);
    if (read != SQLITE_OK && read != SQLITE_IOERR_SHORT_READ) {
        self->below->xClose(file);
        file->pMethods = nullptr;
        return read;
    }
    self->on = reserved == seal_size;
    file->pMethods = &self->methods;
    return SQLITE_OK;
}

struct SealingSystem {
    std::string name;
    sqlite3_vfs vfs;
};

std::uint32_t number_at(const unsigned char* bytes) {
    return std::uint32_t{bytes[0]} << 24U | std::uint32_t{bytes[1]} << 16U | std::uint32_t{bytes[2]} << 8U | bytes[3];
}

/// Page numbers of all frames of whole commits in a write-ahead log ("WAL file format": a header of 32 bytes, 24 before
/// each page; the last frame of a commit says how many pages the file has then, others 0).
std::set<std::uint64_t> pages_in_log(const std::filesystem::path& file) {
    std::ifstream in(file.string() + "-wal", std::ios::binary);
    std::set<std::uint64_t> pages;
    std::set<std::uint64_t> not_committed;
    std::array<unsigned char, 32> header{};
    in.read(reinterpret_cast<char*>(header.data()), header.size());
    std::array<unsigned char, 24> frame{};
    while (in.read(reinterpret_cast<char*>(frame.data()), frame.size())) {
        if (!std::equal(frame.begin() + 8, frame.begin() + 16, header.begin() + 16)) break;  // left from an older round
        not_committed.insert(number_at(frame.data()));
        if (number_at(frame.data() + 4) != 0) pages.merge(not_committed);
        in.seekg(page_size, std::ios::cur);
    }
    return pages;
}

bool holds(std::ifstream& in, std::uint64_t number) {
    Page page;
    in.clear();
    in.seekg(static_cast<std::streamoff>((number - 1) * page_size));
    if (!in.read(reinterpret_cast<char*>(page.data()), page_size)) return false;
    std::uint32_t seal = 0;
    std::memcpy(&seal, page.data() + page_size - seal_size, seal_size);
    return seal == seal_of(page, number);
}

}  // namespace

std::string sealing(const std::string& base) {
    static std::mutex mutex;
    static std::list<SealingSystem> systems;
    const std::scoped_lock lock(mutex);
    sqlite3_vfs* below = sqlite3_vfs_find(base.empty() ? nullptr : base.c_str());
    if (below == nullptr) return base;
    const std::string name = std::string("amphora-") + below->zName;
    for (const auto& known : systems)
        if (known.name == name && known.vfs.pAppData == below) return name;
    SealingSystem& made = systems.emplace_back(SealingSystem{name, *below});
    made.vfs.zName = made.name.c_str();
    made.vfs.pNext = nullptr;
    made.vfs.pAppData = below;
    made.vfs.szOsFile = static_cast<int>(room_below(*below) + sizeof(Sealed));
    made.vfs.xOpen = open_sealed;
    sqlite3_vfs_register(&made.vfs, 0);
    return name;
}

BrokenSeals broken_seals(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    in.seekg(reserved_at);
    // The second page tells too, should that very byte be hurt.
    const bool sealed = in.get() == static_cast<int>(seal_size) || holds(in, 2);
    std::error_code ignored;
    const std::uint64_t pages = std::filesystem::file_size(file, ignored) / page_size;
    std::vector<std::uint64_t> broken;
    for (std::uint64_t number = 1; sealed && !ignored && number <= pages; ++number) {
        bool sound = holds(in, number);
        // A recorder may be writing this page right now.
        for (int again = 0; !sound && again < 3; ++again) {
            std::this_thread::sleep_for(std::chrono::milliseconds(20));
            sound = holds(in, number);
        }
        if (!sound) broken.push_back(number);
    }
    if (broken.empty()) return {};
    const auto newer = pages_in_log(file);
    BrokenSeals seals;
    for (const std::uint64_t number : broken)
        (newer.contains(number) ? seals.superseded : seals.pages).push_back(number);
    return seals;
}

}  // namespace amphora::record
