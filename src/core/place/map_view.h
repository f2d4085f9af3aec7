#pragma once

#include "core/place/geodesy.h"
#include "core/place/map_lines.h"

#include <cstddef>
#include <span>
#include <vector>

/// What part of the Earth a map shows, and where on it a place lies.
namespace discal::place {

/// On the map: to the right and down, in the pixels of the layout.
struct MapPoint {
    double x{0};
    double y{0};
    bool operator==(const MapPoint&) const = default;
};

/// Beyond this latitude Mercator's map grows without end: places there are drawn on its edge.
inline constexpr double kMapLatitude = 85.0;

/// A window on Mercator's projection of the WGS84 ellipsoid: angles are true, and a length is the same whichever way it
/// points. The scale is true in the middle of the window; it changes with the latitude, over the height of a county by
/// under 0.5 %. Longitudes go on over the date line. A value; pure.
/// Source: IOGP Guidance Note 7-2, 3.5.1, variant A with the equator true.
class MapView {
public:
    /// Metres a pixel in the middle, kept within kFinest and kCoarsest; the size in pixels, at least 1.
    MapView(const LatLon& middle, double metresPerPixel, double width, double height);
    static constexpr double kFinest = 0.1;
    static constexpr double kCoarsest = 20'000;
    /// All of the places with so many pixels to spare, and not finer than `finest`. Nothing given: the whole of North
    /// America.
    [[nodiscard]] static MapView around(std::span<const LatLon> places, double sparePixels, double finest, double width,
                                        double height);

    [[nodiscard]] double width() const { return m_width; }
    [[nodiscard]] double height() const { return m_height; }
    [[nodiscard]] LatLon middle() const;
    /// In the middle of the window.
    [[nodiscard]] double metresPerPixel() const;
    /// The projection's own units a pixel: the same wherever the window goes.
    [[nodiscard]] double unitsPerPixel() const { return m_unitsPerPixel; }
    /// On the whole map of this scale, counted from the equator and Greenwich: the same wherever the window goes.
    [[nodiscard]] MapPoint wholeMapPointOf(const LatLon& at) const;

    [[nodiscard]] MapPoint pointOf(const LatLon& at) const;
    [[nodiscard]] LatLon placeAt(const MapPoint& point) const;
    /// How many pixels a length about a place takes.
    [[nodiscard]] double pixelsOf(double metres, const LatLon& at) const;
    /// West to east and south to north, with so many pixels around.
    [[nodiscard]] MapBox box(double sparePixels = 0) const;

    /// What was at a point is so many pixels further right and down.
    [[nodiscard]] MapView moved(double right, double down) const;
    /// So many times finer (below 1 coarser); what is at the point stays there.
    [[nodiscard]] MapView zoomed(double times, const MapPoint& about) const;
    [[nodiscard]] MapView resized(double width, double height) const;
    bool operator==(const MapView&) const = default;

private:
    MapView() = default;
    void keepOnMap();

    double m_x{0};  ///< of the middle, in the projection's units: metres on the equator
    double m_y{0};
    double m_unitsPerPixel{1};
    double m_width{1};
    double m_height{1};
};

/// A length to draw a scale with: 1, 2 or 5 times a power of ten metres, the longest that takes at most `most` pixels.
struct ScaleBar {
    double metres{0};
    double pixels{0};
};
[[nodiscard]] ScaleBar scaleBarOf(double metresPerPixel, double mostPixels);

/// Things of a map that lie too close to be told apart, as one.
struct Gathered {
    MapPoint middle;                 ///< the mean of its members
    std::vector<std::size_t> members;  ///< by their number, rising
};
/// Gathers points until no two of what comes out are nearer than `apart` pixels. The same points give the same, in
/// whatever order they come; all of them are in it, each once. Some microseconds a hundred points.
[[nodiscard]] std::vector<Gathered> gatherClose(std::span<const MapPoint> points, double apart);

} // namespace discal::place
