#include "io/intake/unpack.hpp"

#include <fmt/core.h>
#include <zlib.h>
#include <zstd.h>

#include <algorithm>
#include <array>
#include <vector>

#include "io/intake/json_array.hpp"

namespace amphora::intake {
namespace {

using source::ByteInput;
using source::SourceError;
using source::SourceFault;
using Got = std::expected<std::size_t, SourceError>;

constexpr std::size_t piece = std::size_t{256} * 1024;

SourceError broken(const ByteInput& from, const char* why) {
    return {SourceFault::cannot_read,
            fmt::format("{}: cannot be unpacked ({}); the file is cut short or damaged", from.name(), why)};
}

/// What was read to look at the first bytes, and then the rest.
class Buffered {
public:
    explicit Buffered(std::unique_ptr<ByteInput> from) : from_(std::move(from)), buffer_(piece) {}
    /// Reads on when all was taken; false at the end.
    std::expected<bool, SourceError> fill() {
        if (at_ < end_) return true;
        const Got got = from_->read(buffer_);
        if (!got) return std::unexpected(got.error());
        at_ = 0;
        end_ = *got;
        return end_ > 0;
    }
    [[nodiscard]] std::span<const char> ready() const { return {buffer_.data() + at_, end_ - at_}; }
    void taken(std::size_t count) { at_ += count; }
    /// Past the buffer, when all in it was taken.
    Got read(std::span<char> room) { return from_->read(room); }
    [[nodiscard]] const ByteInput& input() const { return *from_; }

private:
    std::unique_ptr<ByteInput> from_;
    std::vector<char> buffer_;
    std::size_t at_ = 0;
    std::size_t end_ = 0;
};

class Plain final : public ByteInput {
public:
    explicit Plain(Buffered from) : from_(std::move(from)) {}
    Got read(std::span<char> room) override {
        if (from_.ready().empty()) return from_.read(room);
        const auto more = from_.fill();
        if (!more) return std::unexpected(more.error());
        const auto ready = from_.ready();
        const std::size_t count = std::min(ready.size(), room.size());
        std::copy_n(ready.begin(), count, room.begin());
        from_.taken(count);
        return count;
    }
    [[nodiscard]] std::optional<std::uint64_t> size() const override { return from_.input().size(); }
    [[nodiscard]] std::string name() const override { return from_.input().name(); }

private:
    Buffered from_;
};

/// Text of two bytes a character (UTF-16), as some spreadsheets and Windows programs write it, made UTF-8 (RFC 3629).
/// Half a pair of surrogates becomes a question mark.
class FromUtf16 final : public ByteInput {
public:
    FromUtf16(Buffered from, bool big_end_first) : from_(std::move(from)), big_(big_end_first) {}

    Got read(std::span<char> room) override {
        while (ready_.size() - at_ == 0) {
            ready_.clear();
            at_ = 0;
            std::vector<char> bytes(piece);
            const Got got = from_.read(bytes);
            if (!got) return got;
            if (*got == 0) return 0;
            for (std::size_t i = 0; i < *got; ++i) take(static_cast<unsigned char>(bytes[i]));
        }
        const std::size_t count = std::min(ready_.size() - at_, room.size());
        std::copy_n(ready_.begin() + static_cast<std::ptrdiff_t>(at_), count, room.begin());
        at_ += count;
        return count;
    }
    [[nodiscard]] std::optional<std::uint64_t> size() const override { return from_.size(); }
    [[nodiscard]] std::string name() const override { return from_.name(); }

private:
    void take(unsigned char byte) {
        if (!half_) {
            half_ = byte;
            return;
        }
        const unsigned unit = big_ ? *half_ * 256U + byte : byte * 256U + *half_;
        half_.reset();
        if (unit >= 0xDC00U && unit < 0xE000U && high_ != 0) {
            put(0x10000U + (high_ - 0xD800U) * 0x400U + (unit - 0xDC00U));
            high_ = 0;
            return;
        }
        if (high_ != 0) put('?');
        high_ = unit >= 0xD800U && unit < 0xDC00U ? unit : 0;
        if (high_ == 0) put(unit >= 0xDC00U && unit < 0xE000U ? '?' : unit);
    }
    void put(unsigned character) {
        if (character == 0xFEFFU) return;  // the mark that says which byte comes first
        const auto tail = [&](unsigned shift) { ready_ += static_cast<char>(0x80U | (character >> shift & 0x3FU)); };
        if (character < 0x80U) {
            ready_ += static_cast<char>(character);
        } else if (character < 0x800U) {
            ready_ += static_cast<char>(0xC0U | character >> 6U);
            tail(0);
        } else if (character < 0x10000U) {
            ready_ += static_cast<char>(0xE0U | character >> 12U);
            tail(6);
            tail(0);
        } else {
            ready_ += static_cast<char>(0xF0U | character >> 18U);
            tail(12);
            tail(6);
            tail(0);
        }
    }

    Plain from_;
    bool big_;
    std::optional<unsigned> half_;  // of a unit of two bytes
    unsigned high_ = 0;             // the first of a pair of surrogates
    std::string ready_;
    std::size_t at_ = 0;
};

/// Lines that end in a carriage return alone, as on computers of long ago, ended as all others.
class FromReturns final : public ByteInput {
public:
    explicit FromReturns(Buffered from) : from_(std::move(from)) {}
    Got read(std::span<char> room) override {
        const Got got = from_.read(room);
        if (got) std::ranges::replace(room.first(*got), '\r', '\n');
        return got;
    }
    [[nodiscard]] std::optional<std::uint64_t> size() const override { return from_.size(); }
    [[nodiscard]] std::string name() const override { return from_.name(); }

private:
    Plain from_;
};

class Gunzip final : public ByteInput {
public:
    explicit Gunzip(Buffered from) : from_(std::move(from)) { inflateInit2(&stream_, 15 + 16); }
    Gunzip(const Gunzip&) = delete;
    Gunzip& operator=(const Gunzip&) = delete;
    ~Gunzip() override { inflateEnd(&stream_); }

    Got read(std::span<char> room) override {
        stream_.next_out = reinterpret_cast<Bytef*>(room.data());
        stream_.avail_out = static_cast<uInt>(room.size());
        while (stream_.avail_out == room.size()) {
            const auto more = from_.fill();
            if (!more) return std::unexpected(more.error());
            if (!*more) {
                if (!between_members_) return std::unexpected(broken(from_.input(), "the end is missing"));
                return 0;
            }
            if (between_members_) inflateReset(&stream_);
            between_members_ = false;
            const auto ready = from_.ready();
            stream_.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(ready.data()));
            stream_.avail_in = static_cast<uInt>(ready.size());
            const int code = inflate(&stream_, Z_NO_FLUSH);
            from_.taken(ready.size() - stream_.avail_in);
            if (code == Z_STREAM_END) between_members_ = true;
            if (code != Z_OK && code != Z_STREAM_END && code != Z_BUF_ERROR)
                return std::unexpected(broken(from_.input(), stream_.msg != nullptr ? stream_.msg : "not gzip"));
        }
        return room.size() - stream_.avail_out;
    }
    [[nodiscard]] std::string name() const override { return from_.input().name(); }

private:
    Buffered from_;
    z_stream stream_{};
    bool between_members_ = false;
};

class Unzstd final : public ByteInput {
public:
    explicit Unzstd(Buffered from) : from_(std::move(from)), stream_(ZSTD_createDStream(), &ZSTD_freeDStream) {}

    Got read(std::span<char> room) override {
        ZSTD_outBuffer out{room.data(), room.size(), 0};
        while (out.pos == 0) {
            const auto more = from_.fill();
            if (!more) return std::unexpected(more.error());
            if (!*more) {
                if (expected_ != 0) return std::unexpected(broken(from_.input(), "the end is missing"));
                return 0;
            }
            const auto ready = from_.ready();
            ZSTD_inBuffer in{ready.data(), ready.size(), 0};
            expected_ = ZSTD_decompressStream(stream_.get(), &out, &in);
            if (ZSTD_isError(expected_) != 0)
                return std::unexpected(broken(from_.input(), ZSTD_getErrorName(expected_)));
            from_.taken(in.pos);
        }
        return out.pos;
    }
    [[nodiscard]] std::string name() const override { return from_.input().name(); }

private:
    Buffered from_;
    std::unique_ptr<ZSTD_DStream, decltype(&ZSTD_freeDStream)> stream_;
    std::size_t expected_ = 0;
};

bool begins_with(std::span<const char> bytes, std::string_view magic) {
    return bytes.size() >= magic.size() && std::ranges::equal(bytes.first(magic.size()), magic);
}

/// Files that people take for logs, by their first bytes, and what to do with each.
struct Foreign {
    std::string_view magic;
    const char* what;
};
constexpr std::array<Foreign, 7> foreign{{
    {{"PK\x03\x04", 4},
     "a zip archive (spreadsheets are such too); unpack it, or save the sheet as CSV, and give that"},
    {"7z\xBC\xAF", "a 7z archive; unpack it and give the log in it"},
    {"BZh", "packed with bzip2; unpack it (bunzip2) and give the log"},
    {"\xFD"
     "7zXZ",
     "packed with xz; unpack it (unxz) and give the log"},
    {"%PDF", "a PDF document; export the log as CSV instead"},
    {"\xD0\xCF\x11\xE0", "a spreadsheet; save the sheet as CSV and give that"},
    {"SQLite format 3", "a database; of a record of amphora \"amphora export\" gives the readings as text"},
}};

}  // namespace

std::expected<std::unique_ptr<ByteInput>, SourceError> unpacked(std::unique_ptr<ByteInput> packed) {
    Buffered from(std::move(packed));
    const auto more = from.fill();
    if (!more) return std::unexpected(more.error());
    if (begins_with(from.ready(), "\x1F\x8B")) return unpacked(std::make_unique<Gunzip>(std::move(from)));
    if (begins_with(from.ready(), "\x28\xB5\x2F\xFD")) return unpacked(std::make_unique<Unzstd>(std::move(from)));
    for (const auto& [magic, what] : foreign)
        if (begins_with(from.ready(), magic))
            return std::unexpected(
                SourceError{SourceFault::not_text, fmt::format("{}: this is {}", from.input().name(), what)});
    const bool little = begins_with(from.ready(), "\xFF\xFE");
    if (little || begins_with(from.ready(), "\xFE\xFF")) return std::make_unique<FromUtf16>(std::move(from), !little);
    if (begins_array_of_objects(from.ready())) return elements_as_lines(std::make_unique<Plain>(std::move(from)));
    // The first piece may end between the two of a CRLF; then a line feed came long before.
    const auto first = from.ready();
    if (std::ranges::find(first, '\r') != first.end() && std::ranges::find(first, '\n') == first.end())
        return std::make_unique<FromReturns>(std::move(from));
    return std::make_unique<Plain>(std::move(from));
}

std::expected<std::unique_ptr<ByteInput>, SourceError> open_log(const std::string& path) {
    auto input = source::open_input(path);
    if (!input) return std::unexpected(input.error());
    return unpacked(std::move(*input));
}

}  // namespace amphora::intake
