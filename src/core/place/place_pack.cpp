#include "core/place/place_pack.h"

#include <algorithm>
#include <array>
#include <boost/json.hpp>
#include <cmath>
#include <limits>

namespace discal::place {

namespace json = boost::json;

namespace {

constexpr std::array<const char*, 9> kNameMembers{"name",      "NAME",   "NOMGEO",  "NOM_MUN", "CDNAME",
                                                  "shapeName", "NAME_2", "ADM2_ES", "ADM2_EN"};
constexpr std::array<const char*, 6> kCodeMembers{"code",  "GEOID",   "CVEGEO",
                                                  "CDUID", "shapeID", "ADM2_PCODE"};

template <std::size_t n>
std::string textIn(const json::object& properties, const std::array<const char*, n>& members) {
    for (const char* member : members)
        if (const auto* value = properties.if_contains(member); value != nullptr && value->is_string())
            return std::string(value->get_string());
    return {};
}

tl::unexpected<Error> badFeature(std::string what, std::size_t feature) {
    return fail(Code::BadInput, std::move(what), static_cast<std::int64_t>(feature));
}

std::optional<double> numberOf(const json::value& value) {
    if (value.is_double())
        return value.get_double();
    if (value.is_int64())
        return static_cast<double>(value.get_int64());
    if (value.is_uint64())
        return static_cast<double>(value.get_uint64());
    return std::nullopt;
}

/// [longitude, latitude, ...]; nullopt if it isn't a position on Earth.
std::optional<LatLon> positionOf(const json::value& value) {
    const auto* pair = value.if_array();
    if (pair == nullptr || pair->size() < 2)
        return std::nullopt;
    const auto lon = numberOf((*pair)[0]);
    const auto lat = numberOf((*pair)[1]);
    if (!lon || !lat || !(std::abs(*lat) <= 90.0) || !(std::abs(*lon) <= 180.0))
        return std::nullopt;
    return LatLon{*lat, *lon};
}

bool isInside(const std::vector<LatLon>& ring, const LatLon& at) {
    bool inside = false;
    for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
        const LatLon& a = ring[j];
        const LatLon& b = ring[i];
        if ((a.lat <= at.lat) != (b.lat <= at.lat) &&
            a.lon + (b.lon - a.lon) * (at.lat - a.lat) / (b.lat - a.lat) > at.lon)
            inside = !inside;
    }
    return inside;
}

double metresToRing(const std::vector<LatLon>& ring, const Outlook& from) {
    double least = std::numeric_limits<double>::infinity();
    const auto east = [&](const LatLon& p) { return (p.lon * kUnitsPerDegree - from.x) * from.metresEast; };
    const auto north = [&](const LatLon& p) { return (p.lat * kUnitsPerDegree - from.y) * from.metresNorth; };
    for (std::size_t i = 1; i < ring.size(); ++i) {
        const double ax = east(ring[i - 1]);
        const double ay = north(ring[i - 1]);
        const double dx = east(ring[i]) - ax;
        const double dy = north(ring[i]) - ay;
        const double length = dx * dx + dy * dy;
        const double t = length > 0 ? std::clamp(-(ax * dx + ay * dy) / length, 0.0, 1.0) : 0.0;
        least = std::min(least, std::hypot(ax + t * dx, ay + t * dy));
    }
    return least;
}

} // namespace

Result<PlacePack> PlacePack::fromGeoJson(std::string_view text) {
    json::error_code failed;
    json::monotonic_resource memory;
    const json::value root = json::parse(json::string_view(text.data(), text.size()), failed, &memory);
    if (failed || !root.is_object())
        return fail(Code::NotJson, "a place pack is GeoJSON");
    const auto* features = root.get_object().if_contains("features");
    if (features == nullptr || !features->is_array())
        return fail(Code::BadInput, "a GeoJSON FeatureCollection");
    PlacePack pack;
    std::size_t number = 0;
    for (const json::value& value : features->get_array()) {
        ++number;
        const auto* feature = value.if_object();
        const auto* geometryValue = feature != nullptr ? feature->if_contains("geometry") : nullptr;
        const auto* geometry = geometryValue != nullptr ? geometryValue->if_object() : nullptr;
        if (geometry == nullptr)
            continue;
        const auto* type = geometry->if_contains("type");
        const auto* coordinates = geometry->if_contains("coordinates");
        const bool isPolygon = type != nullptr && *type == json::value("Polygon");
        if (!isPolygon && !(type != nullptr && *type == json::value("MultiPolygon")))
            continue;
        if (coordinates == nullptr || !coordinates->is_array())
            return badFeature("coordinates of a polygon", number);
        const auto* properties = feature->if_contains("properties");
        Area area;
        if (properties != nullptr && properties->is_object()) {
            area.name.name = textIn(properties->get_object(), kNameMembers);
            area.name.code = textIn(properties->get_object(), kCodeMembers);
        }
        if (area.name.name.empty())
            return badFeature(
                "a name (one of name, NAME, NOMGEO, NOM_MUN, CDNAME, shapeName, NAME_2, ADM2_ES, ADM2_EN)",
                number);
        area.west = area.south = std::numeric_limits<double>::infinity();
        area.east = area.north = -std::numeric_limits<double>::infinity();
        const auto addRings = [&](const json::value& polygon) {
            if (!polygon.is_array())
                return false;
            for (const json::value& ringValue : polygon.get_array()) {
                const auto* positions = ringValue.if_array();
                if (positions == nullptr)
                    return false;
                Ring ring;
                ring.points.reserve(positions->size());
                for (const json::value& position : *positions) {
                    const auto point = positionOf(position);
                    if (!point)
                        return false;
                    area.west = std::min(area.west, point->lon);
                    area.east = std::max(area.east, point->lon);
                    area.south = std::min(area.south, point->lat);
                    area.north = std::max(area.north, point->lat);
                    ring.points.push_back(*point);
                }
                // RFC 7946, 3.1.6: four or more positions.
                if (ring.points.size() < 4)
                    return false;
                area.rings.push_back(std::move(ring));
            }
            return true;
        };
        bool isLegal = true;
        if (isPolygon)
            isLegal = addRings(*coordinates);
        else
            for (const json::value& polygon : coordinates->get_array())
                isLegal = isLegal && addRings(polygon);
        if (!isLegal)
            return badFeature("rings of four or more [longitude, latitude] in degrees", number);
        pack.m_areas.push_back(std::move(area));
    }
    if (pack.m_areas.empty())
        return fail(Code::BadInput, "at least one Polygon or MultiPolygon");
    return pack;
}

std::optional<PlacePack::Hit> PlacePack::at(const LatLon& where, double lineMetres) const {
    const Outlook from(where);
    const double reachLat = lineMetres / (from.metresNorth * kUnitsPerDegree);
    const double reachLon = lineMetres / (from.metresEast * kUnitsPerDegree);
    const Area* holder = nullptr;
    const Area* neighbour = nullptr;
    double least = lineMetres;
    for (const Area& area : m_areas) {
        if (where.lat < area.south - reachLat || where.lat > area.north + reachLat ||
            where.lon < area.west - reachLon || where.lon > area.east + reachLon)
            continue;
        bool inside = false;
        for (const Ring& ring : area.rings)
            inside = inside != isInside(ring.points, where);
        if (inside && holder == nullptr) {
            holder = &area;
            continue;
        }
        for (const Ring& ring : area.rings) {
            const double metres = inside ? 0 : metresToRing(ring.points, from);
            if (metres <= least) {
                least = metres;
                neighbour = &area;
            }
        }
    }
    if (holder == nullptr)
        return std::nullopt;
    Hit hit{holder->name, std::nullopt, least};
    if (neighbour != nullptr)
        hit.neighbour = neighbour->name;
    return hit;
}

} // namespace discal::place
