#include "core/design/fuse.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace amphora::design {
namespace {

constexpr std::array<double, 13> blade_sizes{1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 35, 40};
constexpr std::array<double, 10> mini_sizes{2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30};
constexpr std::array<double, 7> maxi_sizes{20, 30, 40, 50, 60, 70, 80};
constexpr std::array<double, 10> sf30_sizes{30, 40, 50, 60, 70, 80, 100, 125, 150, 200};
constexpr std::array<double, 13> sf51_sizes{60, 80, 100, 125, 150, 175, 200, 225, 250, 300, 350, 400, 500};
constexpr std::array<double, 18> anl_sizes{35,  40,  50,  60,  80,  100, 125, 130, 150,
                                           175, 200, 225, 250, 275, 300, 350, 400, 500};
constexpr std::array<double, 25> class_t_sizes{30,  35,  40,  45,  50,  60,  70,  80,  90,  100, 110, 125, 150,
                                               160, 175, 200, 225, 250, 300, 350, 400, 450, 500, 600, 800};
constexpr std::array<double, 19> nh_sizes{6,  10,  16,  20,  25,  32,  35,  40,  50, 63,
                                          80, 100, 125, 160, 200, 250, 315, 355, 400};
constexpr std::array<double, 13> terminal_sizes{30, 40, 50, 60, 75, 80, 100, 125, 150, 175, 200, 250, 300};
constexpr std::array<double, 11> glass_sizes{0.5, 1, 2, 3, 4, 5, 7.5, 10, 15, 20, 30};
constexpr std::array<double, 24> breaker_sizes{3,  5,  6,  7.5, 8,  10, 15,  16,  20,  25,  30,  32,
                                               35, 40, 50, 60,  70, 80, 100, 120, 125, 150, 200, 250};
constexpr std::array<double, 26> nec{15,  20,  25,  30,  35,  40,  45,  50,  60,  70,  80,  90,  100,
                                     110, 125, 150, 175, 200, 225, 250, 300, 350, 400, 450, 500, 600};

constexpr std::array<FuseKindData, 11> kinds{{
    {FuseKind::blade_mini, "blade-mini", "small blade fuse", "ISO 8820-3 form F", Volt(32), Ampere(1000), 1.6,
     mini_sizes},
    {FuseKind::blade, "blade", "blade fuse", "ISO 8820-3 form C", Volt(32), Ampere(1000), 1.6, blade_sizes},
    {FuseKind::blade_maxi, "blade-maxi", "large blade fuse", "ISO 8820-3 form E", Volt(32), Ampere(1000), 2.0,
     maxi_sizes},
    {FuseKind::sf30, "sf30", "small bolt-down fuse", "ISO 8820-5 SF30", Volt(32), Ampere(2000), 2.5, sf30_sizes},
    {FuseKind::sf51, "sf51", "large bolt-down fuse", "ISO 8820-5 SF51", Volt(32), Ampere(2000), 2.5, sf51_sizes},
    {FuseKind::anl, "anl", "bolt-down limiter", "UL 248-14 style", Volt(32), Ampere(6000), 2.5, anl_sizes},
    {FuseKind::class_t, "class-t", "class T fuse", "UL 248-15", Volt(125), Ampere(20000), 2.0, class_t_sizes},
    {FuseKind::nh, "nh", "knife-blade power fuse", "IEC 60269-2", Volt(250), Ampere(25000), 2.5, nh_sizes},
    {FuseKind::terminal, "terminal", "fuse on the battery post", "by its data sheet", Volt(58), Ampere(10000), 2.0,
     terminal_sizes},
    {FuseKind::glass, "glass", "glass tube fuse", "UL 248-14", Volt(32), Ampere(200), 1.35, glass_sizes},
    {FuseKind::breaker, "breaker", "circuit breaker", "ISO 10133 clause 8", Volt(48), Ampere(3000), 2.0, breaker_sizes},
}};

using S = Second;
constexpr std::array<OpeningTime, 3> maxi_times{{{1.35, S(60), S(1800)}, {2.0, S(2), S(60)}, {3.5, S(0.2), S(7)}}};
constexpr std::array<OpeningTime, 5> blade_times{{{1.35, S(0.75), S(1800)},
                                                  {1.6, S(0.25), S(50)},
                                                  {2.0, S(0.15), S(5)},
                                                  {3.5, S(0.04), S(0.5)},
                                                  {6.0, S(0.02), S(0.1)}}};
constexpr std::array<OpeningTime, 4> strip_times{
    {{1.35, S(120), S(1800)}, {2.0, S(1), S(15)}, {3.5, S(0.3), S(5)}, {6.0, S(0.1), S(1)}}};

}  // namespace

std::span<const FuseKindData> fuse_kinds() { return kinds; }

const FuseKindData& data(FuseKind kind) { return *std::ranges::find(kinds, kind, &FuseKindData::kind); }

Ampere interrupts_at(FuseKind kind, Volt nominal) {
    if (kind != FuseKind::terminal || nominal <= Volt(14.0)) return data(kind).interrupts;
    return nominal <= Volt(32.0) ? Ampere(5000.0) : Ampere(2000.0);
}

std::optional<Ampere> next_rating(FuseKind kind, Ampere at_least) {
    for (const double r : data(kind).ratings) {
        if (Ampere(r) >= at_least) return Ampere(r);
    }
    return std::nullopt;
}

std::optional<Ampere> rating_below(FuseKind kind, Ampere at_most) {
    std::optional<Ampere> found;
    for (const double r : data(kind).ratings) {
        if (Ampere(r) <= at_most) found = Ampere(r);
    }
    return found;
}

bool is_stocked(FuseKind kind, Ampere rating) {
    return std::ranges::any_of(data(kind).ratings, [&](double r) { return std::abs(r - rating.value()) < 1e-6; });
}

std::span<const double> nec_ratings() { return nec; }

std::span<const OpeningTime> opening_times(FuseKind kind) {
    switch (kind) {
        case FuseKind::blade_mini:
        case FuseKind::blade:
            return blade_times;
        case FuseKind::blade_maxi:
            return maxi_times;
        case FuseKind::sf30:
        case FuseKind::sf51:
            return strip_times;
        default:
            return {};
    }
}

}  // namespace amphora::design
