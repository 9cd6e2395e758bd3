// One table per chemistry; cell_model.cpp chooses among them.
#pragma once

#include "core/battery/cell_model.hpp"

namespace amphora {

[[nodiscard]] CellModel lfp_cell();
[[nodiscard]] CellModel agm_cell();
[[nodiscard]] CellModel gel_cell();
[[nodiscard]] CellModel flooded_cell();
[[nodiscard]] CellModel nmc_cell();
[[nodiscard]] CellModel nca_cell();
[[nodiscard]] CellModel lto_cell();

}  // namespace amphora
