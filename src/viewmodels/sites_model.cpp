#include "viewmodels/sites_model.h"

#include "core/place/averaging.h"
#include "core/place/typed_coordinates.h"
#include "core/place/geodesy.h"

#include <QLocale>
#include <algorithm>
#include <cmath>
#include <utility>

namespace discal::viewmodels {

namespace json = boost::json;
using journal::RecordType;

namespace {

/// A number with comma or point, whatever the locale.
std::optional<double> numberOf(const QString& typed) {
    bool isNumber = false;
    const double value = QString(typed).trimmed().replace(QLatin1Char(','), QLatin1Char('.')).toDouble(&isNumber);
    return isNumber && std::isfinite(value) ? std::optional(value) : std::nullopt;
}

/// Metres, as millimetres; at least one.
std::optional<std::int64_t> metresOf(const QString& typed) {
    const auto metres = numberOf(typed);
    if (!metres || *metres <= 0 || *metres * 1000 > static_cast<double>(place::kWholeEarthMm))
        return std::nullopt;
    return std::max<std::int64_t>(1, std::llround(*metres * 1000));
}

} // namespace

SitesModel::SitesModel(FieldPhone& phone, QObject* parent) : QAbstractListModel(parent), m_phone(phone) {
    connect(&m_phone, &FieldPhone::changed, this, &SitesModel::refresh);
    connect(this, &SitesModel::drafted, this, &SitesModel::understand);
    refresh();
    understand();
}

int SitesModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(m_rows.size());
}

QHash<int, QByteArray> SitesModel::roleNames() const {
    return {{IdRole, "site"}, {NameRole, "name"}, {HintRole, "about"}, {IsCurrentRole, "isCurrent"},
            {LeaveRole, "leaveSaid"}};
}

QVariant SitesModel::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid))
        return {};
    const Row& row = m_rows[static_cast<std::size_t>(index.row())];
    switch (role) {
    case IdRole:
        return QString::fromStdString(row.id);
    case NameRole:
        return row.name;
    case HintRole:
        return row.hint;
    case IsCurrentRole:
        return row.id == m_phone.session.persisting().site;
    case LeaveRole:
        return row.leave;
    default:
        return {};
    }
}

QString SitesModel::positionText(std::int64_t latE7, std::int64_t lonE7, std::int64_t uncertaintyMm) {
    const QLocale locale;
    const double metres = std::ceil(static_cast<double>(uncertaintyMm) / 1000);
    return tr("%1 %2, within %3 m", "latitude, longitude, uncertainty")
        .arg(locale.toString(static_cast<double>(latE7) / 1e7, 'f', 4),
             locale.toString(static_cast<double>(lonE7) / 1e7, 'f', 4), locale.toString(metres, 'f', 0));
}

void SitesModel::placeRow(Row& row, const json::object& position) {
    const auto latE7 = journal::numberIn(position, "lat_e7").value_or(0);
    const auto lonE7 = journal::numberIn(position, "lon_e7").value_or(0);
    row.hint = positionText(latE7, lonE7, journal::numberIn(position, "uncertainty_mm").value_or(0));
    row.at = {static_cast<double>(latE7) / 1e7, static_cast<double>(lonE7) / 1e7};
}

void SitesModel::refresh() {
    std::vector<Row> rows;
    if (const auto sites = m_phone.projections().records(RecordType::Site))
        for (const auto& site : *sites) {
            Row row;
            row.id = site.key;
            row.name = m_phone.siteName(site.key);
            if (row.name.isEmpty())
                continue;
            if (const auto* position = journal::objectIn(site.members, "position"))
                placeRow(row, *position);
            else
                row.hint = tr("by its name only");
            const auto leave = journal::claimIn(site.members, "leave");
            row.leave = !leave ? -1 : *leave ? 0 : 1;
            row.hint += QLatin1Char('\n') + (!leave    ? tr("landowner not asked")
                                            : *leave ? tr("landowner’s leave given")
                                                     : tr("no landowner’s leave"));
            rows.push_back(std::move(row));
        }
    std::sort(rows.begin(), rows.end(),
              [](const Row& a, const Row& b) { return QString::localeAwareCompare(a.name, b.name) < 0; });
    // The same sites: the page stays where it was scrolled to.
    const bool areSame = std::equal(rows.begin(), rows.end(), m_rows.begin(), m_rows.end(),
                                    [](const Row& a, const Row& b) { return a.id == b.id; });
    if (!areSame)
        beginResetModel();
    m_rows = std::move(rows);
    if (!areSame)
        endResetModel();
    else if (!m_rows.empty())
        emit dataChanged(index(0), index(static_cast<int>(m_rows.size()) - 1));
    m_currentName = m_phone.siteName(m_phone.session.persisting().site);
    emit refreshed();
}

void SitesModel::pick(const QString& site) {
    m_phone.carryOver([&](auto& persisting) { persisting.site = site.toStdString(); });
}

QString SitesModel::leaves() const {
    const auto given = std::count_if(m_rows.begin(), m_rows.end(), [](const Row& row) { return row.leave == 0; });
    return m_rows.empty() ? QString() : tr("given at %1 of %n site(s)", "", static_cast<int>(m_rows.size())).arg(given);
}

bool SitesModel::setLeave(const QString& site, int answer) {
    const auto id = journal::Uuid::parse(site.toStdString());
    if (!id)
        return false;
    const auto row = std::find_if(m_rows.begin(), m_rows.end(), [&](const Row& r) { return r.id == id->text(); });
    if (row != m_rows.end() && row->leave == answer)
        return true;
    if (const auto said = m_phone.done(m_phone.station.setLeave(*id, answer == 0)); !said) {
        m_failure.set(said.error());
        return false;
    }
    m_failure.dismiss();
    return true;
}

void SitesModel::begin() {
    m_failure.dismiss();
    if (std::exchange(m_isElsewhere, false))
        return;
    m_placed.clear();
    m_name.clear();
    m_way = -1;
    m_latitude.clear();
    m_longitude.clear();
    m_within.clear();
    m_radius.clear();
    m_leave = -1;
    emit drafted();
}

void SitesModel::lookAgain() { understand(); }

void SitesModel::understand() {
    m_position.reset();
    m_understood.clear();
    m_advice.clear();
    m_canAdd = false;
    m_canSwap = false;
    m_radiusMm = 0;
    if (m_way == Here) {
        const auto moment = m_phone.clock().now();
        const auto fixes = m_phone.positions().fixesUntil(moment.upMs);
        m_position = place::average(fixes, moment.upMs);
        if (!m_position)
            m_advice = tr("No position yet. Stand still under open sky, or type it.");
    } else if (m_way == Typed) {
        readTyped();
    } else if (m_way == OnMap || m_way == InTown) {
        m_position = placedPosition(m_placed);
    }
    if (m_position)
        m_understood = positionText(m_position->latE7, m_position->lonE7, m_position->uncertaintyMm);
    const bool isPlaced = m_position.has_value() || m_way == NameOnly;
    if (!m_radius.trimmed().isEmpty()) {
        const auto radius = metresOf(m_radius);
        if (!radius && m_advice.isEmpty())
            m_advice = tr("The site reaches so many metres from its middle, say 150.");
        m_radiusMm = radius.value_or(0);
        m_canAdd = radius.has_value();
    } else {
        m_canAdd = true;
    }
    m_canAdd = m_canAdd && isPlaced && !m_name.trimmed().isEmpty();
    emit judged();
}

void SitesModel::readTyped() {
    const std::string first = m_latitude.trimmed().toStdString();
    const std::string second = m_longitude.trimmed().toStdString();
    // Both may have been put into the first at once, as they were copied.
    const auto pair = second.empty() ? place::positionIn(first) : Result<place::TypedPosition>(fail(Code::BadInput));
    const auto latitude = pair ? pair->latitude : place::degreesIn(first, place::Axis::Latitude);
    const auto longitude = pair ? pair->longitude : place::degreesIn(second, place::Axis::Longitude);
    m_canSwap = !pair && (!latitude || !longitude) && place::degreesIn(second, place::Axis::Latitude) &&
                place::degreesIn(first, place::Axis::Longitude);
    if (first.empty() || (second.empty() && !pair))
        m_advice = tr("Degrees, or degrees and minutes, with comma or point. South and west are negative, or have S "
                      "or W.");
    else if (m_canSwap)
        m_advice = tr("Latitude and longitude are the other way round.");
    else if (!latitude)
        m_advice = latitude.error().code == Code::OutOfRange
                       ? tr("Latitude goes from -90 to 90 degrees.")
                       : tr("Latitude is written as 43.5571, -43.5571, 43° 33.426' N or 43 33 25.6 N.");
    else if (!longitude)
        m_advice = longitude.error().code == Code::OutOfRange
                       ? tr("Longitude goes from -180 to 180 degrees.")
                       : tr("Longitude is written as 90.8889, -90.8889, 90° 53.334' W or 90 53 20.0 W.");
    if (!latitude || !longitude)
        return;
    const auto within = metresOf(m_within);
    if (!within) {
        m_advice = tr("How many metres may it be off? As read from a map, say 50.");
        return;
    }
    place::Position position;
    position.latE7 = latitude->degreesE7;
    position.lonE7 = longitude->degreesE7;
    position.uncertaintyMm = *within;
    position.origin = place::Position::Origin::Typed;
    m_position = position;
    const auto workplace = workplaceNow();
    m_canSwap = !pair && workplace && place::looksSwapped(place::latLonOf(position), *workplace);
    if (m_canSwap)
        m_advice = tr("That is far away. The other way round it would be near: are latitude and longitude swapped?");
}

/// Where the receiver is, or else the first site that has a position.
std::optional<place::LatLon> SitesModel::workplaceNow() {
    if (const auto here = m_phone.session.positionNow(m_phone.clock().now()))
        return place::latLonOf(*here);
    const auto placed = std::find_if(m_rows.begin(), m_rows.end(), [](const Row& row) { return row.at.has_value(); });
    return placed != m_rows.end() ? placed->at : std::nullopt;
}

void SitesModel::swap() {
    if (!m_canSwap)
        return;
    std::swap(m_latitude, m_longitude);
    emit drafted();
}

bool SitesModel::add() {
    understand();
    if (!m_canAdd)
        return false;
    services::Station::NewSite site;
    site.name = m_name.trimmed().toStdString();
    site.position = m_position;
    site.radiusMm = m_radiusMm;
    if (m_leave >= 0)
        site.leave = m_leave == 0;
    const auto made = m_phone.done(m_phone.station.site(site));
    if (!made) {
        m_failure.set(made.error());
        return false;
    }
    m_failure.dismiss();
    begin();
    pick(QString::fromStdString(made->id.text()));
    return true;
}

std::optional<place::Position> SitesModel::placedPosition(const QVariantList& place) {
    if (place.size() != 3)
        return std::nullopt;
    place::Position position;
    position.latE7 = place[0].toInt();
    position.lonE7 = place[1].toInt();
    position.uncertaintyMm = place[2].toLongLong();
    position.origin = place::Position::Origin::Typed;
    return place::isLegal(position) ? std::optional(position) : std::nullopt;
}

void SitesModel::takePlace(const QVariantList& place, const QString& name, int way) {
    m_placed = place;
    m_way = way;
    if (m_name.trimmed().isEmpty())
        m_name = name;
    emit drafted();
}

bool SitesModel::addTown(const QVariantList& place, const QString& name) {
    const auto position = placedPosition(place);
    if (!position)
        return false;
    // A site of the name may lie elsewhere: there is more than one Springfield.
    const auto isThere = [&](const journal::Uuid& id) {
        const auto record = m_phone.projections().record(RecordType::Site, id.text());
        const auto* of = record && *record ? journal::objectIn((*record)->members, "position") : nullptr;
        if (of == nullptr)
            return false;
        const place::LatLon at{static_cast<double>(journal::numberIn(*of, "lat_e7").value_or(0)) / 1e7,
                               static_cast<double>(journal::numberIn(*of, "lon_e7").value_or(0)) / 1e7};
        const std::int64_t reachMm = position->uncertaintyMm + journal::numberIn(*of, "uncertainty_mm").value_or(0);
        return place::flightBetween(place::latLonOf(*position), at).metres * 1000 <= static_cast<double>(reachMm);
    };
    services::Station::NewSite site;
    site.name = name.trimmed().toStdString();
    site.position = position;
    auto known = m_phone.station.findSite(site.name);
    if (const auto* names = m_phone.session.placeWords().names(); names != nullptr && known && *known && !isThere(**known)) {
        site.name += ", " + names->locate(place::latLonOf(*position), 0).region.name;
        known = m_phone.station.findSite(site.name);
    }
    if (known && *known && isThere(**known)) {
        pick(QString::fromStdString((*known)->text()));
        return true;
    }
    const auto made = known ? m_phone.done(m_phone.station.site(site)) : fail(known.error());
    if (!made) {
        m_failure.set(made.error());
        return false;
    }
    m_failure.dismiss();
    pick(QString::fromStdString(made->id.text()));
    return true;
}

} // namespace discal::viewmodels
