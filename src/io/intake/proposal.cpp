#include "io/intake/proposal.hpp"

#include "io/intake/look.hpp"

namespace amphora::intake {

std::expected<Proposal, std::string> propose(std::string_view beginning, const System* system,
                                             const std::string& zone) {
    Proposal proposal;
    proposal.mapping.zone = zone;
    auto sample = look_at(beginning, proposal.mapping);
    if (!sample) return std::unexpected(sample.error());
    if (!sample->note.empty()) proposal.notes.push_back(sample->note);
    Look look(beginning, system, std::move(*sample), proposal);
    find_times(look);
    find_series(look);
    find_columns(look);
    if (proposal.mapping.complete()) find_units(look);
    return proposal;
}

}  // namespace amphora::intake
