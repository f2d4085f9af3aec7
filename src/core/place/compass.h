#pragma once

#include <string_view>

namespace discal::place {

/// The nearest of the sixteen compass words (N, NNE, NE, ENE ...) to an azimuth in degrees clockwise from
/// north, of any number of turns. A direction halfway between two belongs to the one clockwise of it. NaN or
/// infinite: empty.
[[nodiscard]] std::string_view compassWord(double azimuthDegrees);

} // namespace discal::place
