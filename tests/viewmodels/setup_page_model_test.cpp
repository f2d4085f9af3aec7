#include "phone.h"
#include "viewmodels/setup_page_model.h"

#include "catch_compat.hpp"

using namespace discal;
using namespace discal::tests;
using namespace std::chrono_literals;
using viewmodels::SetupPageModel;

TEST_CASE("The permit is told of on the day after its last one, and stops nothing", "[viewmodels][setup]") {
    // 5 September, 23:30 local time; in UTC it is the 6th.
    BarePhone phone("A", "2026-09-06T04:30:00Z");
    SetupPageModel setup(phone.phone());
    setup.begin();
    setup.setProperty("name", "Thistledown Ridge");
    setup.setProperty("permitNumber", "SCP-118");
    setup.setProperty("lastDay", "2026-09-05");
    REQUIRE(setup.canSave());
    REQUIRE(setup.save());
    CHECK(setup.station() == "Thistledown Ridge");
    CHECK(setup.permit().contains("SCP-118"));
    CHECK(setup.permitPast().isEmpty());
    phone.wait(1h);
    phone.tell();
    CHECK(setup.permitPast().contains(QString("5 September 2026").replace(' ', QChar::Nbsp)));
    phone.receiveSheet();
    CHECK(phone.phone().tagging.note({}));
}

TEST_CASE("A day is read in several forms and refused when there is none", "[viewmodels][setup]") {
    BarePhone phone;
    SetupPageModel setup(phone.phone());
    setup.setProperty("name", "Thistledown Ridge");
    for (const char* day : {"2026-12-31", "31.12.2026", "31 December 2026", ""}) {
        setup.setProperty("lastDay", day);
        INFO(day);
        CHECK(setup.canSave());
    }
    for (const char* day : {"31 February 2026", "2026-02-31", "soon", "2026"}) {
        setup.setProperty("lastDay", day);
        INFO(day);
        CHECK_FALSE(setup.canSave());
        CHECK_FALSE(setup.understoodDay().isEmpty());
    }
}

TEST_CASE("Saying the same again writes nothing", "[viewmodels][setup]") {
    BarePhone phone;
    SetupPageModel setup(phone.phone());
    setup.setProperty("name", "Thistledown Ridge");
    setup.setProperty("permitNumber", "SCP-118");
    REQUIRE(setup.save());
    const auto head = phone.phone().journal().head().seq;
    setup.begin();
    CHECK(setup.property("name").toString() == "Thistledown Ridge");
    REQUIRE(setup.save());
    CHECK(phone.phone().journal().head().seq == head);
}

TEST_CASE("The phone's name is said anew, and what it was stays in the journal", "[viewmodels][setup]") {
    BarePhone phone("phone");
    {
        SetupPageModel setup(phone.phone());
        CHECK(setup.deviceName() == "phone");
        setup.beginPhone();
        CHECK(setup.property("newDeviceName") == "phone");
        const auto head = phone.phone().journal().head().seq;
        REQUIRE(setup.savePhone());
        CHECK(phone.phone().journal().head().seq == head);
        setup.setProperty("newDeviceName", "  ");
        CHECK_FALSE(setup.savePhone());
        setup.setProperty("newDeviceName", "AK’s phone ");
        REQUIRE(setup.savePhone());
        CHECK(setup.deviceName() == "AK’s phone");
        CHECK(phone.phone().journal().head().seq == head + 1);
    }
    phone.restart();
    SetupPageModel again(phone.phone());
    CHECK(again.deviceName() == "AK’s phone");
}
