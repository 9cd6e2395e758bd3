// Any words as the registers of a device: values and SunSpec models are read without a crash, an endless chain ends,
// and no number is one that its type cannot hold.
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <span>
#include <vector>

#include "io/source/modbus/register_value.hpp"
#include "io/source/modbus/request_plan.hpp"
#include "io/source/sunspec/battery_models.hpp"
#include "io/source/sunspec/model_chain.hpp"

namespace {

using namespace amphora;

void require(bool holds) {
    if (!holds) std::abort();
}

template <class Q>
void sane(Q quantity, double most) {
    require(!quantity.known() || std::abs(quantity.value()) <= most);
}

std::vector<modbus::Word> words_of(const std::uint8_t* data, std::size_t size) {
    std::vector<modbus::Word> words;
    for (std::size_t i = 0; i + 1 < size; i += 2)
        words.push_back(static_cast<modbus::Word>(data[i] << 8U | data[i + 1]));
    return words;
}

void read_values(std::span<const modbus::Word> words) {
    using enum described::RegisterType;
    using enum described::WordOrder;
    for (const auto type : {u16, s16, u32, s32, f32})
        for (const auto order : {abcd, cdab, badc, dcba}) {
            const auto value =
                modbus::number_in(words, {.address = 0, .type = type, .order = order, .no_value = 0x7FFF});
            require(!value || std::isfinite(*value));
            if (value && type != f32) require(std::abs(*value) <= 4294967295.0);
        }
}

// The words as a device whose registers begin at the first base, and end with the words.
void read_models(std::span<const modbus::Word> words) {
    std::size_t questions = 0;
    const auto models = sunspec::find_models([&](std::uint16_t address, std::uint16_t count) {
        require(++questions < 100);
        const std::size_t at = address - std::size_t{40000};
        if (address < 40000 || at >= words.size()) return std::vector<modbus::Word>{};
        const auto part = words.subspan(at, std::min<std::size_t>(count, words.size() - at));
        return std::vector<modbus::Word>(part.begin(), part.end());
    });
    if (!models) return require(!models.error().empty());
    for (const auto& model : *models) require(model.address >= 40002);
}

void read_batteries(std::span<const modbus::Word> words) {
    constexpr double most = 65535.0 * 1e10;  // the largest word with the largest scale factor
    for (const std::uint16_t id : {sunspec::battery_model, sunspec::lithium_bank_model, sunspec::storage_model}) {
        const auto state = sunspec::battery_state(id, words);
        require(state.has_value());
        sane(state->voltage, most);
        sane(state->current, most * 64);  // of all strings
        sane(state->temperature, most);
        sane(state->state_of_charge, most);
        sane(state->lowest_cell, most);
    }
}

void plan(std::span<const modbus::Word> words) {
    std::vector<modbus::RegisterPlace> places;
    for (const auto word : words.first(std::min<std::size_t>(words.size(), 50)))
        places.push_back({word % 2 == 0 ? modbus::RegisterBank::holding : modbus::RegisterBank::input,
                          static_cast<std::uint16_t>(std::min<int>(word, 65534)),
                          static_cast<std::uint16_t>(1 + word % 2)});
    const auto requests = modbus::plan_requests(places, words.empty() ? 0 : words.front() % 100);
    for (const auto& request : requests)
        require(request.words >= 1 && request.words <= modbus::most_words &&
                request.address + request.words <= 0x1'0000);
    for (const auto& place : places)
        require(std::ranges::any_of(requests, [&](const auto& r) { return modbus::covers(r, place); }));
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const auto words = words_of(data, size);
    read_values(words);
    read_models(words);
    read_batteries(words);
    plan(words);
    return 0;
}
