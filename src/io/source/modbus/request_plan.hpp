// Which registers to ask for: neighbours in one request, so that the values of a reading are of one moment and the line
// is asked as seldom as possible.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "core/system/register.hpp"

namespace amphora::modbus {

using described::RegisterBank;

/// The most registers that one request may ask for (Modbus application protocol V1.1b3, 6.3 and 6.4).
constexpr std::size_t most_words = 125;

/// Where a value stands: `address` counts from 0, as on the wire, not as in lists that begin at 1, 30001 or 40001.
struct RegisterPlace {
    RegisterBank bank = RegisterBank::holding;
    std::uint16_t address = 0;
    std::uint16_t words = 1;

    auto operator<=>(const RegisterPlace&) const = default;
};

/// One request: the words from `address` on.
using Request = RegisterPlace;

/// Requests that cover every place, in the order of bank and address. Places are put into one request if at most
/// `most_between` registers that nobody wants lie between them and it stays within `most_words`; a value never spans
/// two requests. Some devices refuse to be asked for registers that they do not have: then `most_between` is 0.
[[nodiscard]] std::vector<Request> plan_requests(std::span<const RegisterPlace> places, std::uint16_t most_between);

/// True if a request holds the whole of a place.
[[nodiscard]] constexpr bool covers(const Request& request, const RegisterPlace& place) {
    return request.bank == place.bank && place.address >= request.address &&
           place.address + place.words <= request.address + request.words;
}

}  // namespace amphora::modbus
