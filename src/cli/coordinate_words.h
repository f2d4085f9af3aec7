#pragma once

#include "core/place/typed_coordinates.h"
#include "core/result.h"

#include <string>
#include <vector>

/// Coordinates on the command line and in tables.
namespace discal::cli {

/// Latitude and longitude as two words, or both in any number of words as place::positionIn reads them.
[[nodiscard]] Result<place::TypedPosition> typedPosition(const std::vector<std::string>& words);

/// One coordinate at full precision: a decimal number as it is, else as place::degreesIn reads it.
[[nodiscard]] Result<double> fullDegrees(const std::string& typed, place::Axis axis);

/// Why a coordinate was refused, with the legal form.
[[nodiscard]] std::string coordinateText(const Error& error);

} // namespace discal::cli
