#include "viewmodels/towns_model.h"

#include "core/place/gazetteer/file.h"
#include "core/place/uncertainty.h"
#include "core/place/words.h"

#include <cmath>

namespace discal::viewmodels {

using journal::RecordType;

TownsModel::TownsModel(FieldPhone& phone, QObject* parent) : QAbstractListModel(parent), m_phone(phone) {
    connect(this, &TownsModel::drafted, this, &TownsModel::search);
}

int TownsModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(m_rows.size());
}

QHash<int, QByteArray> TownsModel::roleNames() const {
    return {{NameRole, "name"}, {WhereRole, "where"}, {AwayRole, "away"}};
}

QVariant TownsModel::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid))
        return {};
    const place::FoundTown& town = m_rows[static_cast<std::size_t>(index.row())];
    QStringList areas;
    switch (role) {
    case NameRole:
        return QString::fromStdString(town.name);
    case WhereRole:
        for (const place::AreaName* area : {&town.county, &town.region})
            if (!area->name.empty())
                areas << QString::fromStdString(area->name);
        if (town.country.code != "US" && !town.country.name.empty())
            areas << QString::fromStdString(town.country.name);
        return areas.join(QStringLiteral(", "));
    case AwayRole:
        return town.metres ? QString::fromStdString(place::distanceWords(*town.metres)) : QString();
    default:
        return {};
    }
}

QString TownsModel::advice() const {
    if (m_phone.session.placeWords().names() == nullptr)
        return tr("The file of place names is missing.");
    return m_typed.trimmed().isEmpty() || !m_rows.empty() ? QString() : tr("No town begins so.");
}

void TownsModel::begin() {
    m_typed.clear();
    emit drafted();
}

std::optional<place::LatLon> TownsModel::from() const {
    if (const auto here = m_phone.session.positionNow(m_phone.clock().now()))
        return place::latLonOf(*here);
    const auto sites = m_phone.projections().records(RecordType::Site);
    std::optional<place::LatLon> last;
    if (sites)
        for (const auto& site : *sites) {
            const auto* position = journal::objectIn(site.members, "position");
            const auto lat = position != nullptr ? journal::numberIn(*position, "lat_e7") : std::nullopt;
            const auto lon = position != nullptr ? journal::numberIn(*position, "lon_e7") : std::nullopt;
            if (!lat || !lon)
                continue;
            last = place::LatLon{static_cast<double>(*lat) / 1e7, static_cast<double>(*lon) / 1e7};
            if (site.key == m_phone.session.persisting().site)
                break;
        }
    return last;
}

void TownsModel::search() {
    beginResetModel();
    m_rows.clear();
    if (const auto* names = m_phone.session.placeWords().names())
        m_rows = names->find(m_typed.trimmed().toStdString(), from(), kMost);
    endResetModel();
    emit found();
}

QString TownsModel::nameOf(int row) const {
    return row >= 0 && row < rowCount() ? QString::fromStdString(m_rows[static_cast<std::size_t>(row)].name) : QString();
}

QVariantList TownsModel::placeOf(int row) const {
    if (row < 0 || row >= rowCount())
        return {};
    const place::FoundTown& town = m_rows[static_cast<std::size_t>(row)];
    place::PointRadius sources;
    sources.extent = town.extentMetres;
    sources.coordinatePrecision = place::coordinatePrecisionMetres(town.position.lat, 1.0 / place::kUnitsPerDegree);
    const double mm = std::ceil(place::pointRadiusMetres(sources) * 1000);
    return {static_cast<int>(std::lround(town.position.lat * 1e7)), static_cast<int>(std::lround(town.position.lon * 1e7)),
            static_cast<qint64>(mm)};
}

} // namespace discal::viewmodels
