// A loop, a description and a place for samples, to try a source on.
#pragma once

#include <gtest/gtest.h>
#include <boost/asio/io_context.hpp>
#include <chrono>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "io/describe/describe.hpp"
#include "io/live/live_source.hpp"

namespace amphora::live {

/// Keeps what the first source of a description gives.
class Bench {
public:
    explicit Bench(const std::string& tables) {
        const auto described = describe::describe_text(
            "[battery]\nchemistry = \"lfp\"\ndesign_capacity_ah = 200\n[[meter]]\nname = \"shunt\"\nrated_current_a = "
            "500\nrated_drop_mv = 50\n[[charger]]\nname = \"roof\"\nkind = \"shore\"\ncurrent_a = 20\n" +
            tables);
        EXPECT_TRUE(described) << (described ? "" : described.error().front().message);
        if (described) system = described->system;
        auto made = make_source({loop, computer_clock(), system, 0});
        EXPECT_TRUE(made) << (made ? "" : made.error());
        if (made) source = std::move(*made);
        source->start(
            [this](std::span<const LiveSample> samples) { all.insert(all.end(), samples.begin(), samples.end()); });
    }

    /// Runs the loop until something is so; false when that takes longer than ten seconds.
    bool run_until(const std::function<bool()>& so) {
        const auto end = std::chrono::steady_clock::now() + std::chrono::seconds(10);
        while (!so() && std::chrono::steady_clock::now() < end) loop.run_one_for(std::chrono::milliseconds(20));
        return so();
    }
    bool run_until_samples(std::size_t count) {
        return run_until([&] { return all.size() >= count; });
    }
    [[nodiscard]] std::vector<double> values() const {
        std::vector<double> v;
        for (const LiveSample& s : all) v.push_back(s.value);
        return v;
    }

    boost::asio::io_context loop{1};
    System system;
    std::unique_ptr<LiveSource> source;
    std::vector<LiveSample> all;
};

}  // namespace amphora::live
