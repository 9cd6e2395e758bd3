// What was thought of the state of charge at any time, as it was lived and as it is known by now: the old past from
// what is derived in the record, by the hour; the newest, which is not derived yet, from a pipeline that follows the
// readings.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "core/estimate/estimate.hpp"
#include "io/record/derive.hpp"
#include "io/record/reader.hpp"

namespace amphora::record {

/// The state of charge over some time: the mean of the estimates and of their standard deviations, the lowest and the
/// highest mean. `missing()` where there is none.
struct Level {
    Uncertain<Fraction> state_of_charge{Fraction::missing(), Fraction::missing()};
    Fraction lowest = Fraction::missing();
    Fraction highest = Fraction::missing();
};

class EstimateBook {
public:
    /// Reads what is derived: about 0.1 s a year. Where the record is not derived by `origin`, or was changed since,
    /// only its last four hundred days are known.
    [[nodiscard]] static Result<EstimateBook> open(const std::filesystem::path& file, Origin origin,
                                                   const Reader& reader);
    ~EstimateBook();
    EstimateBook(EstimateBook&&) noexcept;
    EstimateBook& operator=(EstimateBook&&) noexcept;

    /// Takes in what was recorded since; cheap when little was. The reader must have been refreshed.
    [[nodiscard]] Result<void> follow(const Reader& reader);

    /// One level between each edge and the next; edges rise.
    [[nodiscard]] Result<std::vector<Level>> levels(View view, std::span<const std::int64_t> edges) const;

    /// The estimate at the newest reading; nothing before the first.
    [[nodiscard]] std::optional<Estimate> newest() const;

    /// When it was last known to be full.
    [[nodiscard]] std::optional<Instant> last_full() const;

    /// How much of the past is not derived yet.
    [[nodiscard]] Second not_derived() const;

private:
    class Parts;
    explicit EstimateBook(std::unique_ptr<Parts> parts);
    std::unique_ptr<Parts> parts_;
};

}  // namespace amphora::record
