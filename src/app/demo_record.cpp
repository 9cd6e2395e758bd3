#include "app/demo_record.hpp"

#include <utility>

#include "io/record/merger.hpp"

namespace amphora::app {
namespace {

constexpr Second piece(30 * 86400.0);

}  // namespace

record::Result<void> make_history(DemoVan& van, Instant end, const std::filesystem::path& file,
                                  const record::Origin& origin, const std::function<bool(Instant)>& lived) {
    const auto days = record::LocalDays::utc();
    auto merger = record::Merger::open(file, days);
    if (!merger) return std::unexpected(merger.error());
    for (Instant until = van.birth() + piece; until < end + piece; until = until + piece) {
        std::vector<Reading> readings;
        van.live_until(std::min(until, end), [&](const Reading& r) { readings.push_back(r); });
        if (const auto added = merger->add(std::move(readings)); !added) return added;
        if (!lived(std::min(until, end))) return {};
    }
    if (const auto finished = merger->finish(); !finished) return finished;
    return record::derive(file, origin, days, {});
}

}  // namespace amphora::app
