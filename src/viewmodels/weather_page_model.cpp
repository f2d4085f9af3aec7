#include "viewmodels/weather_page_model.h"

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

} // namespace

WeatherPageModel::WeatherPageModel(FieldPhone& phone, QObject* parent) : QObject(parent), m_phone(phone) {
    connect(&m_phone, &FieldPhone::changed, this, &WeatherPageModel::refresh);
    refresh();
}

QString WeatherPageModel::airUnit() const { return isFahrenheit() ? tr("°F") : tr("°C"); }
QString WeatherPageModel::windUnit() const { return isMiles() ? tr("mph") : tr("m/s"); }

QString WeatherPageModel::textOf(const json::object& reading) const {
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

void WeatherPageModel::refresh() {
    m_readings.clear();
    if (const auto record = m_phone.sessionRecord()) {
        const std::int64_t offset = numberIn(record->members, "offset_min").value_or(0);
        if (const auto* readings = record->members.if_contains("weather"); readings != nullptr && readings->is_array())
            for (const auto& reading : readings->as_array())
                if (reading.is_object()) {
                    const json::object& read = reading.as_object();
                    const std::string at(textIn(read, "at").value_or(""));
                    m_readings << tr("%1  %2", "a time, the weather")
                                      .arg(FieldPhone::clockText(at, offset), textOf(read));
                }
    }
    emit refreshed();
}

void WeatherPageModel::begin() {
    m_failure.dismiss();
    m_air.clear();
    m_wind.clear();
    m_cloud = -1;
    m_rain = -1;
    emit drafted();
}

bool WeatherPageModel::canWrite() const {
    return !m_air.trimmed().isEmpty() || !m_wind.trimmed().isEmpty() || m_cloud >= 0 || m_rain >= 0;
}

bool WeatherPageModel::write() {
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
        m_failure.set(saved.error(), [this] { write(); });
        return false;
    }
    begin();
    return true;
}

} // namespace discal::viewmodels
