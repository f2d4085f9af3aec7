#include "viewmodels/map_page_model.h"

#include "core/place/uncertainty.h"
#include "core/place/words.h"
#include "services/known_sites.h"

#include <QLocale>
#include <algorithm>
#include <cmath>
#include <map>

namespace discal::viewmodels {

namespace json = boost::json;
using butterfly::Butterfly;
using butterfly::Fate;
using journal::RecordType;
using place::LatLon;
using place::MapPoint;
using place::MapView;

namespace {

constexpr double kMillimetresPerDp = 25.4 / 160;
/// Around what is to be seen, in dp: marks and their counts reach beyond their middle.
constexpr double kSpare = 44;
/// Nothing is shown finer without being asked: a meadow is to be seen, not a spot in it.
constexpr double kFinestFit = 0.5;
constexpr double kHereFit = 1.5;
/// Where nothing is known but a site or a position: the land around it.
constexpr double kPlacingFit = 5;
constexpr double kStep = 2;

struct Where {
    LatLon at;
    double uncertaintyMetres{0};
};

std::optional<Where> whereOf(const json::object& members) {
    const auto* position = journal::objectIn(members, "position");
    const auto lat = position != nullptr ? journal::numberIn(*position, "lat_e7") : std::nullopt;
    const auto lon = position != nullptr ? journal::numberIn(*position, "lon_e7") : std::nullopt;
    if (!lat || !lon)
        return std::nullopt;
    return Where{{static_cast<double>(*lat) / 1e7, static_cast<double>(*lon) / 1e7},
                 static_cast<double>(journal::numberIn(*position, "uncertainty_mm").value_or(0)) / 1000};
}

/// The four ends of a circle.
void addCircle(std::vector<LatLon>& to, const LatLon& at, double metres) {
    const auto degree = place::degreeMetres(std::clamp(at.lat, -place::kMapLatitude, place::kMapLatitude));
    for (const double side : {-1.0, 1.0}) {
        to.push_back({at.lat + side * metres / degree.north, at.lon});
        to.push_back({at.lat, at.lon + side * metres / degree.east});
    }
}

/// "60 m", "420 m", "1.2 km", "38 km": to two digits, rounded up.
QString lengthText(double metres) {
    const QLocale locale;
    const double power = std::pow(10, std::max(0.0, std::floor(std::log10(std::max(1.0, metres))) - 1));
    const double round = std::ceil(metres / power - 1e-9) * power;
    if (round < 1000)
        return MapPageModel::tr("%1\u00a0m", "a length").arg(locale.toString(round, 'f', 0));
    return MapPageModel::tr("%1\u00a0km", "a length").arg(locale.toString(round / 1000, 'f', round < 9'950 ? 1 : 0));
}

} // namespace

MapPageModel::MapPageModel(FieldPhone& phone, QObject* parent)
    : QObject(parent), m_phone(phone), m_view(MapView::around({}, kSpare, kFinestFit, 328, 480)) {
    connect(&m_phone, &FieldPhone::changed, this, &MapPageModel::refresh);
}

void MapPageModel::begin() {
    m_isOpen = true;
    m_isPlacing = false;
    m_isFitted = false;
    m_before.reset();
    refresh();
}

void MapPageModel::beginPlacing(const QVariantList& before) {
    m_isOpen = true;
    m_isPlacing = true;
    m_isFitted = false;
    m_before.reset();
    if (before.size() == 3)
        m_before = Point{{before[0].toDouble() / 1e7, before[1].toDouble() / 1e7}, before[2].toDouble() / 1000, false};
    refresh();
}

void MapPageModel::end() {
    m_isOpen = false;
    m_held.reset();
}

void MapPageModel::refresh() {
    if (!m_isOpen)
        return;
    readSites();
    readDay();
    readHere();
    if (!m_isFitted)
        fit();
    m_gatheredAt = 0;
    gather();
    emit refreshed();
    tellView();
}

void MapPageModel::readSites() {
    m_sites.clear();
    const auto sites = m_phone.projections().records(RecordType::Site);
    if (!sites)
        return;
    for (const auto& record : *sites)
        if (const auto where = whereOf(record.members)) {
            Site site{m_phone.siteName(record.key), where->at, where->uncertaintyMetres, where->uncertaintyMetres,
                      record.key == m_phone.session.persisting().site};
            if (const auto radius = journal::numberIn(record.members, "radius_mm"); radius && *radius > 0)
                site.radiusMetres += static_cast<double>(*radius) / 1000;
            m_sites.push_back(std::move(site));
        }
}

void MapPageModel::readDay() {
    m_points.clear();
    m_count.clear();
    const std::string session = m_phone.sessionShown();
    const auto day = session.empty() ? Result<std::vector<Butterfly>>(std::vector<Butterfly>{})
                                     : m_phone.projections().butterfliesOfSession(session);
    if (!day || day->empty())
        return;
    // Where the receiver said nothing, the site answers with all of its reach.
    std::map<std::string, std::optional<Where>, std::less<>> sites;
    const auto siteOf = [&](const json::object& place) -> std::optional<Where> {
        const auto id = journal::textIn(place, "site");
        if (!id)
            return std::nullopt;
        const auto known = sites.find(*id);
        if (known != sites.end())
            return known->second;
        const auto record = m_phone.projections().record(RecordType::Site, std::string(*id));
        std::optional<Where> where = record && *record ? whereOf((*record)->members) : std::nullopt;
        if (where) {
            const auto radius = journal::numberIn((*record)->members, "radius_mm");
            where->uncertaintyMetres += static_cast<double>(radius && *radius > 0 ? *radius : services::kUnsaidRadiusMm) / 1000;
        }
        return sites.emplace(*id, where).first->second;
    };
    int unplaced = 0;
    for (const Butterfly& b : *day) {
        std::optional<Where> where;
        for (const json::object* place : {&b.released, &b.taken})
            if (!where && !place->empty())
                where = whereOf(*place) ? whereOf(*place) : siteOf(*place);
        if (where)
            m_points.push_back({where->at, where->uncertaintyMetres, b.fate == Fate::Held || b.fate == Fate::Noted});
        else
            ++unplaced;
    }
    m_count = tr("%n butterfl(ies)", "", static_cast<int>(day->size()));
    if (unplaced > 0)
        m_count = tr("%1, %n without a position", "%1: 13 butterflies", unplaced).arg(m_count);
}

void MapPageModel::readHere() {
    m_here.reset();
    if (const auto position = m_phone.session.positionNow(m_phone.clock().now()))
        m_here = Here{place::latLonOf(*position), static_cast<double>(position->uncertaintyMm) / 1000};
    m_place = m_phone.hereText();
}

void MapPageModel::lookAgain() {
    if (!m_isOpen)
        return;
    const auto before = m_here;
    const QString said = m_place;
    readHere();
    const bool isSame = before.has_value() == m_here.has_value() &&
                        (!before || (before->at.lat == m_here->at.lat && before->at.lon == m_here->at.lon &&
                                     before->uncertaintyMetres == m_here->uncertaintyMetres));
    if (isSame && said == m_place)
        return;
    emit refreshed();
    tellView();
}

void MapPageModel::gather() {
    // By the map's own scale, so that moving it changes nothing. Fingers need no more than an idea of it.
    constexpr double kIdea = 0.15;
    const double change = m_gatheredAt > 0 ? std::abs(std::log(m_view.unitsPerPixel() / m_gatheredAt)) : 1;
    if (change == 0 || (m_held && change < kIdea))
        return;
    m_gatheredAt = m_view.unitsPerPixel();
    std::vector<MapPoint> points;
    for (const Point& point : m_points)
        points.push_back(m_view.wholeMapPointOf(point.at));
    m_marks.clear();
    for (const auto& one : place::gatherClose(points, m_apart)) {
        Mark mark;
        mark.count = static_cast<int>(one.members.size());
        mark.isHeld = true;
        double lat = 0;
        double lon = 0;
        for (const std::size_t i : one.members) {
            lat += m_points[i].at.lat / mark.count;
            lon += std::remainder(m_points[i].at.lon - m_points[one.members.front()].at.lon, 360.0) / mark.count;
            mark.isHeld = mark.isHeld && m_points[i].isHeld;
        }
        mark.at = {lat, m_points[one.members.front()].at.lon + lon};
        for (const std::size_t i : one.members)
            mark.radiusMetres = std::max(mark.radiusMetres, place::flightBetween(mark.at, m_points[i].at).metres +
                                                                m_points[i].uncertaintyMetres);
        m_marks.push_back(mark);
    }
}

void MapPageModel::setApart(double dp) {
    if (dp == m_apart || !(dp > 0))
        return;
    m_apart = dp;
    m_gatheredAt = 0;
    gather();
    tellView();
}

void MapPageModel::tellView() {
    emit viewChanged();
    if (!m_held)
        emit rested();
}

void MapPageModel::show(const MapView& view) {
    m_view = view;
    m_isFitted = true;
    gather();
    tellView();
}

void MapPageModel::fit() {
    const auto around = [&](const std::vector<LatLon>& places, double finest) {
        m_view = MapView::around(places, kSpare, finest, m_view.width(), m_view.height());
    };
    const auto site = std::find_if(m_sites.begin(), m_sites.end(), [](const Site& one) { return one.isCurrent; });
    std::vector<LatLon> places;
    if (m_isPlacing) {
        const bool isAtSite = !m_here && site != m_sites.end();
        const LatLon middle = m_before ? m_before->at : m_here ? m_here->at : isAtSite ? site->at : LatLon{};
        if (m_before || m_here || isAtSite)
            places.push_back(middle);
        around(places, kPlacingFit);
    } else if (!m_points.empty()) {
        for (const Point& point : m_points)
            addCircle(places, point.at, point.uncertaintyMetres);
        around(places, kFinestFit);
    } else if (m_here) {
        addCircle(places, m_here->at, m_here->uncertaintyMetres);
        around(places, kHereFit);
    } else if (site != m_sites.end()) {
        addCircle(places, site->at, site->radiusMetres);
        around(places, kHereFit);
    } else {
        for (const Site& one : m_sites)
            places.push_back(one.at);
        around(places, kPlacingFit);
    }
}

void MapPageModel::resize(double width, double height) {
    if (width < 1 || height < 1 || (width == m_view.width() && height == m_view.height()))
        return;
    m_view = m_view.resized(width, height);
    if (m_isOpen && !m_isFitted)
        fit();
    gather();
    tellView();
}

bool MapPageModel::canZoomIn() const { return m_view.metresPerPixel() > MapView::kFinest * 1.01; }
bool MapPageModel::canZoomOut() const { return m_view.metresPerPixel() < MapView::kCoarsest / 1.01; }

void MapPageModel::zoomIn() { zoomAbout(kStep, {m_view.width() / 2, m_view.height() / 2}); }
void MapPageModel::zoomOut() { zoomAbout(1 / kStep, {m_view.width() / 2, m_view.height() / 2}); }
void MapPageModel::zoomAbout(double times, const QPointF& point) {
    if (times > 0 && std::isfinite(times))
        show(m_view.zoomed(times, {point.x(), point.y()}));
}

void MapPageModel::showHere() {
    if (!m_here)
        return;
    std::vector<LatLon> circle;
    addCircle(circle, m_here->at, m_here->uncertaintyMetres);
    show(MapView::around(circle, m_view.width() / 3, kHereFit, m_view.width(), m_view.height()));
}

void MapPageModel::showDay() {
    m_isPlacing = false;
    fit();
    show(m_view);
}

void MapPageModel::tap(const QPointF& point) {
    MapPoint middle{point.x(), point.y()};
    double times = 1;
    for (const Mark& mark : m_marks) {
        const MapPoint sign = m_view.pointOf(mark.at);
        if (mark.count == 1 || std::hypot(sign.x - point.x(), sign.y - point.y()) > m_apart)
            continue;
        middle = sign;
        times = kStep * kStep;
    }
    const MapPoint centre{m_view.width() / 2, m_view.height() / 2};
    show(m_view.moved(centre.x - middle.x, centre.y - middle.y).zoomed(times, centre));
}

void MapPageModel::move(double right, double down) { show(m_view.moved(right, down)); }

void MapPageModel::hold(const QPointF& point) { m_held = Hold{m_view, point}; }

void MapPageModel::pull(const QPointF& point, double times) {
    if (!m_held || !(times > 0) || !std::isfinite(times))
        return;
    const QPointF way = point - m_held->point;
    show(m_held->view.zoomed(times, {m_held->point.x(), m_held->point.y()}).moved(way.x(), way.y()));
}

void MapPageModel::letGo() {
    m_held.reset();
    gather();
    tellView();
}

// In words ---------------------------------------------------------------------------------------------------------

QString MapPageModel::nameOf(const LatLon& at) const {
    const Site* nearest = nullptr;
    double least = 0;
    for (const Site& site : m_sites)
        if (const double metres = place::flightBetween(at, site.at).metres; nearest == nullptr || metres < least) {
            nearest = &site;
            least = metres;
        }
    if (nearest != nullptr && least <= std::max(1000.0, nearest->radiusMetres))
        return nearest->name;
    return names() != nullptr ? QString::fromStdString(place::localityOf(names()->locate(at, 0))) : QString();
}

QString MapPageModel::words() const {
    QStringList parts{tr("%1 across.", "a map").arg(lengthText(m_view.metresPerPixel() * m_view.width()))};
    std::vector<const Point*> seen;
    LatLon mean{};
    for (const Point& point : m_points) {
        const MapPoint p = m_view.pointOf(point.at);
        if (p.x < 0 || p.y < 0 || p.x > m_view.width() || p.y > m_view.height())
            continue;
        seen.push_back(&point);
        mean.lat += point.at.lat;
        mean.lon += std::remainder(point.at.lon - seen.front()->at.lon, 360.0);
    }
    if (!seen.empty()) {
        const auto n = static_cast<double>(seen.size());
        mean = {mean.lat / n, seen.front()->at.lon + mean.lon / n};
        double within = 0;
        for (const Point* point : seen)
            within = std::max(within, place::flightBetween(mean, point->at).metres + point->uncertaintyMetres);
        const QString name = nameOf(mean);
        const QString butterflies = tr("%n butterfl(ies)", "", static_cast<int>(seen.size()));
        parts << (name.isEmpty() ? tr("%1 within %2.", "butterflies, a length").arg(butterflies, lengthText(within))
                                 : tr("%1 within %2: %3.", "butterflies, a length, a place")
                                       .arg(butterflies, lengthText(within), name));
    } else {
        const QString name = nameOf(m_view.middle());
        if (!name.isEmpty())
            parts << tr("In the middle: %1.", "of a map").arg(name);
    }
    if (m_here)
        parts << tr("You are known within %1.").arg(lengthText(m_here->uncertaintyMetres));
    return parts.join(QLatin1Char(' '));
}

double MapPageModel::middleUncertainty() const {
    // Where a site or we are in sight she goes by them, elsewhere by lines and towns.
    const LatLon middle = m_view.middle();
    double off = place::kLineMetres;
    double least = std::hypot(m_view.width(), m_view.height()) / 2 * m_view.metresPerPixel();
    const auto goBy = [&](const LatLon& at, double uncertaintyMetres) {
        const double metres = place::flightBetween(middle, at).metres;
        if (metres < least) {
            least = metres;
            off = std::min(uncertaintyMetres, place::kLineMetres);
        }
    };
    for (const Site& site : m_sites)
        goBy(site.at, site.uncertaintyMetres);
    if (m_here)
        goBy(m_here->at, m_here->uncertaintyMetres);
    return place::pointedUncertaintyMetres(m_view.metresPerPixel() / kMillimetresPerDp, off);
}

QString MapPageModel::middleWords() const {
    return names() == nullptr ? QString()
                              : QString::fromStdString(place::localityOf(names()->locate(m_view.middle(), middleUncertainty())));
}

QString MapPageModel::middleTown() const { return middleWords().section(QLatin1Char(','), 0, 0); }

QString MapPageModel::middleWithin() const { return tr("within %1", "of a place").arg(lengthText(middleUncertainty())); }

QVariantList MapPageModel::middle() const {
    const LatLon at = m_view.middle();
    const auto mm = std::clamp<std::int64_t>(std::llround(std::ceil(middleUncertainty() * 1000)), 1, place::kWholeEarthMm);
    return {static_cast<int>(std::lround(at.lat * 1e7)), static_cast<int>(std::lround(at.lon * 1e7)), static_cast<qint64>(mm)};
}

} // namespace discal::viewmodels
