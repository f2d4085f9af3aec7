#include "viewmodels/session_page_model.h"

#include "services/weather.h"

#include <QLocale>
#include <cmath>

namespace discal::viewmodels {

namespace json = boost::json;
using journal::numberIn;
using journal::textIn;

namespace {

// Exact by definition (NIST Special Publication 811, appendix B.8 and B.9).
constexpr double kMmPerSecondInAMile = 447.04; // 1 mph
constexpr double kFahrenheitAtFreezing = 32;
constexpr double kFahrenheitInACelsius = 1.8;

bool isFahrenheit() { return QLocale().measurementSystem() == QLocale::ImperialUSSystem; }
bool isMiles() { return QLocale().measurementSystem() != QLocale::MetricSystem; }

/// Comma and point alike, whatever the locale; nothing where nothing is typed.
struct Typed {
    bool isSaid{false};
    bool isNumber{true};
    double value{0};
};
Typed numberTyped(QString text) {
    text = text.trimmed().replace(QLatin1Char(','), QLatin1Char('.')).replace(QChar(0x2212), QLatin1Char('-'));
    Typed typed;
    typed.isSaid = !text.isEmpty();
    if (typed.isSaid)
        typed.value = text.toDouble(&typed.isNumber);
    return typed;
}

std::int64_t minutesBetween(const std::string& from, time::Instant until) {
    const auto begun = time::parseUtc(from);
    return begun ? std::chrono::floor<std::chrono::minutes>(until - *begun).count() : 0;
}

} // namespace

SessionPageModel::SessionPageModel(FieldPhone& phone, QObject* parent) : QObject(parent), m_phone(phone) {
    connect(&m_phone, &FieldPhone::changed, this, &SessionPageModel::refresh);
    refresh();
}

QString SessionPageModel::airUnit() const { return isFahrenheit() ? tr("°F") : tr("°C"); }
QString SessionPageModel::windUnit() const { return isMiles() ? tr("mph") : tr("m/s"); }

QString SessionPageModel::weatherText(const json::object& reading) const {
    QStringList parts;
    const auto round = [](double value) { return QLocale().toString(std::round(value), 'f', 0); };
    if (const auto milli = numberIn(reading, "air_millicelsius")) {
        const double celsius = static_cast<double>(*milli) / 1000;
        parts << tr("%1 %2", "a temperature, its unit")
                     .arg(round(isFahrenheit() ? celsius * kFahrenheitInACelsius + kFahrenheitAtFreezing : celsius),
                          airUnit());
    }
    if (const auto mm = numberIn(reading, "wind_mm_s")) {
        const double speed = static_cast<double>(*mm) / (isMiles() ? kMmPerSecondInAMile : 1000);
        parts << tr("wind %1 %2", "a speed, its unit").arg(round(speed), windUnit());
    }
    if (const auto percent = numberIn(reading, "cloud_percent"))
        parts << tr("cloud %1 %").arg(QLocale().toString(*percent));
    if (const auto rain = journal::claimIn(reading, "rain"))
        parts << (*rain ? tr("rain") : tr("no rain"));
    return parts.join(tr(", "));
}

void SessionPageModel::refresh() {
    m_isOpen = m_phone.session.current().has_value();
    m_openedAt.clear();
    m_when.clear();
    m_inHand.clear();
    m_weather.clear();
    m_effort.clear();
    const std::string id = m_phone.sessionShown();
    const auto record = id.empty() ? Result<std::optional<journal::Record>>(std::nullopt)
                                   : m_phone.projections().record(journal::RecordType::Session, id);
    if (record && *record) {
        const json::object& members = (*record)->members;
        const std::int64_t offset = numberIn(members, "offset_min").value_or(0);
        m_openedAt = textIn(members, "opened_at").value_or("");
        const QString opened = FieldPhone::clockText(m_openedAt, offset);
        const int count = static_cast<int>(m_phone.projections().countOfSession(id).value_or(0));
        if (const auto closed = textIn(members, "closed_at"))
            m_when = tr("%1, %2 to %3", "a day, two times")
                         .arg(FieldPhone::dayText(m_openedAt, offset), opened,
                              FieldPhone::clockText(std::string(*closed), offset));
        else
            m_when = tr("since %1").arg(opened);
        m_when += tr(", ") + tr("%n butterfly(ies)", "", count);
        if (const auto* readings = members.if_contains("weather"); readings != nullptr && readings->is_array())
            for (const auto& reading : readings->as_array())
                if (reading.is_object())
                    m_weather << tr("%1  %2", "a time, the weather")
                                     .arg(FieldPhone::clockText(
                                              std::string(textIn(reading.as_object(), "at").value_or("")), offset),
                                          weatherText(reading.as_object()));
        QStringList effort;
        if (const auto minutes = numberIn(members, "effort_min"))
            effort << tr("%n minute(s)", "", static_cast<int>(*minutes));
        if (const auto people = numberIn(members, "people"))
            effort << tr("%n person(s)", "", static_cast<int>(*people));
        const QString note = m_phone.keptText(members, "note");
        if (!note.isEmpty())
            effort << tr("“%1”", "a note").arg(note);
        m_effort = effort.join(tr(", "));
    }
    if (const auto open = m_phone.tagging.find(std::nullopt))
        m_inHand = QString::fromStdString(open->currentCode().value_or("")).replace(QLatin1Char(' '), QChar::Nbsp);
    emit refreshed();
}

void SessionPageModel::begin() {
    m_failure.dismiss();
    refresh();
    const std::int64_t spent = m_isOpen ? minutesBetween(m_openedAt, m_phone.clock().now().wall) : 0;
    m_minutes = spent > 0 ? QString::number(spent) : QString();
    m_people.clear();
    m_note.clear();
    emit drafted();
}

void SessionPageModel::letGo() {
    if (auto saved = m_phone.done(m_phone.tagging.release(std::nullopt)); !saved)
        return m_failure.set(saved.error(), [this] { letGo(); });
    m_failure.dismiss();
}

void SessionPageModel::intoCage() {
    if (auto saved = m_phone.done(m_phone.tagging.hold(std::nullopt, {})); !saved)
        return m_failure.set(saved.error(), [this] { intoCage(); });
    m_failure.dismiss();
}

bool SessionPageModel::end() {
    if (!m_inHand.isEmpty()) {
        m_failure.set(tr("What became of %1? Say that first.").arg(m_inHand));
        return false;
    }
    services::FieldSession::Effort effort;
    effort.note = m_note.trimmed().toStdString();
    const auto take = [&](const QString& text, std::optional<std::int64_t>& to) {
        if (text.trimmed().isEmpty())
            return true;
        bool isNumber = false;
        const qlonglong number = text.trimmed().toLongLong(&isNumber);
        to = number;
        return isNumber && number >= 0 && number <= 100'000;
    };
    if (!take(m_minutes, effort.minutes) || !take(m_people, effort.people)) {
        m_failure.set(tr("Minutes and people are whole numbers, such as 90 and 2. Leave open what you don’t know."));
        return false;
    }
    if (auto saved = m_phone.done(m_phone.session.close(effort)); !saved) {
        m_failure.set(saved.error(), [this] { end(); });
        return false;
    }
    m_minutes.clear();
    m_people.clear();
    m_note.clear();
    emit drafted();
    m_failure.dismiss();
    return true;
}

void SessionPageModel::beginWeather() {
    m_failure.dismiss();
    m_air.clear();
    m_wind.clear();
    m_cloud = -1;
    m_rain = -1;
    emit drafted();
}

bool SessionPageModel::canWriteWeather() const {
    return !m_air.trimmed().isEmpty() || !m_wind.trimmed().isEmpty() || m_cloud >= 0 || m_rain >= 0;
}

bool SessionPageModel::writeWeather() {
    const Typed air = numberTyped(m_air);
    const Typed wind = numberTyped(m_wind);
    services::Weather weather;
    if (!air.isNumber || !wind.isNumber || wind.value < 0) {
        m_failure.set(tr("A number in %1 and one in %2, such as 18.5. Leave open what you don’t know.")
                          .arg(airUnit(), windUnit()));
        return false;
    }
    if (air.isSaid) {
        const double celsius = isFahrenheit() ? (air.value - kFahrenheitAtFreezing) / kFahrenheitInACelsius : air.value;
        weather.airMillicelsius = std::llround(celsius * 1000);
    }
    if (wind.isSaid)
        weather.windMmPerS = std::llround(wind.value * (isMiles() ? kMmPerSecondInAMile : 1000));
    if (m_cloud >= 0)
        weather.cloudPercent = m_cloud * 25;
    if (m_rain >= 0)
        weather.isRaining = m_rain == 0;
    if (auto saved = m_phone.done(services::readWeather(m_phone.writer, m_phone.session, weather)); !saved) {
        m_failure.set(saved.error(), [this] { writeWeather(); });
        return false;
    }
    beginWeather();
    return true;
}

} // namespace discal::viewmodels
