#include "io/source/sunspec/model_chain.hpp"

#include <fmt/core.h>

namespace amphora::sunspec {
namespace {

constexpr std::size_t most_models = 64;
constexpr std::uint16_t end_of_chain = 0xFFFF;
constexpr std::uint32_t last_register = 0xFFFF;

bool has_marker(const RegisterReader& read, std::uint16_t base) {
    const auto words = read(base, 2);
    return words.size() == 2 && words[0] == 0x5375 && words[1] == 0x6E53;  // "SunS"
}

std::expected<std::vector<Model>, std::string> follow(const RegisterReader& read, std::uint32_t at) {
    std::vector<Model> models;
    for (;;) {
        if (at >= last_register)
            return std::unexpected(fmt::format("the models go on beyond register {} without an end", last_register));
        const auto words = read(static_cast<std::uint16_t>(at), 2);
        if (!words.empty() && words[0] == end_of_chain) return models;
        if (words.size() != 2) return std::unexpected(fmt::format("the models break off at register {}", at));
        if (models.size() == most_models)
            return std::unexpected(fmt::format("more than {} models; expected an end", most_models));
        models.push_back({words[0], static_cast<std::uint16_t>(at), words[1]});
        at += 2U + words[1];
    }
}

}  // namespace

std::expected<std::vector<Model>, std::string> find_models(const RegisterReader& read) {
    for (const auto base : bases)
        if (has_marker(read, base)) return follow(read, base + 2U);
    return std::unexpected(
        fmt::format("no SunSpec marker at the registers {}, {} and {}", bases[0], bases[1], bases[2]));
}

}  // namespace amphora::sunspec
