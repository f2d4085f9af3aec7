#include "phone.h"
#include "viewmodels/session_page_model.h"
#include "viewmodels/tag_page_model.h"

#include "catch_compat.hpp"

#include <QLocale>

using namespace discal;
using namespace discal::tests;
using namespace std::chrono_literals;
using viewmodels::SessionPageModel;

namespace {

/// The locale of somewhere, for as long as this lives.
class Somewhere {
public:
    explicit Somewhere(const char* name) { QLocale::setDefault(QLocale(QString::fromLatin1(name))); }
    ~Somewhere() { QLocale::setDefault(m_before); }

private:
    QLocale m_before;
};

boost::json::object sessionOf(TestPhone& phone) {
    const auto id = phone.phone().sessionShown();
    return need(phone.phone().projections().record(journal::RecordType::Session, id)).value().members;
}

} // namespace

TEST_CASE("A session ends with its effort, and goes on when the end is taken back", "[viewmodels][session]") {
    TestPhone phone;
    SessionPageModel session(phone.phone());
    viewmodels::TagPageModel tag(phone.phone());
    CHECK_FALSE(session.isOpen());
    CHECK_FALSE(session.end());
    phone.hold("Porch");
    phone.wait(127min);
    session.begin();
    CHECK(session.isOpen());
    CHECK(session.when() == "since 10:00, 1 butterfly(ies)");
    CHECK(session.property("minutes") == "128");
    session.setProperty("people", "two");
    CHECK_FALSE(session.end());
    CHECK_FALSE(session.failure()->sentence().isEmpty());
    session.setProperty("people", "2");
    session.setProperty("note", " by the fence ");
    REQUIRE(session.end());
    CHECK_FALSE(session.isOpen());
    CHECK(session.effort() == "128 minute(s), 2 person(s), “by the fence”");
    CHECK(session.when() == "5 Sep, 10:00 to 12:08, 1 butterfly(ies)");
    const auto members = sessionOf(phone);
    CHECK(journal::numberIn(members, "effort_min") == 128);
    CHECK(journal::numberIn(members, "people") == 2);
    const auto before = phone.phone().sessionShown();

    tag.undo();
    CHECK(session.isOpen());
    phone.note();
    CHECK(phone.phone().sessionShown() == before);
}

TEST_CASE("The last butterfly is asked for before the session ends", "[viewmodels][session]") {
    TestPhone phone;
    SessionPageModel session(phone.phone());
    const auto code = phone.note();
    phone.tell();
    CHECK(session.inHand() == QString::fromStdString(code).replace(QLatin1Char(' '), QChar::Nbsp));
    CHECK_FALSE(session.end());
    CHECK(session.isOpen());
    session.letGo();
    CHECK(session.inHand().isEmpty());
    CHECK(phone.fateOf(code) == "released");
    CHECK(session.end());
}

TEST_CASE("What is left open of the effort is not said", "[viewmodels][session]") {
    TestPhone phone;
    SessionPageModel session(phone.phone());
    phone.hold("Porch");
    session.begin();
    session.setProperty("minutes", "");
    REQUIRE(session.end());
    CHECK_FALSE(sessionOf(phone).contains("effort_min"));
    CHECK_FALSE(sessionOf(phone).contains("people"));
    CHECK_FALSE(sessionOf(phone).contains("note"));
    CHECK(session.effort().isEmpty());
}

TEST_CASE("Weather is typed in the units of the place, and kept in those of the journal", "[viewmodels][session]") {
    TestPhone phone;
    SessionPageModel session(phone.phone());
    phone.hold("Porch");
    session.beginWeather();
    CHECK_FALSE(session.canWriteWeather());
    SECTION("Wisconsin") {
        const Somewhere here("en_US");
        CHECK(session.airUnit() == "°F");
        CHECK(session.windUnit() == "mph");
        session.setProperty("air", "68"); // 20 degrees Celsius, and 10 mph are 4.4704 m/s (NIST SP 811, B.8)
        session.setProperty("wind", "10");
        session.setProperty("cloud", 1);
        session.setProperty("rain", 1);
        REQUIRE(session.writeWeather());
        CHECK(session.weather().back() == "10:01  68 °F, wind 10 mph, cloud 25 %, no rain");
    }
    SECTION("Germany, with a comma") {
        const Somewhere here("de_DE");
        CHECK(session.airUnit() == "°C");
        session.setProperty("air", "20,0");
        session.setProperty("wind", "4,47");
        session.setProperty("cloud", 1);
        session.setProperty("rain", 1);
        REQUIRE(session.writeWeather());
        CHECK(session.weather().back() == "10:01  20 °C, wind 4 m/s, cloud 25 %, no rain");
    }
    const auto reading = sessionOf(phone).at("weather").as_array().back().as_object();
    CHECK(journal::numberIn(reading, "air_millicelsius") == 20'000);
    CHECK(journal::numberIn(reading, "wind_mm_s").value() / 10 == 447);
    CHECK(journal::numberIn(reading, "cloud_percent") == 25);
    CHECK_FALSE(reading.at("rain").as_bool());
}

TEST_CASE("Weather that can't be is refused with what it may be, and only what was said is written",
          "[viewmodels][session]") {
    TestPhone phone;
    SessionPageModel session(phone.phone());
    for (const auto& [field, odd] : {std::pair("air", "warm"), std::pair("air", "1000"), std::pair("wind", "-3")}) {
        INFO(odd);
        session.beginWeather();
        session.setProperty(field, odd);
        CHECK_FALSE(session.writeWeather());
        CHECK_FALSE(session.failure()->sentence().isEmpty());
    }
    CHECK_FALSE(session.isOpen());
    session.beginWeather();
    session.setProperty("rain", 0);
    REQUIRE(session.writeWeather());
    CHECK(session.isOpen()); // a reading opens a session as a butterfly does
    CHECK(session.weather().back().endsWith("rain"));
}
