#include "io/source/modbus/request_plan.hpp"

#include <algorithm>

namespace amphora::modbus {

std::vector<Request> plan_requests(std::span<const RegisterPlace> places, std::uint16_t most_between) {
    std::vector<RegisterPlace> sorted(places.begin(), places.end());
    std::ranges::sort(sorted);
    std::vector<Request> requests;
    for (const auto& place : sorted) {
        if (!requests.empty() && requests.back().bank == place.bank) {
            auto& last = requests.back();
            const auto last_end = last.address + last.words;
            const auto end = std::max(last_end, place.address + place.words);
            const auto words = static_cast<std::size_t>(end - last.address);
            if (place.address <= last_end + most_between && words <= most_words) {
                last.words = static_cast<std::uint16_t>(words);
                continue;
            }
        }
        requests.push_back(place);
    }
    return requests;
}

}  // namespace amphora::modbus
