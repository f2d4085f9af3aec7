#include "viewmodels/share_page_model.h"

#include "core/exchange/day_table.h"

#include <QDir>
#include <QFileInfo>
#include <QSaveFile>
#include <QStandardPaths>
#include <algorithm>

namespace discal::viewmodels {

using butterfly::Butterfly;

namespace {

void addPosition(exchange::DayRow& row, const boost::json::object& position, std::int64_t leastMm) {
    const auto lat = journal::numberIn(position, "lat_e7");
    const auto lon = journal::numberIn(position, "lon_e7");
    if (!lat || !lon)
        return;
    row.lat = exchange::decimalText(*lat, 7);
    row.lon = exchange::decimalText(*lon, 7);
    if (const auto mm = std::max(journal::numberIn(position, "uncertainty_mm").value_or(0), leastMm); mm > 0)
        row.uncertainty = exchange::decimalText((mm + 999) / 1000, 0);
}

} // namespace

SharePageModel::SharePageModel(FieldPhone& phone, QString folder, QObject* parent)
    : QObject(parent), m_phone(phone), m_folder(std::move(folder)) {
    connect(&m_phone, &FieldPhone::changed, this, &SharePageModel::changed);
}

QString SharePageModel::documentsFolder() {
    return QDir(QStandardPaths::writableLocation(QStandardPaths::DocumentsLocation)).filePath(QStringLiteral("Discal"));
}

QString SharePageModel::folderName() const {
    const QFileInfo info(m_folder);
    return info.dir().dirName() + QStringLiteral(" / ") + info.fileName();
}

int SharePageModel::butterflies() const {
    const std::string session = m_phone.sessionShown();
    const auto count = session.empty() ? Result<std::int64_t>(0) : m_phone.projections().countOfSession(session);
    return count ? static_cast<int>(*count) : 0;
}

void SharePageModel::begin() {
    m_done.clear();
    m_failure.dismiss();
    emit changed();
}

Result<QString> SharePageModel::freshPath(const QString& ending) {
    if (!QDir().mkpath(m_folder))
        return fail(Code::ReadOnly, m_folder.toStdString());
    const auto now = m_phone.clock().now();
    const QString date = QString::fromStdString(time::localDate(now.wall, now.offset));
    const QDir folder(m_folder);
    QString name = QStringLiteral("discal-%1%2").arg(date, ending);
    for (int i = 2; folder.exists(name); ++i)
        name = QStringLiteral("discal-%1-%2%3").arg(date).arg(i).arg(ending);
    return folder.filePath(name);
}

void SharePageModel::keepCopy() {
    m_done.clear();
    const auto path = freshPath(QStringLiteral(".discal"));
    const auto kept = path ? m_phone.journal().backup(path->toStdString()) : Result<void>(fail(path.error()));
    const auto beside = kept ? keepUnsaved() : Result<QString>(fail(kept.error()));
    if (kept)
        m_done = tr("A safe copy is in %1: %2. It was checked line by line.", "folder, file")
                     .arg(folderName(), QFileInfo(*path).fileName());
    if (!beside)
        m_failure.set(beside.error(), [this] { keepCopy(); });
    else
        m_failure.dismiss();
    if (beside && !beside->isEmpty())
        m_done += QLatin1Char(' ') + tr("What is not saved is beside it in words: %1.", "file").arg(*beside);
    emit changed();
}

void SharePageModel::setUnsaved(QStringList words) {
    words.removeAll(QString());
    if (words == m_unsavedWords)
        return;
    m_unsavedWords = words;
    m_unsaved.clear();
    if (!words.isEmpty()) {
        const auto now = m_phone.clock().now();
        const std::string utc = time::formatUtc(now.wall);
        m_unsaved = tr("%1, %2, %3: %4", "date, time, place, what is not saved")
                        .arg(FieldPhone::dateText(utc, now.offset.count()),
                             FieldPhone::clockText(utc, now.offset.count()), m_phone.hereText(),
                             words.join(QLatin1Char(' ')));
    }
    emit changed();
}

bool SharePageModel::write(const QString& path, const QByteArray& text) {
    QSaveFile file(path);
    return file.open(QIODevice::WriteOnly) && file.write(text) == text.size() && file.commit();
}

Result<QString> SharePageModel::keepUnsaved() {
    if (m_unsaved.isEmpty())
        return QString();
    const auto path = freshPath(QStringLiteral("-not-saved.txt"));
    if (!path)
        return fail(path.error());
    if (!write(*path, (m_unsaved + QLatin1Char('\n')).toUtf8()))
        return fail(Code::Io, path->toStdString());
    return QFileInfo(*path).fileName();
}

void SharePageModel::keepTable() {
    m_done.clear();
    const auto path = freshPath(QStringLiteral(".csv"));
    const auto text = path ? table() : Result<std::string>(fail(path.error()));
    if (!text) {
        m_failure.set(text.error(), [this] { keepTable(); });
        emit changed();
        return;
    }
    if (!write(*path, QByteArray::fromStdString(*text))) {
        m_failure.set({Code::Io, path->toStdString()}, [this] { keepTable(); });
    } else {
        m_failure.dismiss();
        m_done = tr("The table is in %1: %2.", "folder, file").arg(folderName(), QFileInfo(*path).fileName());
    }
    emit changed();
}

Result<std::string> SharePageModel::table() {
    const auto all = m_phone.projections().butterfliesOfSession(m_phone.sessionShown());
    if (!all)
        return fail(all.error());
    std::vector<exchange::DayRow> rows;
    for (const Butterfly& b : *all) {
        exchange::DayRow row;
        row.code = b.currentCode().value_or("");
        row.sex = b.sex;
        row.origin = b.origin;
        row.fate = std::string(butterfly::textOf(b.fate));
        if (const auto at = time::parseUtc(b.notedAt)) {
            const std::chrono::minutes offset(b.offsetMin);
            row.date = time::localDate(*at, offset);
            row.time = time::localTime(*at, offset);
            row.offset = exchange::offsetText(static_cast<int>(b.offsetMin));
        }
        // Where it was let go; where it was taken as long as it was not.
        const auto& place = b.released.empty() ? b.taken : b.released;
        const auto site = journal::textIn(place, "site");
        if (site)
            row.site = m_phone.siteName(std::string(*site)).toStdString();
        if (const auto* position = journal::objectIn(place, "position"))
            addPosition(row, *position, 0);
        else if (site)
            // Known by the site alone: anywhere in its circle.
            if (const auto record = m_phone.projections().record(journal::RecordType::Site, std::string(*site));
                record && *record)
                if (const auto* centre = journal::objectIn((*record)->members, "position"))
                    addPosition(row, *centre, journal::numberIn((*record)->members, "radius_mm").value_or(0));
        row.tagger = m_phone.personName(b.tagger.empty() ? b.recorder : b.tagger).toStdString();
        row.recorder = m_phone.personName(b.recorder).toStdString();
        row.note = m_phone.keptText(b.measures, "note").toStdString();
        rows.push_back(std::move(row));
    }
    return exchange::dayTable(rows);
}

} // namespace discal::viewmodels
