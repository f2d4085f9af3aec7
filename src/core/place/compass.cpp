#include "core/place/compass.h"

#include <array>
#include <cmath>

namespace discal::place {

std::string_view compassWord(double azimuthDegrees) {
    constexpr std::array<std::string_view, 16> kWords{"N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE",
                                                      "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"};
    if (!std::isfinite(azimuthDegrees))
        return {};
    const double turn = azimuthDegrees / 360.0 - std::floor(azimuthDegrees / 360.0);
    return kWords[static_cast<std::size_t>(std::floor(turn * 16.0 + 0.5)) % kWords.size()];
}

} // namespace discal::place
