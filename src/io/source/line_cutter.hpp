// Cuts bytes that come in pieces into lines, within bounded memory.
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <string_view>

namespace amphora::source {

class LineCutter {
public:
    /// Longer lines are passed over: a reading has some tens of bytes.
    static constexpr std::size_t longest = 4096;

    /// Forgets what came before. `within`: the next bytes may begin in the middle of a line, which is passed over.
    void begin(bool within);

    /// Calls `line` with each line that ends within `more`, without its end (LF); as long as it returns true. Returns
    /// how many lines turned out too long.
    std::uint64_t cut(std::string_view more, const std::function<bool(std::string_view)>& line);

private:
    std::string rest_;
    bool skipping_ = false;
};

}  // namespace amphora::source
