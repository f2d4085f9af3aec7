#pragma once

#include "core/place/geodesy.h"
#include "core/result.h"

#include <cstdint>
#include <optional>
#include <string_view>

/// Coordinates as people write them, WGS84.
namespace discal::place {

enum class Axis : std::uint8_t { Latitude, Longitude };

/// One coordinate that was typed.
struct TypedDegrees {
    std::int32_t degreesE7{0}; ///< degrees times 10^7, north and east positive; further digits are rounded
    /// What the last digit written stands for, in degrees: 0.0001 for "43.5571", 1/60000 for "43 33.426". The
    /// uncertainty that this implies: coordinatePrecisionMetres().
    double stepDegrees{0};
    bool operator==(const TypedDegrees&) const = default;
};

/// Degrees, degrees and minutes, or degrees, minutes and seconds; only the last may have decimals, with comma
/// or point. The half of the Earth by a sign before or a letter (N S E W, either case) before or behind, not
/// both. Signs for degrees, minutes and seconds may be left out: "43.5571", "43,5571 N", "-43.5571", "N
/// 43° 33.426'", "43 33 25,6 N", "43°33′25.6″N". Minutes and seconds are below 60. BadInput, with the legal
/// form, when it is none of these; OutOfRange (detail "latitude" or "longitude") beyond 90 or 180 degrees;
/// with the other axis' letter BadInput, "latitude and longitude the other way round".
[[nodiscard]] Result<TypedDegrees> degreesIn(std::string_view typed, Axis axis);

struct TypedPosition {
    TypedDegrees latitude;
    TypedDegrees longitude;
    bool wasSwapped{false}; ///< letters said that the longitude was typed first; it is put right here
    [[nodiscard]] LatLon latLon() const { return {latitude.degreesE7 / 1e7, longitude.degreesE7 / 1e7}; }
};

/// Both in one text, latitude first, or in any order with letters. Parted by a semicolon, by a comma before a
/// blank or where no other comma is, or by blanks: "43.5571, -90.8889", "43,5571; -90,8889", "N 43 33.426 W
/// 90 53.334". Without letters and beyond 90 in the first, where the other way round would do: BadInput,
/// "latitude and longitude the other way round". Other errors as above.
[[nodiscard]] Result<TypedPosition> positionIn(std::string_view typed);

/// Whether latitude and longitude seem to have been swapped: the other way round lies within 500 km of where
/// we are working, as typed farther than that. Our choice: legal coordinates can't show it otherwise.
[[nodiscard]] bool looksSwapped(const LatLon& typed, const LatLon& workplace);

} // namespace discal::place
