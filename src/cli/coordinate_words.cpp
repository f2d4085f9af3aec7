#include "cli/coordinate_words.h"

#include "cli/error_text.h"

#include <charconv>
#include <cmath>

namespace discal::cli {

using place::Axis;

Result<place::TypedPosition> typedPosition(const std::vector<std::string>& words) {
    std::string joined;
    for (const std::string& word : words)
        joined += (joined.empty() ? "" : " ") + word;
    if (words.size() == 2) {
        // Each may have a comma for its point; that the pair as one text could not tell from a separator.
        auto latitude = place::degreesIn(words[0], Axis::Latitude);
        auto longitude = place::degreesIn(words[1], Axis::Longitude);
        if (latitude && longitude)
            return place::TypedPosition{*latitude, *longitude, false};
        const auto swappedLat = place::degreesIn(words[1], Axis::Latitude);
        const auto swappedLon = place::degreesIn(words[0], Axis::Longitude);
        const auto pair = place::positionIn(joined);
        if (pair)
            return pair;
        if (swappedLat && swappedLon)
            return fail(Code::BadInput, "latitude and longitude the other way round");
        return fail(!latitude ? latitude.error() : longitude.error());
    }
    return place::positionIn(joined);
}

Result<double> fullDegrees(const std::string& typed, Axis axis) {
    double degrees = 0;
    const char* end = typed.data() + typed.size();
    const auto read = std::from_chars(typed.data(), end, degrees);
    if (read.ec == std::errc() && read.ptr == end && std::isfinite(degrees)) {
        if (std::abs(degrees) > (axis == Axis::Latitude ? 90.0 : 180.0))
            return fail(Code::OutOfRange, axis == Axis::Latitude ? "latitude" : "longitude");
        return degrees;
    }
    const auto other = place::degreesIn(typed, axis);
    if (!other)
        return fail(other.error());
    return other->degreesE7 / 1e7;
}

std::string coordinateText(const Error& error) {
    if (error.code == Code::OutOfRange && error.detail == "latitude")
        return "latitude goes from -90 to 90 degrees";
    if (error.code == Code::OutOfRange && error.detail == "longitude")
        return "longitude goes from -180 to 180 degrees";
    if (error.code == Code::BadInput && error.detail.ends_with("the other way round"))
        return "latitude and longitude seem to be the other way round; latitude comes first, from -90 to 90 "
               "degrees";
    if (error.code == Code::BadInput)
        return "expected " + error.detail;
    return textOf(error);
}

} // namespace discal::cli
