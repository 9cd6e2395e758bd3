#include "record/faulty_device.hpp"

#include <sqlite3.h>

#include <cstring>
#include <fstream>
#include <random>
#include <utility>

namespace amphora::record {
namespace {

constexpr std::size_t sector = 512;

/// Lies in memory after the real file.
struct Watched {
    sqlite3_io_methods methods;
    const sqlite3_io_methods* real;
    std::string* path;
};

sqlite3_vfs* real_system() { return sqlite3_vfs_find("unix"); }
std::size_t room_of_real() { return (static_cast<std::size_t>(real_system()->szOsFile) + 15U) / 16U * 16U; }
Watched& watched(sqlite3_file* f) { return *reinterpret_cast<Watched*>(reinterpret_cast<char*>(f) + room_of_real()); }

void put(std::vector<std::uint8_t>& into, const FaultyDevice::Write& w, std::size_t from, std::size_t count) {
    const auto end = static_cast<std::size_t>(w.at) + from + count;
    if (into.size() < end) into.resize(end);
    std::memcpy(into.data() + w.at + from, w.bytes.data() + from, count);
}

int write(sqlite3_file* f, const void* bytes, int count, sqlite3_int64 at) {
    auto& device = FaultyDevice::get();
    const Failure failure = device.next_operation(false);
    if (failure == Failure::no_space) return SQLITE_FULL;
    if (failure == Failure::input_output) return SQLITE_IOERR_WRITE;
    const int part = failure == Failure::short_write ? count / 2 : count;
    const auto* first = static_cast<const std::uint8_t*>(bytes);
    device.image(*watched(f).path).pending.push_back({at, {first, first + part}});
    const int code = watched(f).real->xWrite(f, bytes, part, at);
    return failure == Failure::short_write ? SQLITE_IOERR_WRITE : code;
}

int sync(sqlite3_file* f, int flags) {
    auto& device = FaultyDevice::get();
    if (device.next_operation(true) != Failure::none) return SQLITE_IOERR_FSYNC;
    auto& image = device.image(*watched(f).path);
    for (const auto& w : image.pending) put(image.safe, w, 0, w.bytes.size());
    image.pending.clear();
    return watched(f).real->xSync(f, flags);
}

int truncate(sqlite3_file* f, sqlite3_int64 size) {
    auto& device = FaultyDevice::get();
    if (device.next_operation(false) != Failure::none) return SQLITE_IOERR_TRUNCATE;
    auto& image = device.image(*watched(f).path);
    for (const auto& w : image.pending) put(image.safe, w, 0, w.bytes.size());
    image.pending.clear();
    image.safe.resize(static_cast<std::size_t>(size));
    return watched(f).real->xTruncate(f, size);
}

int close(sqlite3_file* f) {
    auto& self = watched(f);
    delete self.path;
    return self.real->xClose(f);
}

int open(sqlite3_vfs*, const char* name, sqlite3_file* f, int flags, int* out_flags) {
    sqlite3_vfs* real = real_system();
    const int code = real->xOpen(real, name, f, flags, out_flags);
    if (code != SQLITE_OK) return code;
    auto& self = watched(f);
    self.real = f->pMethods;
    self.path = new std::string(name != nullptr ? name : "");
    self.methods = *f->pMethods;
    self.methods.iVersion = 2;  // no mapping into memory: every byte is to pass here
    self.methods.xWrite = write;
    self.methods.xSync = sync;
    self.methods.xTruncate = truncate;
    self.methods.xClose = close;
    f->pMethods = &self.methods;
    return SQLITE_OK;
}

int remove_file(sqlite3_vfs*, const char* name, int sync_folder) {
    FaultyDevice::get().forget(name);
    sqlite3_vfs* real = real_system();
    return real->xDelete(real, name, sync_folder);
}

sqlite3_vfs make_system() {
    sqlite3_vfs system = *real_system();
    system.zName = FaultyDevice::name;
    system.pNext = nullptr;
    system.szOsFile = static_cast<int>(room_of_real() + sizeof(Watched));
    system.xOpen = open;
    system.xDelete = remove_file;
    return system;
}

}  // namespace

FaultyDevice& FaultyDevice::get() {
    static FaultyDevice device;
    static sqlite3_vfs system = make_system();
    static const int registered = sqlite3_vfs_register(&system, 0);
    (void)registered;
    return device;
}

void FaultyDevice::reset() { *this = {}; }

void FaultyDevice::fail_at(std::uint64_t nth, Failure failure, std::uint64_t repeats) {
    failure_ = failure;
    fail_from_ = operations_ + nth;
    fail_to_ = fail_from_ + repeats;
    failed_ = false;
}

void FaultyDevice::cut_at(std::uint64_t nth, std::function<void()> cut) {
    cut_before_ = operations_ + nth;
    cut_ = std::move(cut);
}

Failure FaultyDevice::next_operation(bool is_sync) {
    ++operations_;
    if (cut_ && operations_ >= cut_before_) std::exchange(cut_, nullptr)();
    if (failure_ == Failure::none || operations_ < fail_from_ || operations_ > fail_to_) return Failure::none;
    // A sync fails only with the failure that is about syncs, and a write only with the others.
    if (is_sync != (failure_ == Failure::not_synced)) {
        ++fail_from_;
        ++fail_to_;
        return Failure::none;
    }
    failed_ = true;
    return failure_;
}

void FaultyDevice::after_power_cut(const std::filesystem::path& folder, unsigned seed) const {
    std::mt19937 coin(seed);
    for (const auto& [path, image] : images_) {
        if (path.ends_with("-shm") || !std::filesystem::exists(path)) continue;
        std::vector<std::uint8_t> bytes = image.safe;
        for (const auto& w : image.pending)
            for (std::size_t at = 0; at < w.bytes.size(); at += sector)
                if (coin() % 2 == 0) put(bytes, w, at, std::min(sector, w.bytes.size() - at));
        std::ofstream out(folder / std::filesystem::path(path).filename(), std::ios::binary);
        out.write(reinterpret_cast<const char*>(bytes.data()), static_cast<std::streamsize>(bytes.size()));
    }
}

}  // namespace amphora::record
