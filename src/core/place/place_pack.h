#pragma once

#include "core/place/gazetteer.h"
#include "core/place/geodesy.h"
#include "core/result.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace discal::place {

/// Boundaries that a user adds: counties, municipalities or the like of a country whose boundaries the
/// gazetteer lacks. Read from GeoJSON (RFC 7946) into memory, some 16 bytes a point. Any number of threads
/// may ask at once.
class PlacePack {
public:
    /// A FeatureCollection of Polygons and MultiPolygons, in WGS84 longitude and latitude as RFC 7946 wants
    /// it. Each needs a name: the first of the members name, NAME, NOMGEO, NOM_MUN, CDNAME, shapeName,
    /// NAME_2, ADM2_ES, ADM2_EN that is a text; a code where one of code, GEOID, CVEGEO, CDUID, shapeID,
    /// ADM2_PCODE is there. Features without a polygon are passed over. NotJson; BadInput, with what is
    /// missing and the number of the feature.
    [[nodiscard]] static Result<PlacePack> fromGeoJson(std::string_view text);

    [[nodiscard]] std::size_t size() const { return m_areas.size(); }

    struct Hit {
        AreaName county;
        /// The nearest other area of the pack within the distance asked for.
        std::optional<AreaName> neighbour;
        double metres{0}; ///< to that
    };
    /// The area that holds the place; nothing outside of all.
    [[nodiscard]] std::optional<Hit> at(const LatLon& where, double lineMetres) const;

private:
    struct Ring {
        std::vector<LatLon> points;
    };
    struct Area {
        AreaName name;
        std::vector<Ring> rings;
        double west{0}, south{0}, east{0}, north{0};
    };
    std::vector<Area> m_areas;
};

} // namespace discal::place
