// The interface over a made-up record of three days, a made-up present and a description in a folder of its own.
#pragma once

#include <gtest/gtest.h>

#include <chrono>
#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>
#include <string>
#include <thread>
#include <utility>

#include "io/describe/json.hpp"
#include "io/record/merger.hpp"
#include "io/web/api/desk.hpp"
#include "io/web/api/now_api.hpp"
#include "io/web/event_channel.hpp"
#include "support/scratch_folder.hpp"

namespace amphora::web {

inline constexpr std::string_view described = R"(format = 1
[system]
name = "Test Boat"
nominal_voltage_v = 12
[battery]
chemistry = "lfp"
design_capacity_ah = 100
)";

class MadeUp : public LiveValues {
public:
    explicit MadeUp(System system) : system_(std::move(system)) {}
    [[nodiscard]] const System& system() const override { return system_; }
    [[nodiscard]] std::optional<Present> present() const override { return now; }
    [[nodiscard]] std::vector<SourceHealth> sources() const override {
        return {{.name = "shunt",
                 .kind = "made up",
                 .state = SourceState::late,
                 .last = std::nullopt,
                 .interval = Second(1),
                 .readings = 5,
                 .faults = 1,
                 .message = "It is slow."}};
    }
    [[nodiscard]] std::vector<GuardStanding> guards() const override {
        return {{"loads", "cuts the loads below 12.0 V", "watching", Instant::from_unix(7), ""}};
    }
    [[nodiscard]] std::vector<GuardAct> acts() const override { return {{Instant::from_unix(9), "loads", "cut"}}; }

    std::optional<Present> now;

private:
    System system_;
};

constexpr std::int64_t begin_us = 1'704'067'200'000'000;  // 2024-01-01T00:00:00Z
constexpr double begin_s = 1'704'067'200.0;

/// Three days, a reading each ten seconds: 6 A in from 10 to 14 o'clock, else 1 A out.
inline std::vector<Reading> three_days() {
    std::vector<Reading> log;
    for (std::int64_t i = 0; i < 3 * 8640; ++i) {
        const auto hour = i % 8640 / 360;
        const bool sun = hour >= 10 && hour < 14;
        log.push_back(
            {Instant{begin_us + i * 10'000'000}, Ampere(sun ? 6.0 : -1.0), Volt(sun ? 13.6 : 13.1), Celsius(15.0)});
    }
    return log;
}

class DeskTest : public ::testing::Test {
protected:
    explicit DeskTest(bool with_record = true)
        : system(describe::describe_text(described).value().system),
          live(system),
          past(folder.path() / "boat.amphora", {system, describe::fingerprint(system)}),
          description(folder.path() / "boat.toml"),
          desk{.live = live, .past = past, .description = description, .work = work, .scratch = folder.path()} {
        std::ofstream(description.file()) << described;
        if (with_record) {
            auto merger = record::Merger::open(past.file(), record::LocalDays::utc());
            EXPECT_TRUE(merger.has_value() && merger->add(three_days()) && merger->finish());
            EXPECT_TRUE(record::derive(past.file(), past.origin(), record::LocalDays::utc(), {}));
        }
        tend(desk);
        add_api(routes, desk, events);
    }

    Response ask(const std::string& path, const std::string& query = "") {
        return routes.find(Method::get, path)->handle({path, Query::parse(query).value_or(Query{})});
    }
    nlohmann::json ask_json(const std::string& path, const std::string& query = "") {
        const Response response = ask(path, query);
        EXPECT_EQ(response.status, 200U) << path << "?" << query << ": " << response.body.bytes();
        return nlohmann::json::parse(response.body.bytes());
    }
    Response send(const std::string& path, const std::string& body, const std::string& query = "") {
        return routes.find(Method::post, path)->handle({path, Query::parse(query).value_or(Query{}), body});
    }
    Response send(const std::string& path, const nlohmann::json& body) { return send(path, body.dump()); }

    /// Waits for what takes long; what it said in the end.
    nlohmann::json ended() {
        for (int i = 0; i < 1000 && work.standing().state == Work::State::working; ++i)
            std::this_thread::sleep_for(std::chrono::milliseconds(10));
        tend(desk);
        return ask_json("/api/v1/work");
    }
    /// All of a body that comes in pieces.
    static std::string whole(const Response& response) {
        std::string text(response.body.bytes());
        if (response.more)
            for (std::string piece = response.more(); !piece.empty(); piece = response.more()) text += piece;
        return text;
    }

    ScratchFolder folder;
    System system;
    MadeUp live;
    Past past;
    DescriptionFile description;
    Work work;
    Desk desk;
    EventChannel events{"r"};
    Routes routes;
};

}  // namespace amphora::web
