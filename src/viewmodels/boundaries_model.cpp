#include "viewmodels/boundaries_model.h"

#include <QDir>
#include <QFileInfo>
#include <QUrl>

namespace discal::viewmodels {

BoundariesModel::BoundariesModel(FieldPhone& phone, QString folder, QObject* parent)
    : QAbstractListModel(parent), m_phone(phone), m_kept(phone.journal().file().place().boundaries()),
      m_folder(std::move(folder)) {}

BoundariesModel::~BoundariesModel() { m_phone.session.placeWords().setPacks(nullptr); }

int BoundariesModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(m_kept.all().size());
}

QHash<int, QByteArray> BoundariesModel::roleNames() const { return {{NameRole, "name"}, {AboutRole, "about"}}; }

QVariant BoundariesModel::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid))
        return {};
    const services::NamedPack& pack = m_kept.all()[static_cast<std::size_t>(index.row())];
    switch (role) {
    case NameRole:
        return QString::fromStdString(pack.name);
    case AboutRole:
        return tr("%n area(s)", "boundaries in a file", static_cast<int>(pack.pack.size()));
    default:
        return {};
    }
}

QString BoundariesModel::folderName() const {
    const QFileInfo info(m_folder);
    return info.dir().dirName() + QStringLiteral(" / ") + info.fileName();
}

QString BoundariesModel::summary() const {
    return m_kept.all().empty() ? tr("none", "boundaries")
                                : tr("%n file(s)", "boundaries", static_cast<int>(m_kept.all().size()));
}

void BoundariesModel::setFolder(const QString& folder) {
    m_folder = folder;
    begin();
}

void BoundariesModel::tell() {
    m_phone.session.placeWords().setPacks(&m_kept.all());
    emit changed();
}

void BoundariesModel::load() {
    beginResetModel();
    const auto loaded = m_kept.load();
    endResetModel();
    if (!loaded)
        m_failure.set(tr("Boundaries that were taken in before can’t be read now. Take their file in once more."));
    tell();
}

void BoundariesModel::begin() {
    m_done.clear();
    m_file.clear();
    const QStringList endings{QStringLiteral("*.geojson"), QStringLiteral("*.json")};
    m_found = QDir(m_folder).entryList(endings, QDir::Files, QDir::Name);
    emit drafted();
    emit changed();
}

void BoundariesModel::take() {
    const QString typed = m_file.trimmed();
    if (typed.isEmpty())
        return;
    const QUrl url(typed);
    takeFrom(url.isLocalFile()                     ? url.toLocalFile()
             : typed.startsWith(QLatin1String("~/")) ? QDir::homePath() + typed.mid(1)
                                                   : typed);
}

void BoundariesModel::takeFound(const QString& name) { takeFrom(QDir(m_folder).filePath(name)); }

void BoundariesModel::takeFrom(const QString& path) {
    m_done.clear();
    const QString name = QFileInfo(path).fileName();
    beginResetModel();
    const auto taken = m_kept.take(path.toStdString());
    endResetModel();
    if (!taken) {
        m_failure.set(sentenceFor(taken.error(), name));
    } else {
        m_failure.dismiss();
        m_file.clear();
        for (const services::NamedPack& pack : m_kept.all())
            if (pack.name == name.toStdString())
                m_done = tr("%n area(s) taken in.", "boundaries", static_cast<int>(pack.pack.size()));
        emit drafted();
    }
    tell();
}

void BoundariesModel::remove(const QString& name) {
    m_done.clear();
    beginResetModel();
    const auto removed = m_kept.remove(name.toStdString());
    endResetModel();
    if (!removed) {
        m_failure.set(removed.error(), [this, name] { remove(name); });
    } else {
        m_failure.dismiss();
        m_done = tr("Removed. What was written by it stays.", "a file of boundaries");
    }
    tell();
}

QString BoundariesModel::sentenceFor(const Error& error, const QString& name) {
    switch (error.code) {
    case Code::NotFound:
        return tr("There is no file %1 there. Nothing has changed.").arg(name);
    case Code::NotJson:
        return tr("%1 is not GeoJSON. Nothing has changed.").arg(name);
    case Code::OutOfRange:
        return tr("%1 has more than 100 MB. Nothing has changed.").arg(name);
    case Code::BadInput:
        return error.number > 0 ? tr("Area number %1 of %2 can’t be used: each needs a name, and corners in degrees of "
                                     "longitude and latitude. Nothing has changed.")
                                      .arg(error.number)
                                      .arg(name)
                                : tr("There are no areas in %1. Nothing has changed.").arg(name);
    default:
        return FieldPhone::sentenceFor(error);
    }
}

} // namespace discal::viewmodels
