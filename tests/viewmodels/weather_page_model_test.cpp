#include "phone.h"
#include "viewmodels/weather_page_model.h"

#include "catch_compat.hpp"

#include <QLocale>

using namespace discal;
using namespace discal::tests;
using viewmodels::WeatherPageModel;

namespace {

/// The locale of somewhere, for as long as this lives.
class Somewhere {
public:
    explicit Somewhere(const char* name) { QLocale::setDefault(QLocale(QString::fromLatin1(name))); }
    ~Somewhere() { QLocale::setDefault(m_before); }

private:
    QLocale m_before;
};

} // namespace

TEST_CASE("Weather is typed in the units of the place, and kept in those of the journal", "[viewmodels][weather]") {
    TestPhone phone;
    WeatherPageModel weather(phone.phone());
    phone.hold("Porch");
    weather.begin();
    CHECK_FALSE(weather.canWrite());
    SECTION("Wisconsin") {
        const Somewhere here("en_US");
        CHECK(weather.airUnit() == "°F");
        CHECK(weather.windUnit() == "mph");
        weather.setProperty("air", "68"); // 20 degrees Celsius, and 10 mph are 4.4704 m/s (NIST SP 811, B.8)
        weather.setProperty("wind", "10");
        weather.setProperty("cloud", 1);
        weather.setProperty("rain", 1);
        REQUIRE(weather.write());
        CHECK(weather.readings().back() == "10:01  68 °F, wind 10 mph, cloud 25 %, no rain");
    }
    SECTION("Germany, with a comma") {
        const Somewhere here("de_DE");
        CHECK(weather.airUnit() == "°C");
        weather.setProperty("air", "20,0");
        weather.setProperty("wind", "4,47");
        weather.setProperty("cloud", 1);
        weather.setProperty("rain", 1);
        REQUIRE(weather.write());
        CHECK(weather.readings().back() == "10:01  20 °C, wind 4 m/s, cloud 25 %, no rain");
    }
    const auto reading = phone.phone().sessionRecord().value().members.at("weather").as_array().back().as_object();
    CHECK(journal::numberIn(reading, "air_millicelsius") == 20'000);
    CHECK(journal::numberIn(reading, "wind_mm_s").value() / 10 == 447);
    CHECK(journal::numberIn(reading, "cloud_percent") == 25);
    CHECK_FALSE(reading.at("rain").as_bool());
}

TEST_CASE("Weather that can't be is refused with what it may be, and only what was said is written",
          "[viewmodels][weather]") {
    TestPhone phone;
    WeatherPageModel weather(phone.phone());
    for (const auto& [field, odd] : {std::pair("air", "warm"), std::pair("air", "1000"), std::pair("wind", "-3")}) {
        INFO(odd);
        weather.begin();
        weather.setProperty(field, odd);
        CHECK_FALSE(weather.write());
        CHECK_FALSE(weather.failure()->sentence().isEmpty());
    }
    CHECK_FALSE(phone.phone().session.current().has_value());
    weather.begin();
    weather.setProperty("rain", 0);
    REQUIRE(weather.write());
    CHECK(phone.phone().session.current().has_value()); // a reading opens a session as a butterfly does
    CHECK(weather.readings().back().endsWith("rain"));
}
