#include "core/design/day_chance.hpp"

#include <algorithm>
#include <cmath>

#include "core/design/draws.hpp"
#include "core/sun/clearness.hpp"

namespace amphora::design {
namespace {

inline float least(float a, float b) { return a < b ? a : b; }
inline float most(float a, float b) { return a > b ? a : b; }

/// 64 random bits of one draw's day. Bits 0 to 35 pick three normal deviates, 36 to 63 a day of the weather file.
std::uint64_t bits_of(std::uint64_t key, std::uint64_t draw) { return mixed(key ^ mixed(draw)); }

/// Diffuse share of the day (Erbs et al. 1982), both branches without a jump.
void split_light(float low_sun, DayChance& out) {
    for (std::size_t l = 0; l < lanes; ++l) {
        const float k = out.clearness[l];
        const float kl = least(k, 0.715F);
        const float kh = least(k, 0.722F);
        const float low = most(0.143F, 1.0F + kl * (-0.2727F + kl * (2.4495F + kl * (-11.9514F + kl * 9.3879F))));
        const float high = most(0.175F, 1.0F + kh * (0.2832F + kh * (-2.5557F + kh * 0.8448F)));
        out.diffuse[l] = low_sun * low + (1.0F - low_sun) * high;
    }
}

/// By the laws of clearness and warmth. Looks the normal deviates up: scalar, but only once a day.
void draw_by_law(const YearTables& t, const Chances& c, std::uint64_t key, std::uint64_t first_draw, int day,
                 ChanceMemory& memory, DayChance& out) {
    const NormalTable& normal = normal_table();
    const auto& quantile = t.clearness[static_cast<std::size_t>(t.month[static_cast<std::size_t>(day)])];
    const auto sky_memory = static_cast<float>(sun::usual_day_to_day);
    const float sky_news = std::sqrt(1.0F - sky_memory * sky_memory);
    const float warm_news = std::sqrt(1.0F - c.warmth_memory * c.warmth_memory);
    for (std::size_t l = 0; l < lanes; ++l) {
        const std::uint64_t r = bits_of(key, first_draw + l);
        memory.sky[l] = sky_memory * memory.sky[l] + sky_news * normal.at(r);
        memory.warmth[l] = c.warmth_memory * memory.warmth[l] + warm_news * normal.at(r >> 24U);
        out.use[l] = most(0.3F, 1.0F + c.use_sd * normal.at(r >> 12U));
        out.warmer[l] = c.warmth_sd * memory.warmth[l];
        const float place = least(most((memory.sky[l] + 4.0F) * (YearTables::clearness_steps / 8.0F), 0.0F),
                                  YearTables::clearness_steps - 0.001F);
        const auto i = static_cast<std::size_t>(place);
        out.clearness[l] = quantile[i] + (place - static_cast<float>(i)) * (quantile[i + 1] - quantile[i]);
    }
    split_light(t.sunset_81[static_cast<std::size_t>(day)], out);
}

bool begins_month(const YearTables& t, int day) {
    const auto d = static_cast<std::size_t>(day);
    return d == 0 || t.month[d] != t.month[d - 1];
}

/// From the days of a weather file.
void draw_from_file(const YearTables& t, const Chances& c, std::uint64_t key, std::uint64_t first_draw, int day,
                    ChanceMemory& memory, DayChance& out) {
    constexpr float chances_in_all = 4096.0F;  // of 12 bits
    const NormalTable& normal = normal_table();
    const auto& days = t.file_days[static_cast<std::size_t>(t.month[static_cast<std::size_t>(day)])];
    const auto count = static_cast<std::uint32_t>(days.size());
    const auto new_run =
        begins_month(t, day) ? std::uint64_t{4096} : static_cast<std::uint64_t>(chances_in_all / c.run_days);
    for (std::size_t l = 0; l < lanes; ++l) {
        const std::uint64_t r = bits_of(key, first_draw + l);
        out.use[l] = most(0.3F, 1.0F + c.use_sd * normal.at(r >> 12U));
        const auto anywhere = static_cast<std::uint32_t>(((r >> 48U) * count) >> 16U);
        const std::uint32_t next = memory.file_day[l] + 1 < count ? memory.file_day[l] + 1 : 0;
        memory.file_day[l] = ((r >> 36U) & 4095U) < new_run ? anywhere : next;
        const FileDay& today = days[memory.file_day[l]];
        out.clearness[l] = today.clearness;
        out.diffuse[l] = today.diffuse;
        out.warmer[l] = today.warmer;
    }
}

}  // namespace

void draw_day(const YearTables& tables, const Chances& chances, std::uint64_t key, std::uint64_t first_draw, int day,
              ChanceMemory& memory, DayChance& out) {
    const bool from_file = !tables.file_days[0].empty();
    (from_file ? draw_from_file : draw_by_law)(tables, chances, key, first_draw, day, memory, out);
}

}  // namespace amphora::design
