#include "viewmodels/setup_page_model.h"

#include "core/journal/subjects.h"
#include "core/time/instant.h"

#include <QDate>
#include <QLocale>

namespace discal::viewmodels {

namespace json = boost::json;
using journal::RecordType;

namespace {

QString qstring(std::string_view text) { return QString::fromUtf8(text.data(), static_cast<qsizetype>(text.size())); }

/// ISO 8601, the locale's own ways, or day and month by name. Nothing that leaves day and month in doubt: where the
/// locale writes them short, that order counts, and the day is shown with its month by name.
QDate dateOf(const QString& typed) {
    const QString text = typed.simplified();
    const QLocale locale;
    for (const QString& form : {QStringLiteral("yyyy-MM-dd"), QStringLiteral("yyyy-M-d"), QStringLiteral("d.M.yyyy"),
                                QStringLiteral("d. M. yyyy")})
        if (const QDate date = QDate::fromString(text, form); date.isValid())
            return date;
    for (const QString& form : {QStringLiteral("d MMMM yyyy"), QStringLiteral("d MMM yyyy"), QStringLiteral("MMMM d, yyyy"),
                                QStringLiteral("MMMM d yyyy"), QStringLiteral("MMM d yyyy")})
        if (const QDate date = locale.toDate(text, form); date.isValid())
            return date;
    QString shortForm = locale.dateFormat(QLocale::ShortFormat);
    if (!shortForm.contains(QLatin1String("yyyy")))
        shortForm.replace(QLatin1String("yy"), QLatin1String("yyyy"));
    return locale.toDate(text, shortForm);
}

QString dayText(const QDate& date) { return QLocale().toString(date, QStringLiteral("d MMMM yyyy")); }

/// The same, kept on one line where it stands in a sentence.
QString dayInText(const QDate& date) { return dayText(date).replace(QLatin1Char(' '), QChar::Nbsp); }

} // namespace

SetupPageModel::SetupPageModel(FieldPhone& phone, QObject* parent) : QObject(parent), m_phone(phone) {
    connect(&m_phone, &FieldPhone::changed, this, &SetupPageModel::refresh);
    refresh();
}

QString SetupPageModel::deviceCode() const {
    const QString id = QString::fromStdString(m_phone.journal().device().text());
    QStringList groups;
    for (qsizetype i = 0; i < id.size(); i += 4)
        groups << id.mid(i, 4);
    return groups.join(QLatin1Char(' '));
}

bool SetupPageModel::isOffice() const {
    const auto& roles = m_phone.projections().roles();
    return roles.station().empty() || roles.now(m_phone.journal().device()) == station::Role::Office;
}

void SetupPageModel::refresh() {
    m_station.clear();
    m_keptNumber.clear();
    m_keptDay.clear();
    m_permit.clear();
    m_permitPast.clear();
    m_deviceName.clear();
    if (const auto device = m_phone.projections().record(RecordType::Device,
                                                         journal::deviceSubject(m_phone.journal().device()));
        device && *device)
        m_deviceName = qstring(journal::textIn((*device)->members, "name").value_or(""));
    const auto record = m_phone.projections().record(RecordType::Station, std::string(journal::kStationSubject));
    if (record && *record) {
        const auto& members = (*record)->members;
        m_station = qstring(journal::textIn(members, "name").value_or(""));
        m_keptNumber = qstring(journal::textIn(members, "permit").value_or(""));
        m_keptDay = qstring(journal::textIn(members, "permit_until").value_or(""));
    }
    const QDate last = QDate::fromString(m_keptDay, Qt::ISODate);
    if (last.isValid()) {
        const auto now = m_phone.clock().now();
        const QDate today =
            QDate::fromString(QString::fromStdString(time::localDate(now.wall, now.offset)), Qt::ISODate);
        m_permit = m_keptNumber.isEmpty() ? tr("to %1").arg(dayInText(last))
                                          : tr("%1, to %2", "permit number, its last day").arg(m_keptNumber, dayInText(last));
        if (today > last)
            m_permitPast = tr("The permit ended on %1.").arg(dayInText(last));
    } else {
        m_permit = m_keptNumber;
    }
    emit refreshed();
}

void SetupPageModel::begin() {
    m_failure.dismiss();
    m_name = m_station;
    m_permitNumber = m_keptNumber;
    const QDate last = QDate::fromString(m_keptDay, Qt::ISODate);
    m_lastDay = last.isValid() ? dayText(last) : QString();
    emit drafted();
}

QString SetupPageModel::understoodDay() const {
    if (m_lastDay.trimmed().isEmpty())
        return {};
    const QDate date = dateOf(m_lastDay);
    return date.isValid() ? dayText(date) : tr("Write it as 2026-12-31 or 31 December 2026.");
}

bool SetupPageModel::canSave() const {
    return !m_name.trimmed().isEmpty() && (m_lastDay.trimmed().isEmpty() || dateOf(m_lastDay).isValid());
}

bool SetupPageModel::save() {
    if (!canSave())
        return false;
    const auto failed = [this](const Error& error) {
        m_failure.set(error);
        return false;
    };
    const QString name = m_name.trimmed();
    const QString number = m_permitNumber.trimmed();
    const QDate date = m_lastDay.trimmed().isEmpty() ? QDate() : dateOf(m_lastDay);
    const QString day = date.isValid() ? date.toString(Qt::ISODate) : QString();
    const QString station = m_station;
    const QString keptNumber = m_keptNumber;
    const QString keptDay = m_keptDay;
    if (m_phone.projections().roles().station().empty()) {
        if (const auto founded = m_phone.station.found(name.toStdString()); !founded)
            return failed(founded.error());
    }
    json::object members;
    if (!station.isEmpty() && name != station)
        members["name"] = name.toStdString();
    if (number != keptNumber)
        members["permit"] = number.toStdString();
    if (day != keptDay)
        members["permit_until"] = day.toStdString();
    if (!members.empty())
        if (const auto said = m_phone.station.set(members); !said)
            return failed(said.error());
    m_failure.dismiss();
    m_phone.done(Result<void>());
    return true;
}

void SetupPageModel::beginPhone() {
    m_failure.dismiss();
    m_newDeviceName = m_deviceName;
    emit drafted();
}

bool SetupPageModel::savePhone() {
    const QString name = m_newDeviceName.trimmed();
    if (name.isEmpty())
        return false;
    if (name != m_deviceName) {
        // The first line of our chain says what the device is called.
        const auto first = m_phone.journal().file().line(m_phone.journal().device(), 1);
        const auto line = first && *first ? journal::parseLine(**first) : fail(Code::NotFound);
        auto said = line ? m_phone.amending.correct(line->id, "name", name.toStdString(), "said anew")
                         : Result<services::Saved>(fail(line.error()));
        if (said = m_phone.done(std::move(said)); !said) {
            m_failure.set(said.error(), [this] { savePhone(); });
            return false;
        }
    }
    m_failure.dismiss();
    return true;
}

} // namespace discal::viewmodels
