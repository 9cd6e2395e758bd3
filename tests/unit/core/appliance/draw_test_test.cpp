#include "core/appliance/draw_test.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace amphora {
namespace {

constexpr double start = 1.75e9;

/// A meter at 1 Hz whose noise is first-order autoregressive, and what flows behind it.
class NoisyMeter {
public:
    NoisyMeter(unsigned seed, double noise, double correlation) : dice_(seed), noise_(noise), phi_(correlation) {}

    Reading read(double seconds, double out) {
        error_ = phi_ * error_ + noise_ * std::sqrt(1 - phi_ * phi_) * normal_(dice_);
        return {Instant::from_unix(start + seconds), Ampere(-out + error_), Volt(12.9), Celsius::missing()};
    }

private:
    std::mt19937 dice_;
    std::normal_distribution<double> normal_;
    double noise_, phi_, error_ = 0;
};

/// Off, on, off, each for so long; `draw` gives what the appliance takes so many seconds after it was switched on.
template <class Draw>
DrawTest run(NoisyMeter meter, const DrawSettings& settings, double each, double base, Draw draw, double drift = 0) {
    DrawTest test(settings);
    double t = 0;
    for (int step = 0; step < 3; ++step) {
        test.switched(Instant::from_unix(start + t));
        for (double s = 0; s < each; s += 1, t += 1)
            test.push(meter.read(t, base + drift * step + (step == 1 ? draw(s) : 0.0)));
    }
    test.switched(Instant::from_unix(start + t));
    return test;
}

double half_width(const DrawResult& r) { return r.draw.sd.value() * band90; }

TEST(DrawTest, FindsASteadyDraw) {
    const auto r = run(NoisyMeter(1, 0.05, 0.5), {}, 200, 0.8, [](double) { return 4.1; }).result();
    EXPECT_NEAR(r.draw.mean.value(), 4.1, 0.05);
    EXPECT_LT(half_width(r), 0.05);
    EXPECT_NEAR(r.power.mean.value(), 4.1 * 12.9, 1.0);
    EXPECT_FALSE(r.below_resolution);
    EXPECT_FALSE(r.rest_changed);
    EXPECT_FALSE(r.cycle);
}

TEST(DrawTest, TheInrushIsNotCounted) {
    const auto surge = [](double s) { return s < 5 ? 60.0 : 4.0; };
    EXPECT_NEAR(run(NoisyMeter(2, 0.02, 0.0), {}, 120, 0.5, surge).result().draw.mean.value(), 4.0, 0.03);
}

// Nine times out of ten the truth is inside, for independent and for strongly correlated noise alike. With the error of
// independent readings (0.2 / sqrt(290)) the second would be right four times out of ten.
TEST(DrawTest, TheBandIsHonest) {
    for (const double phi : {0.0, 0.5, 0.9}) {
        int inside = 0;
        constexpr int trials = 300;
        for (unsigned seed = 0; seed < trials; ++seed) {
            const auto r = run(NoisyMeter(seed, 0.2, phi), {}, 300, 1.0, [](double) { return 2.0; }).result();
            inside += std::abs(r.draw.mean.value() - 2.0) <= half_width(r) ? 1 : 0;
        }
        EXPECT_GE(inside, trials * 84 / 100) << phi;
        EXPECT_LE(inside, trials * 98 / 100) << phi;
    }
}

TEST(DrawTest, SaysHowLongToWait) {
    DrawSettings settings;
    settings.wanted = Ampere(0.05);
    DrawTest test(settings);
    test.switched(Instant::from_unix(start));
    NoisyMeter meter(3, 0.2, 0.8);
    EXPECT_FALSE(test.wait().known());
    double t = 0;
    for (; t < 60; ++t) test.push(meter.read(t, 1.0));
    const double said = test.wait().value();
    EXPECT_GT(said, 100);
    while (!test.ready()) test.push(meter.read(t++, 1.0));
    // z = 1.645, s = 0.2, half width 0.05 of a difference with error sqrt(1.5): n = 1.5 (z s / d)^2 (1 + phi)/(1 -
    // phi).
    const double theory = 1.5 * std::pow(1.645 * 0.2 / 0.05, 2) * 9;
    EXPECT_GT(t, theory * 0.4);
    EXPECT_LT(t, theory * 2.0);
    EXPECT_LE(t, 1900);
}

TEST(DrawTest, GivesUpOnPrecisionThatTakesTooLong) {
    DrawSettings settings;
    settings.wanted = Ampere(1e-6);
    settings.most = Second(100);
    DrawTest test(settings);
    test.switched(Instant::from_unix(start));
    NoisyMeter meter(4, 0.2, 0.8);
    double t = 0;
    while (!test.ready()) test.push(meter.read(t++, 1.0));
    EXPECT_NEAR(t, 112, 2);
}

TEST(DrawTest, BelowWhatTheMeterResolves) {
    DrawSettings settings;
    settings.resolution = Ampere(0.1);
    const auto r = run(NoisyMeter(5, 0.001, 0.0), settings, 100, 1.0, [](double) { return 0.03; }).result();
    EXPECT_TRUE(r.below_resolution);
    EXPECT_EQ(r.at_most, Ampere(0.1));
    const auto noisy = run(NoisyMeter(6, 0.5, 0.9), {}, 100, 1.0, [](double) { return 0.05; }).result();
    EXPECT_TRUE(noisy.below_resolution) << "lost in the noise";
    EXPECT_GT(noisy.at_most, Ampere(0.1));
}

TEST(DrawTest, NoticesThatTheRestChanged) {
    const auto r = run(NoisyMeter(7, 0.02, 0.3), {}, 120, 1.0, [](double) { return 2.0; }, 0.3).result();
    EXPECT_TRUE(r.rest_changed);
    EXPECT_NEAR(r.draw.mean.value(), 2.0, 1e-1) << "a steady drift is taken out";
    EXPECT_GT(half_width(r), 0.25) << "but when it changed is not known";
}

TEST(DrawTest, ACyclingApplianceIsWatchedForTwoWholeCycles) {
    const auto compressor = [](double s) { return std::fmod(s + 100, 600) < 200 ? 5.0 : 0.1; };  // runs a third
    DrawSettings settings;
    settings.cycles = true;
    DrawTest test(settings);
    NoisyMeter meter(8, 0.03, 0.5);
    double t = 0;
    test.switched(Instant::from_unix(start));
    for (; t < 60; ++t) test.push(meter.read(t, 0.5));
    test.switched(Instant::from_unix(start + t));
    const double on_at = t;
    while (!test.ready() && t < 10'000) {
        test.push(meter.read(t, 0.5 + compressor(t - on_at)));
        ++t;
    }
    EXPECT_EQ(test.whole_cycles(), 2U);
    EXPECT_NEAR(t - on_at, 500 + 1200, 10) << "starts at 500, 1100 and 1700 s";
    test.switched(Instant::from_unix(start + t));
    for (const double until = t + 60; t < until; ++t) test.push(meter.read(t, 0.5));
    const auto r = test.result();
    ASSERT_TRUE(r.cycle);
    EXPECT_FALSE(r.too_few_cycles);
    EXPECT_NEAR(r.draw.mean.value(), (200 * 5.0 + 400 * 0.1) / 600, 0.05);
    EXPECT_NEAR(r.cycle->duty.value(), 1.0 / 3.0, 0.02);
    EXPECT_NEAR(r.cycle->running.value(), 5.5, 0.1);
}

TEST(DrawTest, OneCycleIsToldToBeTooFew) {
    const auto compressor = [](double s) { return std::fmod(s, 600) < 200 ? 5.0 : 0.1; };
    const auto r = run(NoisyMeter(9, 0.03, 0.5), {}, 900, 0.5, compressor).result();
    EXPECT_TRUE(r.too_few_cycles);
}

TEST(DrawTest, WithoutReadingsNothingIsKnown) {
    DrawTest test;
    EXPECT_FALSE(test.result().draw.mean.known());
    EXPECT_FALSE(test.ready());
    test.switched(Instant::from_unix(start));
    test.push({Instant::from_unix(start + 20), Ampere::missing(), Volt(12), Celsius::missing()});
    EXPECT_FALSE(test.result().draw.mean.known());
}

TEST(CorrelatedMean, WhiteNoiseIsWorthItsNumber) {
    std::mt19937 dice(1);
    std::normal_distribution<double> normal;
    std::vector<Ampere> readings;
    for (int i = 0; i < 2000; ++i) readings.push_back(Ampere(normal(dice)));
    const auto mean = correlated_mean(readings);
    EXPECT_GT(mean.effective, 1400);
    EXPECT_NEAR(mean.error.value(), 1 / std::sqrt(2000), 0.005);
}

}  // namespace
}  // namespace amphora
