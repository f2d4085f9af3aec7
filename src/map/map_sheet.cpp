#include "map/map_sheet.h"

#include "core/place/map_land.h"
#include "core/place/uncertainty.h"
#include "map/names_on_map.h"
#include "map/pen.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

namespace discal::map {

using place::Gazetteer;
using place::LatLon;
using place::LineKind;
using place::MapPoint;
using place::MapView;

namespace {

/// Finer than this, in metres a dp, squares of a round length are drawn: there is little else to go by.
constexpr double kSquaresUpTo = 40;
constexpr double kScaleBarMost = 120;
/// Coarser than this no county's line is drawn: they would be a mesh.
constexpr double kCountiesUpTo = 2'500;
/// Nearer points are one, in dp.
constexpr double kFinest = 0.5;
/// So far from its spot stands the name of a town that a mark covers.
constexpr double kUnderMark = 20;

QPointF at(const MapPoint& point) { return {point.x, point.y}; }

QColor between(const QColor& a, const QColor& b, double share) {
    const auto mix = [&](int x, int y) { return static_cast<int>(std::lround(x + (y - x) * share)); };
    return {mix(a.red(), b.red()), mix(a.green(), b.green()), mix(a.blue(), b.blue())};
}

/// Degrees of longitude that half a dp takes.
double finestOf(const MapView& view) {
    const place::MapBox box = view.box();
    return (box.east - box.west) / view.width() * kFinest;
}

/// Where places lie on the picture of a view. MapView answers the same, but a continent has a hundred thousand points, and
/// Mercator's northing is dear: it is taken once a pixel, and between two of them from a straight line.
class Projection {
public:
    Projection(const MapView& view, double density) : m_view(view), m_box(view.box()), m_density(density) {
        const auto rows = static_cast<std::size_t>(view.height() * density) + 2;
        m_perDegree = static_cast<double>(rows - 1) / (m_box.north - m_box.south);
        m_north = view.wholeMapPointOf({m_box.north, 0}).y;
        for (std::size_t i = 0; i < rows; ++i)
            m_rows.push_back(exactly(m_box.south + static_cast<double>(i) / m_perDegree));
        m_acrossDegree = view.width() * density / (m_box.east - m_box.west);
    }

    /// Not MapView::pointOf: a line across the far side of the Earth must not jump over the window.
    [[nodiscard]] QPointF pixelOf(const LatLon& place) const {
        const double x = (place.lon - m_box.west) * m_acrossDegree;
        const double row = (place.lat - m_box.south) * m_perDegree;
        if (!(row >= 0 && row < static_cast<double>(m_rows.size() - 1)))
            return {x, exactly(place.lat)};
        const auto below = static_cast<std::size_t>(row);
        return {x, m_rows[below] + (row - static_cast<double>(below)) * (m_rows[below + 1] - m_rows[below])};
    }

private:
    [[nodiscard]] double exactly(double latitude) const {
        return (m_view.wholeMapPointOf({latitude, 0}).y - m_north) * m_density;
    }

    const MapView& m_view;
    place::MapBox m_box;
    double m_density;
    double m_perDegree{1};
    double m_acrossDegree{1};
    double m_north{0};
    std::vector<double> m_rows;
};

/// The ground of one view, to be drawn part by part from below.
class Ground {
public:
    Ground(const MapView& view, const Gazetteer& names, const MapStyle& style, double density)
        : m_view(view), m_names(names), m_style(style), m_density(density), m_scale(view.metresPerPixel()) {}

    void land(Pen& pen) {
        const auto land = place::landIn(m_names, m_view.box(), finestOf(m_view));
        // The shore's line is drawn over its edge.
        fill(pen, land.rest);
        fill(pen, land.counties);
    }

    void squares(Pen& pen) {
        if (m_scale > kSquaresUpTo)
            return;
        // Counted from a place near by that stays the same as the window moves: from the equator they would jump.
        constexpr double kTenths = 10;
        const LatLon middle = m_view.middle();
        const LatLon anchor{std::round(middle.lat * kTenths) / kTenths, std::round(middle.lon * kTenths) / kTenths};
        const double side = m_view.pixelsOf(place::scaleBarOf(m_scale, kScaleBarMost).metres, anchor);
        const MapPoint first = m_view.pointOf(anchor);
        for (double x = first.x - std::floor(first.x / side) * side; x < m_view.width(); x += side)
            pen.line(QPointF(x, 0) * m_density, QPointF(x, m_view.height()) * m_density, m_density);
        for (double y = first.y - std::floor(first.y / side) * side; y < m_view.height(); y += side)
            pen.line(QPointF(0, y) * m_density, QPointF(m_view.width(), y) * m_density, m_density);
        pen.ink(between(m_style.land, m_style.county, 0.34));
    }

    void lines(Pen& pen) {
        std::array<std::vector<std::vector<QPointF>>, 4> lines;
        const auto finest = m_scale > kCountiesUpTo ? LineKind::Region : LineKind::County;
        const double degrees = finestOf(m_view);
        place::forEachLine(
            m_names, m_view.box(),
            [&](LineKind kind, std::span<const LatLon> points) {
                auto& line = lines[static_cast<std::size_t>(kind)].emplace_back();
                const LatLon* kept = nullptr;
                for (const LatLon& point : points) {
                    // Before it is projected, which takes longer than all the rest
                    const bool isLast = &point == &points.back();
                    if (kept != nullptr && !isLast &&
                        std::abs(point.lat - kept->lat) + std::abs(point.lon - kept->lon) < degrees)
                        continue;
                    line.push_back(m_projection.pixelOf(point));
                    kept = &point;
                }
            },
            finest);
        const auto stroke = [&](LineKind kind, const QColor& colour, double width) {
            for (const auto& line : lines[static_cast<std::size_t>(kind)])
                for (std::size_t i = 1; i < line.size(); ++i)
                    pen.line(line[i - 1], line[i], width * m_density);
            pen.ink(colour);
        };
        // Wide windows hold many lines: these become finer, so that the map stays light.
        const double weight = m_scale > 4'000 ? 0.7 : m_scale > 900 ? 0.85 : 1;
        stroke(LineKind::County, m_style.county, m_scale > 900 ? 0.8 : 1.2);
        stroke(LineKind::Shore, m_style.shore, 1.3 * weight);
        stroke(LineKind::Region, m_style.region, 2 * weight);
        stroke(LineKind::Country, m_style.region, 3 * weight);
    }

    void towns(QPainter& painter, NamesOnMap& names) {
        struct Town {
            place::TownRecord record;
            QPointF at;
        };
        std::vector<Town> towns;
        place::forEachTown(m_names, m_view.box(), fewestPeople(), [&](const place::TownRecord& record, const LatLon& where) {
            towns.push_back({record, at(m_view.pointOf(where))});
        });
        std::sort(towns.begin(), towns.end(), [](const Town& a, const Town& b) {
            return a.record.people > b.record.people ||
                   (a.record.people == b.record.people && a.record.name < b.record.name);
        });
        // Of a crowd only as many as can be read; the largest are asked first.
        const auto most = static_cast<std::size_t>(m_view.width() * m_view.height() / 14'000);
        std::size_t written = 0;
        std::vector<std::pair<QPointF, double>> dots;
        for (const Town& town : towns) {
            if (written >= most)
                break;
            const int size = sizeOf(town.record.people);
            const double radius = 2.2 + 0.5 * size;
            const QRectF dot(town.at - QPointF(radius, radius), QSizeF(2 * radius, 2 * radius));
            if (names.crossesEdge(dot))
                continue;
            // Where something of the day stands on it, its name goes beside that.
            const bool isBare = !names.isTaken(dot);
            if (!names.beside(town.at, isBare ? radius : kUnderMark, QString::fromStdString(m_names.townName(town.record)),
                              m_style.font(13.5 + size, size >= 2 ? QFont::DemiBold : QFont::Medium),
                              size >= 1 ? m_style.ink : m_style.quiet))
                continue;
            ++written;
            if (!isBare)
                continue;
            names.take(dot);
            dots.emplace_back(town.at, radius);
        }
        painter.setPen(QPen(m_style.quiet, 1.5));
        painter.setBrush(m_style.paper);
        for (const auto& [where, radius] : dots)
            painter.drawEllipse(where, radius, radius);
    }

    /// Counties, states or countries, in the middle of what is to be seen of them.
    void areas(NamesOnMap& names) {
        if (m_scale < 20)
            return;
        const auto kind = m_scale < 420     ? place::AreaRecord::Kind::County
                          : m_scale < 6'000 ? place::AreaRecord::Kind::Region
                                            : place::AreaRecord::Kind::Country;
        struct Seen {
            QPointF sum;
            std::vector<QPointF> places;
        };
        std::map<std::string, Seen> seen;
        constexpr double kStep = 26;
        for (double y = kStep / 2; y < m_view.height(); y += kStep)
            for (double x = kStep / 2; x < m_view.width(); x += kStep) {
                const std::string name = areaAt(m_view.placeAt({x, y}), kind);
                if (name.empty())
                    continue;
                Seen& area = seen[name];
                area.sum += QPointF(x, y);
                area.places.emplace_back(x, y);
            }
        const bool isCounty = kind == place::AreaRecord::Kind::County;
        QFont font = m_style.font(isCounty ? 13 : 15, QFont::DemiBold);
        font.setLetterSpacing(QFont::AbsoluteSpacing, isCounty ? 1.2 : 2);
        font.setCapitalization(QFont::AllUppercase);
        const QColor colour = isCounty ? between(m_style.county, m_style.quiet, 0.6) : m_style.region;
        for (auto& [name, area] : seen) {
            if (area.places.size() < 8)
                continue;
            const QPointF middle = area.sum / static_cast<double>(area.places.size());
            std::sort(area.places.begin(), area.places.end(), [&](const QPointF& a, const QPointF& b) {
                return QPointF::dotProduct(a - middle, a - middle) < QPointF::dotProduct(b - middle, b - middle);
            });
            for (std::size_t i = 0; i < area.places.size() && i < 40; ++i)
                if (names.over(area.places[i], QString::fromStdString(name).toUpper(), font, colour))
                    break;
        }
    }

private:
    void fill(Pen& pen, const std::vector<place::Ring>& rings) const {
        std::vector<std::vector<QPointF>> pixels;
        for (const place::Ring& ring : rings) {
            auto& line = pixels.emplace_back();
            line.reserve(ring.size());
            for (const LatLon& place : ring)
                line.push_back(m_projection.pixelOf(place));
        }
        pen.fill(pixels, m_style.land);
    }

    [[nodiscard]] double fewestPeople() const {
        return m_scale < 120 ? 0 : m_scale < 220 ? 200 : m_scale < 400 ? 1'500 : m_scale < 1'000 ? 15'000
               : m_scale < 2'500 ? 80'000 : m_scale < 6'000 ? 300'000 : 1'200'000;
    }
    /// 0 a village to 3 a city, among what is seen at the scale.
    [[nodiscard]] int sizeOf(double people) const {
        const double village = m_scale < 400 ? 3'500 : m_scale < 2'500 ? 60'000 : 1'000'000;
        return people < village ? 0 : people < 8 * village ? 1 : people < 40 * village ? 2 : 3;
    }

    /// The name of the area of that kind that the place is in; empty at sea, and where its kind is not known.
    [[nodiscard]] std::string areaAt(const LatLon& where, place::AreaRecord::Kind kind) const {
        const place::Outlook from({where.lat, std::remainder(where.lon, 360.0)});
        place::AreaIndex found = place::kNoArea;
        const auto borders = m_names.borders();
        borders.areasIn(from.column(), from.row(), [&](const place::Borders::Met& met) {
            if (found == place::kNoArea && !m_names.file().area(met.area).isCoarse &&
                (met.isWhole || borders.contains(met.area, from)))
                found = met.area;
        });
        for (int steps = 0; found != place::kNoArea && steps < 3; ++steps) {
            const auto area = m_names.file().area(found);
            if (area.kind == kind)
                return std::string(area.name);
            found = area.parent;
        }
        return {};
    }

    const MapView& m_view;
    const Gazetteer& m_names;
    const MapStyle& m_style;
    double m_density;
    double m_scale;
    Projection m_projection{m_view, m_density};
};

} // namespace

void MapSheet::draw(const MapView& view, const Gazetteer* names, const MapStyle& style, double density,
                    const std::vector<QRectF>& marks) {
    const QPointF room(std::round(view.width() * kRoom), std::round(view.height() * kRoom));
    m_window = view;
    m_view = view.resized(view.width() + 2 * room.x(), view.height() + 2 * room.y());
    m_density = density;
    const QSize size = (QSizeF(m_view.width(), m_view.height()) * density).toSize();
    if (m_image.size() != size)
        m_image = QImage(size, QImage::Format_RGB32);
    m_image.setDevicePixelRatio(density);
    m_image.fill(names != nullptr ? style.water : style.land);
    if (names == nullptr)
        return;
    Ground ground(m_view, *names, style, density);
    Pen pen(m_image);
    ground.land(pen);
    ground.squares(pen);
    ground.lines(pen);
    QPainter painter(&m_image);
    painter.setRenderHint(QPainter::Antialiasing);
    NamesOnMap written(QRectF(0, 0, m_view.width(), m_view.height()), QRectF(room, QSizeF(view.width(), view.height())));
    for (const QRectF& mark : marks)
        written.take(mark.translated(room));
    ground.areas(written);
    ground.towns(painter, written);
    written.draw(painter, style.land);
}

bool MapSheet::isNearEdge(const MapView& view) const {
    constexpr double kLeft = 0.6;
    const QPointF corner = at(m_view.pointOf(view.placeAt({0, 0})));
    const double x = kLeft * kRoom * view.width();
    const double y = kLeft * kRoom * view.height();
    return !QRectF(0, 0, m_view.width(), m_view.height()).adjusted(x, y, -x, -y).contains(QRectF(corner, QSizeF(view.width(), view.height())));
}

void MapSheet::paint(QPainter& painter, const MapView& view) const {
    const double times = m_view.unitsPerPixel() / view.unitsPerPixel();
    QPointF corner = at(view.pointOf(m_view.middle())) - QPointF(m_view.width(), m_view.height()) / 2 * times;
    if (std::abs(times - 1) < 1e-9) {
        // On whole pixels of the screen lines stay as crisp as they were drawn.
        corner = {std::round(corner.x() * m_density) / m_density, std::round(corner.y() * m_density) / m_density};
        painter.drawImage(corner, m_image);
        return;
    }
    painter.drawImage(QRectF(corner, QSizeF(m_view.width(), m_view.height()) * times), m_image);
}

} // namespace discal::map
