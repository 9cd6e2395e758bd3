#include "core/quantity/quantity.hpp"

#include <gtest/gtest.h>

namespace amphora {
namespace {

TEST(Quantity, AmpereTimesTimeIsCharge) {
    EXPECT_DOUBLE_EQ((Ampere(5.0) * Hour(20.0)).value(), 100.0);
    EXPECT_DOUBLE_EQ((Ampere(36.0) * Second(100.0)).value(), 1.0);
}

TEST(Quantity, OhmsLaw) {
    EXPECT_DOUBLE_EQ((Volt(0.05) / Ampere(500.0)).value(), 1e-4);
    EXPECT_DOUBLE_EQ((Volt(12.0) * Ampere(10.0)).value(), 120.0);
}

TEST(Quantity, MissingIsNotKnown) {
    EXPECT_FALSE(Volt::missing().known());
    EXPECT_TRUE(Volt(0.0).known());
}

template <class A, class B>
concept Addable = requires(A a, B b) { a + b; };

TEST(Quantity, MixedUnitsDoNotCompile) {
    static_assert(Addable<Volt, Volt>);
    static_assert(!Addable<Volt, Ampere>);
    static_assert(!Addable<AmpHour, WattHour>);
    static_assert(!Addable<Second, Hour>);
    static_assert(!Addable<Volt, double>);
    static_assert(!std::is_convertible_v<double, Volt>);
}

}  // namespace
}  // namespace amphora
