#include "phone.h"
#include "viewmodels/session_page_model.h"
#include "viewmodels/tag_page_model.h"

#include "catch_compat.hpp"

using namespace discal;
using namespace discal::tests;
using namespace std::chrono_literals;
using viewmodels::SessionPageModel;

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
    const auto members = phone.phone().sessionRecord().value().members;
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
    CHECK_FALSE(phone.phone().sessionRecord().value().members.contains("effort_min"));
    CHECK_FALSE(phone.phone().sessionRecord().value().members.contains("people"));
    CHECK_FALSE(phone.phone().sessionRecord().value().members.contains("note"));
    CHECK(session.effort().isEmpty());
}

TEST_CASE("What is typed of a session stays until it ends, and minutes that nobody typed go on",
          "[viewmodels][session]") {
    TestPhone phone;
    SessionPageModel session(phone.phone());
    phone.hold("Porch");
    phone.wait(9min);
    session.begin();
    CHECK(session.property("minutes") == "10");
    session.setProperty("note", "by the fence");
    phone.wait(5min);
    session.begin(); // back from another page
    CHECK(session.property("note") == "by the fence");
    CHECK(session.property("minutes") == "15");
    session.setProperty("minutes", "12");
    phone.wait(5min);
    session.begin();
    CHECK(session.property("minutes") == "12");
    REQUIRE(session.end());
    phone.hold("Porch");
    session.begin();
    CHECK(session.property("note") == "");
    CHECK(session.property("minutes") != "12");
}
