// Clear-sky models against figures computed from the published formulas: Kasten and Young 1989 (coefficients from
// memory, table value 38 at the horizon), Haurwitz 1945 with exponent 0.059 (Sandia's published listing), Ineichen and
// Perez 2002 (coefficients as in public transcriptions; the direct part from memory).
#include <gtest/gtest.h>

#include <array>

#include "core/sun/clear_sky.hpp"

namespace amphora::sun {
namespace {

struct Row {
    double zenith;
    double value;
};

TEST(ClearSkyModels, AirMass) {
    constexpr std::array<Row, 6> rows{
        {{0, 0.99971}, {30, 1.15399}, {60, 1.99429}, {75, 3.81291}, {85, 10.30579}, {90, 37.91961}}};
    for (const Row& r : rows) EXPECT_NEAR(air_mass(Degree(r.zenith)), r.value, 1e-5);
}

TEST(ClearSkyModels, Haurwitz) {
    constexpr std::array<Row, 6> rows{
        {{0, 1035.09}, {30, 888.27}, {45, 714.25}, {60, 487.89}, {75, 226.26}, {85, 48.63}}};
    for (const Row& r : rows) EXPECT_NEAR(haurwitz(Degree(r.zenith)).value(), r.value, 0.01);
    EXPECT_EQ(haurwitz(Degree(95.0)).value(), 0.0);
}

TEST(ClearSkyModels, IneichenPerez) {
    constexpr std::array<Row, 4> global{{{0, 1051.8911}, {45, 708.9859}, {75, 196.3907}, {85, 31.1200}}};
    constexpr std::array<Row, 4> direct{{{0, 940.1846}, {45, 872.8444}, {75, 566.6265}, {85, 176.0877}}};
    for (std::size_t i = 0; i < global.size(); ++i) {
        const ClearSky sky = ineichen_perez(Degree(global[i].zenith), Metre(0.0), 3.0, WattPerSquareMetre(1361.0));
        EXPECT_NEAR(sky.global_horizontal.value(), global[i].value, 0.001);
        EXPECT_NEAR(sky.direct_normal.value(), direct[i].value, 0.001);
    }
}

}  // namespace
}  // namespace amphora::sun
