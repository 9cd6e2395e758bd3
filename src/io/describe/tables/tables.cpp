#include "io/describe/tables/tables.hpp"

#include <algorithm>
#include <iterator>

namespace amphora::describe {

const std::vector<Table>& all_tables() {
    static const auto tables = [] {
        std::vector<Table> all;
        for (const auto part :
             {system_tables, battery_tables, meter_tables, appliance_tables, circuit_tables, inverter_tables,
              charger_tables, climate_tables, wish_tables, source_tables, live_tables, guard_tables})
            std::ranges::move(part(), std::back_inserter(all));
        return all;
    }();
    return tables;
}

}  // namespace amphora::describe
