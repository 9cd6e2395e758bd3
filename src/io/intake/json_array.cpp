#include "io/intake/json_array.hpp"

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

namespace amphora::intake {
namespace {

constexpr std::string_view blanks = " \t\r\n";
constexpr std::size_t piece = std::size_t{256} * 1024;

class Elements final : public source::ByteInput {
public:
    explicit Elements(std::unique_ptr<source::ByteInput> array) : array_(std::move(array)), buffer_(piece) {}

    std::expected<std::size_t, source::SourceError> read(std::span<char> room) override {
        while (at_ == ready_.size()) {
            ready_.clear();
            at_ = 0;
            const auto got = array_->read(buffer_);
            if (!got || *got == 0) return got;
            for (std::size_t i = 0; i < *got; ++i) take(buffer_[i]);
        }
        const std::size_t count = std::min(ready_.size() - at_, room.size());
        std::copy_n(ready_.begin() + static_cast<std::ptrdiff_t>(at_), count, room.begin());
        at_ += count;
        return count;
    }
    [[nodiscard]] std::optional<std::uint64_t> size() const override { return array_->size(); }
    [[nodiscard]] std::string name() const override { return array_->name(); }

private:
    void take(char c) {
        if (in_string_) {
            ready_ += c;
            in_string_ = escaped_ || c != '"';
            escaped_ = !escaped_ && c == '\\';
            return;
        }
        if (blanks.contains(c) || (depth_ <= 1 && c == ',')) return;
        const bool opens = c == '{' || c == '[';
        const bool closes = c == '}' || c == ']';
        if (opens) ++depth_;
        if (depth_ > 1) ready_ += c;  // of the array itself nothing
        in_string_ = c == '"';
        if (!closes || depth_ == 0) return;
        --depth_;
        if (depth_ == 1) ready_ += '\n';
    }

    std::unique_ptr<source::ByteInput> array_;
    std::vector<char> buffer_;
    std::string ready_;
    std::size_t at_ = 0;
    std::size_t depth_ = 0;
    bool in_string_ = false;
    bool escaped_ = false;
};

}  // namespace

bool begins_array_of_objects(std::span<const char> bytes) {
    std::string_view text(bytes.data(), bytes.size());
    if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
    for (const char bracket : {'[', '{'}) {
        text.remove_prefix(std::min(text.find_first_not_of(blanks), text.size()));
        if (!text.starts_with(bracket)) return false;
        text.remove_prefix(1);
    }
    return true;
}

std::unique_ptr<source::ByteInput> elements_as_lines(std::unique_ptr<source::ByteInput> array) {
    return std::make_unique<Elements>(std::move(array));
}

}  // namespace amphora::intake
