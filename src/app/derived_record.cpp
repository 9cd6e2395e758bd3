#include "app/derived_record.hpp"

#include "io/describe/json.hpp"

namespace amphora::app {

record::Origin origin_of(const RecordPlace& place) { return {place.system, describe::fingerprint(place.system)}; }

Exit bring_up_to_date(const RecordPlace& place) {
    const record::Origin origin = origin_of(place);
    const auto current = record::is_derived(place.file, origin);
    if (!current) return report(current.error());
    if (*current) return Exit::ok;
    const auto derived = record::derive(place.file, origin, place.days, progress_bar("deriving"));
    return derived ? Exit::ok : report(derived.error());
}

}  // namespace amphora::app
