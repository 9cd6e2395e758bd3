// Hindsight: every step of the log kept in small, and a smoother that says of every past step what is known now.
// Modified Bryson-Frazier form (G. Bierman, Factorization Methods for Discrete Sequential Estimation, 1977): it runs
// backward with the adjoint of the filter, needs no inverse, and needs the forward beliefs only block by block, so they
// are made again from a checkpoint at the head of each block instead of being kept.
#pragma once

#include <cstdint>
#include <memory>
#include <vector>

#include "core/estimate/filter.hpp"

namespace amphora {

class Smoother {
public:
    static constexpr std::size_t block_steps = 256;

    /// Keeps a step that the filter is about to take, `before` being what it believes until then. At most 64 bytes per
    /// step, checkpoint included (a test counts them).
    void keep(const Step& step, Instant end, const Belief& before);

    /// What is known now of every kept step, oldest first. `passes`: 1, or 2 to linearise anew about the first result.
    [[nodiscard]] std::vector<Hindsight> look_back(Filter filter, int passes = 1) const;

    [[nodiscard]] std::size_t steps() const;
    [[nodiscard]] std::size_t bytes() const;

private:
    struct Block {
        Belief before;
        Instant start;
        std::uint32_t count = 0;
        std::array<Step, block_steps> step;
    };
    std::vector<std::unique_ptr<Block>> blocks_;
    Instant end_{};
};

}  // namespace amphora
