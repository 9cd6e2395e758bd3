#include "io/intake/unpack.hpp"

#include <fmt/core.h>
#include <zlib.h>
#include <zstd.h>

#include <algorithm>
#include <vector>

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

}  // namespace

std::expected<std::unique_ptr<ByteInput>, SourceError> unpacked(std::unique_ptr<ByteInput> packed) {
    Buffered from(std::move(packed));
    const auto more = from.fill();
    if (!more) return std::unexpected(more.error());
    if (begins_with(from.ready(), "\x1F\x8B")) return std::make_unique<Gunzip>(std::move(from));
    if (begins_with(from.ready(), "\x28\xB5\x2F\xFD")) return std::make_unique<Unzstd>(std::move(from));
    return std::make_unique<Plain>(std::move(from));
}

std::expected<std::unique_ptr<ByteInput>, SourceError> open_log(const std::string& path) {
    auto input = source::open_input(path);
    if (!input) return std::unexpected(input.error());
    return unpacked(std::move(*input));
}

}  // namespace amphora::intake
