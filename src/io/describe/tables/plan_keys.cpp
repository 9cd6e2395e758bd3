// Keys of [battery] and [[meter]] that the plan needs and the estimator does not.
#include "io/describe/tables/rows.hpp"
#include "io/describe/tables/tables.hpp"

namespace amphora::describe {
namespace {

constexpr auto of_bank = [](auto member) {
    return [member](auto& s, auto) -> auto& { return s.equipment.bank.*member; };
};
constexpr auto of_meter = [](auto member) {
    return [member](auto& s, auto i) -> auto& { return s.equipment.meters[i].*member; };
};
using B = described::Bank;
using M = described::MeterDetail;

}  // namespace

std::vector<Key> bank_keys() {
    return {
        whole("strings", {1, 100}, "Strings in parallel.", "1", kept(of_bank(&B::strings))),
        number("short_circuit_a", "A", {10, 200'000},
               "Short-circuit current of the whole bank: strings in parallel add up.", "usual for its kind",
               measured(of_bank(&B::short_circuit))),
        number("most_charge_a", "A", {0.1, 10'000}, "Most that may charge it, of the whole bank.", "usual for its kind",
               measured(of_bank(&B::most_charge))),
        number("most_discharge_a", "A", {0.1, 20'000}, "Most that it gives for good.", "usual for its kind",
               measured(of_bank(&B::most_discharge))),
        number("most_surge_a", "A", {0.1, 50'000}, "Most that it gives for a moment.", "not checked",
               measured(of_bank(&B::most_surge))),
        flag("management_system", "It can disconnect itself.", "not said", kept(of_bank(&B::management_system))),
        flag("string_fuses", "Each string has a fuse of its own.", "false", kept(of_bank(&B::string_fuses))),
        flag("heated", "It is kept warm in the cold.", "false", kept(of_bank(&B::heated))),
        number("coldest_c", "C", {-60, 60}, "Coldest that the battery itself gets.", "not checked",
               measured(of_bank(&B::coldest))),
        number("warmest_c", "C", {-60, 90}, "Warmest that the battery itself gets.", "not checked",
               measured(of_bank(&B::warmest))),
        number("price", "", {0, 1e9}, "What the bank costs.", "unknown", measured(of_bank(&B::price))),
    };
}

std::vector<Key> shunt_keys() {
    return {
        text("circuit", "Name of the circuit whose current alone it measures.", "all of the battery's",
             kept(of_meter(&M::circuit))),
        number("continuous_share", "", {0.1, 1}, "Part of its rating that it may carry for good.", "2/3 (makers' rule)",
               measured(of_meter(&M::continuous_share))),
        number("highest_a", "A", {0.1, 20'000}, "The meter's own range, where it ends earlier.", "`rated_current_a`",
               measured(of_meter(&M::highest))),
        number("offset_uv", "uV", {0, 10'000}, "The meter's error at zero, as a voltage across the shunt.",
               "not checked", measured(of_meter(&M::offset), 1e-6)),
        number("resolution_uv", "uV", {0, 100'000}, "Smallest step that the meter tells apart, likewise.",
               "not checked", measured(of_meter(&M::resolution), 1e-6)),
        flag("in_use", "`false`: a candidate that is only compared.", "true", kept(of_meter(&M::in_use))),
        number("price", "", {0, 1e9}, "What shunt and meter cost.", "unknown", measured(of_meter(&M::price))),
    };
}

}  // namespace amphora::describe
