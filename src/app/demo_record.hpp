// The demonstration's record: made in a folder of its own that is gone when the demonstration ends.
#pragma once

#include <cstdint>
#include <expected>
#include <filesystem>
#include <functional>
#include <vector>

#include "app/demo_van.hpp"
#include "io/record/derive.hpp"
#include "io/record/writer.hpp"

namespace amphora::app {

/// Lives the years before `end` fast, and keeps them in a record as a real van's would be, with what is derived.
/// `lived` is told how far it has come; when it says false, the rest is left undone.
[[nodiscard]] record::Result<void> make_history(DemoVan& van, Instant end, const std::filesystem::path& file,
                                                const record::Origin& origin,
                                                const std::function<bool(Instant)>& lived);

}  // namespace amphora::app
