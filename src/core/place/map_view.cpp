#include "core/place/map_view.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <numeric>
#include <utility>

namespace discal::place {

namespace {

constexpr double kEquatorMetres = 6'378'137.0;
constexpr double kFlattening = 1.0 / 298.257223563;
constexpr double kE2 = kFlattening * (2.0 - kFlattening);
const double kE = std::sqrt(kE2);
constexpr double kRadians = std::numbers::pi / 180.0;
constexpr double kWholeTurn = 2.0 * std::numbers::pi * kEquatorMetres;

double northingOf(double latitude) {
    const double phi = std::clamp(latitude, -kMapLatitude, kMapLatitude) * kRadians;
    return kEquatorMetres * (std::asinh(std::tan(phi)) - kE * std::atanh(kE * std::sin(phi)));
}

double latitudeOf(double northing) {
    // Each round brings the error down by e^2, 0.0067: after four it is below a tenth of a millimetre.
    const double psi = northing / kEquatorMetres;
    double phi = std::atan(std::sinh(psi));
    for (int i = 0; i < 4; ++i)
        phi = std::atan(std::sinh(psi + kE * std::atanh(kE * std::sin(phi))));
    return phi / kRadians;
}

double eastingOf(double longitude) { return longitude * kRadians * kEquatorMetres; }

/// How long a metre at the latitude is on the map.
double stretchAt(double latitude) {
    const double phi = std::clamp(latitude, -kMapLatitude, kMapLatitude) * kRadians;
    return std::sqrt(1.0 - kE2 * std::sin(phi) * std::sin(phi)) / std::cos(phi);
}

} // namespace

MapView::MapView(const LatLon& middle, double metresPerPixel, double width, double height)
    : m_x(eastingOf(middle.lon)), m_y(northingOf(middle.lat)),
      m_unitsPerPixel(std::clamp(metresPerPixel, kFinest, kCoarsest) * stretchAt(middle.lat)),
      m_width(std::max(1.0, width)), m_height(std::max(1.0, height)) {
    keepOnMap();
}

MapView MapView::around(std::span<const LatLon> places, double sparePixels, double finest, double width, double height) {
    if (places.empty())
        return {{46, -96}, 10'000, width, height};
    double west = 0, east = 0;
    double south = northingOf(places.front().lat);
    double north = south;
    for (const LatLon& place : places) {
        // The short way from the first
        const double away = eastingOf(std::remainder(place.lon - places.front().lon, 360.0));
        west = std::min(west, away);
        east = std::max(east, away);
        south = std::min(south, northingOf(place.lat));
        north = std::max(north, northingOf(place.lat));
    }
    const LatLon middle{latitudeOf((south + north) / 2),
                        places.front().lon + (west + east) / 2 / kEquatorMetres / kRadians};
    const double acrossPixels = std::max(1.0, width - 2 * sparePixels);
    const double highPixels = std::max(1.0, height - 2 * sparePixels);
    const double units = std::max((east - west) / acrossPixels, (north - south) / highPixels);
    return {middle, std::max(finest, units / stretchAt(middle.lat)), width, height};
}

void MapView::keepOnMap() {
    m_x = std::remainder(m_x, kWholeTurn);
    m_y = std::clamp(m_y, northingOf(-kMapLatitude), northingOf(kMapLatitude));
}

LatLon MapView::middle() const { return {latitudeOf(m_y), m_x / kEquatorMetres / kRadians}; }

double MapView::metresPerPixel() const { return m_unitsPerPixel / stretchAt(latitudeOf(m_y)); }

MapPoint MapView::wholeMapPointOf(const LatLon& at) const {
    return {eastingOf(at.lon) / m_unitsPerPixel, -northingOf(at.lat) / m_unitsPerPixel};
}

MapPoint MapView::pointOf(const LatLon& at) const {
    const double right = std::remainder(eastingOf(at.lon) - m_x, kWholeTurn);
    return {m_width / 2 + right / m_unitsPerPixel, m_height / 2 - (northingOf(at.lat) - m_y) / m_unitsPerPixel};
}

LatLon MapView::placeAt(const MapPoint& point) const {
    const double x = m_x + (point.x - m_width / 2) * m_unitsPerPixel;
    const double y = m_y - (point.y - m_height / 2) * m_unitsPerPixel;
    return {std::clamp(latitudeOf(y), -kMapLatitude, kMapLatitude),
            std::remainder(x, kWholeTurn) / kEquatorMetres / kRadians};
}

double MapView::pixelsOf(double metres, const LatLon& at) const { return metres * stretchAt(at.lat) / m_unitsPerPixel; }

MapBox MapView::box(double sparePixels) const {
    const double half = (m_width / 2 + sparePixels) * m_unitsPerPixel;
    const double high = (m_height / 2 + sparePixels) * m_unitsPerPixel;
    return {(m_x - half) / kEquatorMetres / kRadians, latitudeOf(m_y - high), (m_x + half) / kEquatorMetres / kRadians,
            latitudeOf(m_y + high)};
}

MapView MapView::moved(double right, double down) const {
    MapView view = *this;
    view.m_x -= right * m_unitsPerPixel;
    view.m_y += down * m_unitsPerPixel;
    view.keepOnMap();
    return view;
}

MapView MapView::zoomed(double times, const MapPoint& about) const {
    const double stretch = stretchAt(latitudeOf(m_y));
    MapView view = *this;
    view.m_unitsPerPixel = std::clamp(m_unitsPerPixel / times, kFinest * stretch, kCoarsest * stretch);
    view.m_x += (about.x - m_width / 2) * (m_unitsPerPixel - view.m_unitsPerPixel);
    view.m_y -= (about.y - m_height / 2) * (m_unitsPerPixel - view.m_unitsPerPixel);
    view.keepOnMap();
    return view;
}

MapView MapView::resized(double width, double height) const {
    MapView view = *this;
    view.m_width = std::max(1.0, width);
    view.m_height = std::max(1.0, height);
    return view;
}

ScaleBar scaleBarOf(double metresPerPixel, double mostPixels) {
    const double most = metresPerPixel * mostPixels;
    if (!(most > 0) || !std::isfinite(most))
        return {};
    const double power = std::pow(10.0, std::floor(std::log10(most)));
    double metres = power;
    for (const double times : {2.0, 5.0, 10.0})
        if (times * power <= most)
            metres = times * power;
    return {metres, metres / metresPerPixel};
}

namespace {

/// Points and gathered ones by the square of `apart` pixels in which they lie.
using Square = std::pair<std::int64_t, std::int64_t>;
Square squareOf(const MapPoint& point, double apart) {
    return {std::llround(std::floor(point.x / apart)), std::llround(std::floor(point.y / apart))};
}

void join(Gathered& to, Gathered& from) {
    const auto n = static_cast<double>(to.members.size());
    const auto m = static_cast<double>(from.members.size());
    to.middle = {(n * to.middle.x + m * from.middle.x) / (n + m), (n * to.middle.y + m * from.middle.y) / (n + m)};
    to.members.insert(to.members.end(), from.members.begin(), from.members.end());
    from.members.clear();
}

/// One round over them from left to right: each takes in the nearest one that is too close. False when none is.
bool gatherOnce(std::vector<Gathered>& all, double apart) {
    std::map<Square, std::vector<std::size_t>> squares;
    for (std::size_t i = 0; i < all.size(); ++i)
        squares[squareOf(all[i].middle, apart)].push_back(i);
    bool hasJoined = false;
    std::vector<bool> isDone(all.size(), false);
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (isDone[i])
            continue;
        const Square middle = squareOf(all[i].middle, apart);
        std::size_t nearest = i;
        double least = apart;
        for (std::int64_t dx = -1; dx <= 1; ++dx)
            for (std::int64_t dy = -1; dy <= 1; ++dy)
                if (const auto near = squares.find({middle.first + dx, middle.second + dy}); near != squares.end())
                    for (const std::size_t j : near->second) {
                        const double away = std::hypot(all[i].middle.x - all[j].middle.x,
                                                       all[i].middle.y - all[j].middle.y);
                        if (j != i && !isDone[j] && away < least) {
                            least = away;
                            nearest = j;
                        }
                    }
        if (nearest == i)
            continue;
        // Neither meets another in this round: what was near may be far from their middle.
        join(all[i], all[nearest]);
        isDone[i] = isDone[nearest] = hasJoined = true;
    }
    std::erase_if(all, [](const Gathered& one) { return one.members.empty(); });
    return hasJoined;
}

} // namespace

std::vector<Gathered> gatherClose(std::span<const MapPoint> points, double apart) {
    std::vector<std::size_t> order(points.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return std::pair(points[a].x, points[a].y) < std::pair(points[b].x, points[b].y);
    });
    std::vector<Gathered> all;
    for (const std::size_t i : order) {
        // Thousands at one spot are one from the beginning.
        if (!all.empty() && all.back().middle == points[i])
            all.back().members.push_back(i);
        else
            all.push_back({points[i], {i}});
    }
    const auto byPlace = [](const Gathered& a, const Gathered& b) {
        return std::pair(a.middle.x, a.middle.y) < std::pair(b.middle.x, b.middle.y);
    };
    while (gatherOnce(all, apart))
        std::sort(all.begin(), all.end(), byPlace);
    for (Gathered& one : all)
        std::sort(one.members.begin(), one.members.end());
    return all;
}

} // namespace discal::place
