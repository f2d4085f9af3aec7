#pragma once

#include "reading/drawn/chance.h"
#include "reading/drawn/homography.h"
#include "reading/drawn/light.h"

#include <cstdint>

namespace discal::drawn {

/// What may pass for a tag and is none.
enum class RoundThing : std::uint8_t {
    Coin,
    Button,
    Dandelion,
    Daisy,
    BottleCap,
    Pebble,
    BlankDisc, ///< paper, not printed
    Ring,      ///< drawn with a pen
    Sticker,   ///< round, with a picture
    Beetle,
    Text, ///< printed lines without a disc
};

inline constexpr int kRoundThings = 11;

/// Draws one on a surface of format RGB24, `diameter` pixels wide, turned by chance. Text fills a box of that width.
void drawRoundThing(cairo_t* cr, RoundThing thing, Point centre, double diameter, Chance chance);

} // namespace discal::drawn
