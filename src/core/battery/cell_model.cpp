#include "core/battery/cell_model.hpp"

#include <utility>
#include <vector>

#include "core/battery/chemistry_tables.hpp"

namespace amphora {
namespace {

CellModel by_chemistry(Chemistry chemistry) {
    switch (chemistry) {
        case Chemistry::lfp:
            return lfp_cell();
        case Chemistry::agm:
            return agm_cell();
        case Chemistry::gel:
            return gel_cell();
        case Chemistry::flooded:
            return flooded_cell();
        case Chemistry::nmc:
            return nmc_cell();
        case Chemistry::nca:
            return nca_cell();
        case Chemistry::lto:
            return lto_cell();
    }
    std::unreachable();
}

}  // namespace

CellModel cell_model(const Battery& battery) {
    CellModel model = by_chemistry(battery.chemistry);
    if (battery.ocv) {
        std::vector<OcvPoint> points;
        points.reserve(battery.ocv->voltage.size());
        for (std::size_t k = 0; k < battery.ocv->voltage.size(); ++k)
            points.push_back({battery.ocv->state_of_charge[k].value(), battery.ocv->voltage[k].value()});
        model.ocv.curve = OcvCurve(points);
        // Measured on this battery: its steep parts are where they were, but neither the voltmeter's error nor the
        // cell's history is gone.
        model.ocv.knee_sd = 0.6 * model.ocv.knee_sd;
    }
    return model;
}

}  // namespace amphora
