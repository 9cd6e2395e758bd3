// A device that tells its battery by SunSpec models over Modbus.
#pragma once

#include <chrono>
#include <cstdint>
#include <memory>
#include <optional>
#include <vector>

#include "io/live/asked_source.hpp"
#include "io/live/modbus_line.hpp"
#include "io/source/sunspec/battery_models.hpp"
#include "io/source/sunspec/model_chain.hpp"

namespace amphora::live {

class SunspecRespondent final : public Respondent {
public:
    SunspecRespondent(std::shared_ptr<ModbusLine> line, const described::Source& source,
                      const std::vector<PlugChannel>& channels,
                      std::chrono::milliseconds heartbeat_may_pause = std::chrono::seconds(10));
    Answer ask() override;
    void hang_up() override;

private:
    struct Wanted {
        std::size_t channel;
        Measurand measures;
        std::string field;
    };

    [[nodiscard]] std::expected<void, NoAnswer> find();
    [[nodiscard]] std::expected<std::vector<modbus::Word>, LineError> words_of(const sunspec::Model& model);
    [[nodiscard]] bool frozen(std::optional<std::uint16_t> heartbeat);

    std::shared_ptr<ModbusLine> line_;
    described::ModbusDevice device_;
    std::vector<Wanted> wanted_;
    std::vector<sunspec::Model> models_;  // those of the battery; empty until they are found
    std::chrono::milliseconds heartbeat_may_pause_;
    std::optional<std::uint16_t> heartbeat_;
    std::chrono::steady_clock::time_point beat_;  // when it last changed
};

/// The raw figure that a channel wants of a state, in V, A, degrees Celsius or a share of 1; nothing if the device does
/// not give it. Of cell voltages `field` says which: "highest-cell", else the lowest;
/// of temperatures "hottest-module" or "mean", else the coldest module, or the mean where no module is told.
[[nodiscard]] std::optional<double> figure_of(const sunspec::BatteryState& state, Measurand measures,
                                              std::string_view field);

}  // namespace amphora::live
