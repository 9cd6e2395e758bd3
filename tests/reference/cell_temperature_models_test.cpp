// Cell temperature: definition of the nominal operating cell temperature (IEC 61215); King, Boyson and Kratochvil,
// SAND2004-3535, equations 11 and 12, table 1; Faiman 2008 (constants from memory).
#include <gtest/gtest.h>

#include "core/sun/cell_temperature.hpp"

namespace amphora::sun {
namespace {

constexpr WattPerSquareMetre full_sun{1000.0};
constexpr MetrePerSecond breeze{1.0};

TEST(CellTemperature, NominalOperating) {
    EXPECT_NEAR(cell_by_nominal(Celsius(20), WattPerSquareMetre(800), Celsius(45)).value(), 45.0, 1e-9);
    EXPECT_NEAR(cell_by_nominal(Celsius(30), full_sun, Celsius(47)).value(), 63.75, 1e-9);
}

TEST(CellTemperature, ByMounting) {
    const PanelTemperature open = cell_by_mounting(Celsius(25), full_sun, breeze, Mounting::open_rack);
    EXPECT_NEAR(open.back.value(), 51.3839, 1e-3);
    EXPECT_NEAR(open.cell.value(), 54.3839, 1e-3);
    EXPECT_NEAR(cell_by_mounting(Celsius(25), full_sun, breeze, Mounting::close_to_roof).cell.value(), 74.4560, 1e-3);
    EXPECT_NEAR(cell_by_mounting(Celsius(25), full_sun, breeze, Mounting::glued_to_roof).cell.value(), 82.5271, 1e-3);
}

TEST(CellTemperature, Faiman) {
    EXPECT_NEAR(module_by_faiman(Celsius(20), WattPerSquareMetre(800), breeze).value(), 45.1256, 1e-3);
    EXPECT_NEAR(module_by_faiman(Celsius(25), full_sun, MetrePerSecond(0)).value(), 65.0, 1e-9);
}

}  // namespace
}  // namespace amphora::sun
