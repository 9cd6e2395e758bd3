#include "io/live/sunspec_respondent.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <utility>

namespace amphora::live {
namespace {

// In the order in which they are believed: 802 is the battery as a whole, and comes in one request.
constexpr std::array<std::uint16_t, 3> of_interest{sunspec::battery_model, sunspec::lithium_bank_model,
                                                   sunspec::storage_model};

template <class Q>
std::optional<double> known(Q quantity) {
    if (!quantity.known()) return std::nullopt;
    return quantity.value();
}

/// The coldest module unless `field` asks for another: frost ruins the one that it reaches, whatever the mean is.
std::optional<double> module_temperature(const sunspec::BatteryState& state, std::string_view field) {
    const Celsius asked = field == "hottest-module" ? state.hottest_module
                          : field == "mean"         ? state.temperature
                                                    : state.coldest_module;
    return known(asked.known() ? asked : state.temperature);
}

}  // namespace

SunspecRespondent::SunspecRespondent(std::shared_ptr<ModbusLine> line, const described::Source& source,
                                     const std::vector<PlugChannel>& channels,
                                     std::chrono::milliseconds heartbeat_may_pause)
    : line_(std::move(line)), device_(source.modbus), heartbeat_may_pause_(heartbeat_may_pause) {
    for (std::size_t i = 0; i < channels.size(); ++i)
        wanted_.push_back({i, channels[i].description->measures, channels[i].description->field});
}

void SunspecRespondent::hang_up() {
    models_.clear();
    heartbeat_.reset();
}

std::expected<void, NoAnswer> SunspecRespondent::find() {
    std::optional<LineError> lost;
    const auto all = sunspec::find_models([&](std::uint16_t address, std::uint16_t words) {
        std::vector<modbus::Word> found;
        if (lost) return found;
        auto read = line_->read(device_.number, {modbus::RegisterBank::holding, address, words}, device_.timeout);
        if (read)
            found = std::move(*read);
        else if (read.error().lost)
            lost = read.error();
        return found;
    });
    if (lost) return std::unexpected(NoAnswer{lost->why, true});
    if (!all) return std::unexpected(NoAnswer{fmt::format("device {}: {}", device_.number, all.error())});
    std::vector<std::uint16_t> others;
    for (const auto id : of_interest)
        std::ranges::copy_if(*all, std::back_inserter(models_), [id](const auto& model) { return model.id == id; });
    if (!models_.empty()) return {};
    for (const auto& model : *all) others.push_back(model.id);
    return std::unexpected(NoAnswer{fmt::format("device {}: expected the model {}, found {}", device_.number,
                                                fmt::join(of_interest, " or "),
                                                others.empty() ? "none" : fmt::format("{}", fmt::join(others, ", ")))});
}

std::expected<std::vector<modbus::Word>, LineError> SunspecRespondent::words_of(const sunspec::Model& model) {
    std::vector<modbus::Word> words;
    const std::size_t in_all = std::min<std::size_t>(model.length + 2U, 0x1'0000U - model.address);
    while (words.size() < in_all) {
        const auto at = static_cast<std::uint16_t>(model.address + words.size());
        const auto count = static_cast<std::uint16_t>(std::min(in_all - words.size(), modbus::most_words));
        auto more = line_->read(device_.number, {modbus::RegisterBank::holding, at, count}, device_.timeout);
        if (!more) return more;
        words.insert(words.end(), more->begin(), more->end());
    }
    return words;
}

bool SunspecRespondent::frozen(std::optional<std::uint16_t> heartbeat) {
    const auto now = std::chrono::steady_clock::now();
    if (!heartbeat || heartbeat != heartbeat_) {
        heartbeat_ = heartbeat;
        beat_ = now;
    }
    return heartbeat && now - beat_ > heartbeat_may_pause_;
}

Answer SunspecRespondent::ask() {
    if (models_.empty())
        if (auto found = find(); !found) return std::unexpected(found.error());
    sunspec::BatteryState state;
    for (const auto& model : models_) {
        const auto words = words_of(model);
        if (!words) return std::unexpected(NoAnswer{words.error().why, words.error().lost});
        if (words->front() != model.id) {
            models_.clear();
            return std::unexpected(NoAnswer{fmt::format("device {}: its models have moved", device_.number)});
        }
        if (const auto more = sunspec::battery_state(model.id, *words)) state = sunspec::filled_in(state, *more);
    }
    if (frozen(state.heartbeat))
        return std::unexpected(NoAnswer{
            fmt::format("device {}: its heartbeat stands still, so that what it says is old", device_.number)});
    Figures answer;
    for (const auto& wanted : wanted_)
        if (const auto value = figure_of(state, wanted.measures, wanted.field))
            answer.figures.push_back({wanted.channel, *value});
    return answer;
}

std::optional<double> figure_of(const sunspec::BatteryState& state, Measurand measures, std::string_view field) {
    switch (measures) {
        case Measurand::current:
            return known(state.current);
        case Measurand::voltage:
            return known(state.voltage);
        case Measurand::temperature:
            return module_temperature(state, field);
        case Measurand::state_of_charge:
            return known(state.state_of_charge);
        case Measurand::cell_voltage:
            return known(field == "highest-cell" ? state.highest_cell : state.lowest_cell);
        case Measurand::power:
        case Measurand::shunt_drop:
            break;
    }
    return std::nullopt;
}

}  // namespace amphora::live
