// The colours of the charts: earth and sea on paper. What was said at the time and what is known now differ in
// lightness as well as in hue, so that they can be told apart in grey and by colour-blind eyes.
#pragma once

#include "io/document/plot/canvas.hpp"

namespace amphora::plot::palette {

constexpr Colour paper{0xFBFAF6};
constexpr Colour ink{0x2A2F33};
constexpr Colour faded_ink{0x747A7C};
constexpr Colour grid{0xE6E3DA};
constexpr Colour axis{0xB9B6AC};

constexpr Colour said_band{0xE9C46A, 0.50};
constexpr Colour said{0xC98A1B};
constexpr Colour known_band{0x2F7F86, 0.30};
constexpr Colour known{0x17595F};
constexpr Colour reserve{0xA14B4B};

constexpr Colour into{0x9CC3AF};
constexpr Colour out_of{0xDDBBA9};
constexpr Colour into_word{0x4F8268};
constexpr Colour out_of_word{0x9A6A52};
constexpr Colour mean_current{0x4A4642};
constexpr Colour voltage_extent{0xBAC5D8};
constexpr Colour voltage{0x4A5F85};

}  // namespace amphora::plot::palette
