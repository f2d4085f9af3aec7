#pragma once

#include "reading/drawn/chance.h"
#include "reading/drawn/light.h"

#include <cstdint>

namespace discal::drawn {

/// What lies behind the disc.
enum class Background : std::uint8_t { Wing, Skin, Card, Meadow, Wood, Cloth, Mesh, Sheet };

inline constexpr int kBackgrounds = 8;

/// Draws one, `width` by `height` pixels, at a scale where `millimetre` pixels are one. The same chance gives the same.
[[nodiscard]] Light drawBackground(Background kind, int width, int height, double millimetre, Chance chance);

} // namespace discal::drawn
