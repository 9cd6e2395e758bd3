#include "app/derived_record.hpp"

#include <fmt/core.h>

#include <nlohmann/json.hpp>

#include "core/ledger/crc32c.hpp"
#include "io/describe/json.hpp"

namespace amphora::app {

record::Origin origin_of(const RecordPlace& place) {
    const std::string text = describe::to_json(place.system).dump();
    const std::span bytes(reinterpret_cast<const std::uint8_t*>(text.data()), text.size());
    return {place.system, fmt::format("{:08x}-{}", ledger::crc32c(bytes), text.size())};
}

Exit bring_up_to_date(const RecordPlace& place) {
    const record::Origin origin = origin_of(place);
    const auto current = record::is_derived(place.file, origin);
    if (!current) return report(current.error());
    if (*current) return Exit::ok;
    const auto derived = record::derive(place.file, origin, place.days, progress_bar("deriving"));
    return derived ? Exit::ok : report(derived.error());
}

}  // namespace amphora::app
