#include "core/place/words.h"

#include <array>
#include <cmath>

namespace discal::place {

namespace {

constexpr double kInTown = 100;

/// Once only, where a district, its state or its country have one name.
void append(std::string& out, const std::string& part) {
    if (part.empty() || out == part || out.ends_with(", " + part))
        return;
    if (!out.empty())
        out += ", ";
    out += part;
}

std::string oneDecimal(double value) {
    const auto tenths = std::llround(value * 10);
    std::string out = std::to_string(tenths / 10);
    if (tenths % 10 != 0)
        out += "." + std::to_string(tenths % 10);
    return out;
}

} // namespace

std::string distanceWords(double metres) {
    // 9.95 km is 10 km already.
    if (metres < 99.5)
        return std::to_string(std::llround(metres)) + " m";
    if (metres < 9'950)
        return oneDecimal(metres / 1000) + " km";
    return std::to_string(std::llround(metres / 1000)) + " km";
}

std::string localityOf(const Place& place) {
    std::string out;
    if (place.town) {
        const NearbyTown& town = *place.town;
        if (town.metres >= kInTown)
            out = distanceWords(town.metres) + " " + std::string(town.bearing) + " of ";
        out += town.name;
        const bool isAbroad = town.country != place.country;
        if (isAbroad || town.region != place.region)
            if (const auto& where =
                    isAbroad || town.region.name.empty() ? town.country.name : town.region.name;
                !where.empty())
                out += " (" + where + ")";
    }
    if (place.countyBy == CountyBy::NearestShore && !place.county.name.empty())
        append(out, "off " + place.county.name);
    else
        append(out, place.county.name);
    append(out, place.region.name);
    if (place.country.code != "US")
        append(out, place.country.name);
    return out;
}

std::string localityOf(const Place& place, std::string_view siteName) {
    std::string out(siteName);
    const std::string derived = localityOf(place);
    if (!out.empty() && !derived.empty())
        out += ", ";
    return out + derived;
}

std::string neighbourWords(const Place& place) {
    if (!place.neighbour)
        return {};
    const Neighbour& other = *place.neighbour;
    std::string out = other.county.name;
    if (out.empty() || other.region != place.region || other.country != place.country)
        append(out, other.region.name);
    if (out.empty() || other.country != place.country)
        append(out, other.country.name);
    return out;
}

std::string remarksOf(const Place& place) {
    std::string out;
    const auto say = [&out](const std::string& sentence) {
        if (!out.empty())
            out += "; ";
        out += sentence;
    };
    if (place.countyBy == CountyBy::NearestTown)
        say("county is that of the nearest town");
    if (place.isOffshore)
        say(place.countyBy == CountyBy::NearestShore ? "offshore, county is the nearest" : "offshore");
    if (place.neighbour)
        say("within " + distanceWords(place.neighbour->metres) + " of the line to " + neighbourWords(place));
    return out;
}

} // namespace discal::place
