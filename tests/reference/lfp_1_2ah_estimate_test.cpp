// The estimator on the measured LFP cell (origin: lfp_1_2ah_test.cpp): 25 h in the flat zone at 10 C, never full, from
// an unknown start, with its own curve (the mean of both branches) and with a biased copy of the current. The bias is
// that of a poor meter on a house battery, scaled by capacity: 0.15 A on 200 Ah is 0.9 mA on 1.2 Ah; gain 1 %.
#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "core/pipeline/pipeline.hpp"
#include "reference/measured_cells.hpp"

namespace amphora {
namespace {

System described(const measured::Table& ocv) {
    System system;
    system.battery.chemistry = Chemistry::lfp;
    system.battery.design_capacity = AmpHour(1.2);
    system.battery.rated_over = Hour(1);
    system.battery.cells_in_series = 1;
    system.battery.reserve = Fraction(0);
    system.battery.full = {Volt(3.5), Ampere(0.05), Second(180)};
    std::vector<double> state_of_charge = ocv.column("soc_percent");
    for (double& z : state_of_charge) z /= 100;
    system.battery.ocv = measured::thinned(state_of_charge, ocv.column("ocv_mean_V"), 0.01);
    return system;
}

struct MeterFault {
    Ampere offset;
    Fraction gain;
};

class Lfp12AhEstimate : public testing::TestWithParam<MeterFault> {};

INSTANTIATE_TEST_SUITE_P(BiasedCurrent, Lfp12AhEstimate,
                         testing::Values(MeterFault{Ampere(0), Fraction(0)}, MeterFault{Ampere(0.0009), Fraction(0.01)},
                                         MeterFault{Ampere(0.0009), Fraction(-0.01)},
                                         MeterFault{Ampere(-0.0009), Fraction(0.01)},
                                         MeterFault{Ampere(-0.0009), Fraction(-0.01)}));

TEST_P(Lfp12AhEstimate, ErrorAndBandAfterTheFirstHour) {
    const auto table = measured::lfp_flat_zone(), ocv = measured::lfp_branches();
    AMPHORA_NEEDS(table && ocv);
    const auto readings = measured::lfp_readings(*table, GetParam().offset, GetParam().gain);
    const auto& reference = table->column("soc_reference");
    Pipeline pipeline(described(*ocv));
    double squares = 0, sd = 0;
    int steps = 0, covered = 0;
    for (std::size_t k = 0; k < readings.size(); ++k) {
        if (!pipeline.push(readings[k]) || k < 3600) continue;
        const Uncertain<Fraction> soc = pipeline.now().state_of_charge;
        const double error = soc.mean.value() - reference[k];
        squares += error * error;
        sd += soc.sd.value();
        covered += std::abs(error) <= band90 * soc.sd.value();
        ++steps;
    }
    ASSERT_GT(steps, 1000);
    EXPECT_LE(std::sqrt(squares / steps), 0.05);
    EXPECT_GE(static_cast<double>(covered) / steps, 0.80);
    EXPECT_LE(sd / steps, 0.06) << "covered only because the band is wide";
}

}  // namespace
}  // namespace amphora
