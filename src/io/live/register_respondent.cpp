#include "io/live/register_respondent.hpp"

#include <utility>

namespace amphora::live {

RegisterRespondent::RegisterRespondent(std::shared_ptr<ModbusLine> line, const described::Source& source,
                                       const std::vector<PlugChannel>& channels)
    : line_(std::move(line)), device_(source.modbus) {
    std::vector<modbus::RegisterPlace> places;
    for (std::size_t i = 0; i < channels.size(); ++i) {
        const auto& how = channels[i].description->spot;
        const modbus::RegisterPlace place{how.bank, static_cast<std::uint16_t>(how.address),
                                          static_cast<std::uint16_t>(modbus::words_in(how.type))};
        wanted_.push_back({i, how, place});
        places.push_back(place);
    }
    requests_ = modbus::plan_requests(places, static_cast<std::uint16_t>(device_.bridged));
}

Answer RegisterRespondent::ask() {
    std::vector<RawFigure> figures;
    for (const auto& request : requests_) {
        const auto words = line_->read(device_.number, request, device_.timeout);
        if (!words) return std::unexpected(NoAnswer{words.error().why, words.error().lost});
        for (const auto& wanted : wanted_) {
            if (!modbus::covers(request, wanted.place)) continue;
            const auto at = static_cast<std::size_t>(wanted.place.address - request.address);
            const auto value = modbus::number_in(std::span(*words).subspan(at, wanted.place.words), wanted.how);
            if (value) figures.push_back({wanted.channel, *value});
        }
    }
    return Figures{std::move(figures), {}};
}

}  // namespace amphora::live
