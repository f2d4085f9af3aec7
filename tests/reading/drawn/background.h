#pragma once

#include "reading/drawn/chance.h"
#include "reading/drawn/homography.h"
#include "reading/drawn/light.h"

#include <cstdint>

namespace discal::drawn {

/// What lies behind the disc.
enum class Background : std::uint8_t { Wing, Skin, Card, Meadow, Wood, Cloth, Mesh, Fingers, Sheet };

inline constexpr int kBackgrounds = 9;

/// Draws one, `width` by `height` pixels, at a scale where `millimetre` pixels are one. The tag will
/// lie at `middle`. Of a sheet only its paper. The same chance gives the same.
[[nodiscard]] Surface drawBackground(Background kind, int width, int height, double millimetre, Point middle,
                                     Chance chance);

} // namespace discal::drawn
