#include "core/ledger/rans.hpp"

namespace amphora::ledger {

void fill_slots(const Frequencies& f, unsigned bits, std::span<RansSlot> slots) {
    std::size_t at = 0;
    for (std::uint32_t s = 0; s < symbol_count; ++s) {
        const std::uint32_t share = f.share[s];
        for (std::uint32_t place = 0; place < share; ++place)
            slots[at++] = RansSlot{s | (share - 1U) << 8U | place << 20U};
    }
    // A context that never occurred has no shares: any symbol will do, it will not be asked for in a sound block.
    for (; at < (std::size_t{1} << bits); ++at) slots[at] = RansSlot{0xFFFU << 8U};
}

}  // namespace amphora::ledger
