#include "phone.h"
#include "viewmodels/hand_run_model.h"

#include "catch_compat.hpp"

using namespace discal;
using namespace discal::tests;
using viewmodels::HandRunModel;

namespace {

QString idOf(BarePhone& phone) { return QString::fromStdString(phone.phone().journal().device().text()); }

} // namespace

TEST_CASE("A run goes from screen to screen: the giver stops, the taker begins", "[viewmodels][hand]") {
    BarePhone giver("A");
    BarePhone taker("B");
    giver.receiveSheet();
    HandRunModel handing(giver.phone());
    handing.begin();
    REQUIRE(handing.runs() == QStringList{"RKD 001-025"});
    CHECK_FALSE(handing.canHand());
    handing.setProperty("count", 10);
    CHECK(handing.understood() == "RKD 016-025");
    handing.setDeviceCode(idOf(giver));
    CHECK_FALSE(handing.canHand());
    handing.setDeviceCode(idOf(taker).toUpper().insert(4, ' '));
    REQUIRE(handing.canHand());
    REQUIRE(handing.hand());
    REQUIRE_FALSE(handing.payload().isEmpty());
    CHECK(handing.payload().size() <= 4296);
    CHECK(need(giver.phone().stock.nextFree(25)).size() == 15);

    HandRunModel taking(taker.phone());
    taking.begin();
    // As a messenger may pass it on
    taking.setProperty("pasted", QString("\n" + handing.payload().toLower() + " \n"));
    REQUIRE(taking.canTake());
    REQUIRE(taking.take());
    CHECK(taking.taken().contains("RKD 016-025"));
    const auto next = need(taker.phone().stock.nextFree());
    REQUIRE(next);
    CHECK(next->text() == "RKD 016");
    CHECK(need(taker.phone().projections().doubts()).empty());
}

TEST_CASE("What the other phone did not get is shown again", "[viewmodels][hand]") {
    BarePhone giver("A");
    BarePhone taker("B");
    giver.receiveSheet();
    HandRunModel handing(giver.phone());
    handing.begin();
    CHECK(handing.handedBefore().isEmpty());
    handing.setProperty("count", 5);
    handing.setDeviceCode(idOf(taker));
    REQUIRE(handing.hand());
    need(giver.phone().tagging.note({}));
    handing.begin();
    CHECK(handing.handed().isEmpty());
    REQUIRE(handing.handedBefore() == "RKD 021-025");
    const auto head = giver.phone().journal().head().seq;
    handing.showAgain();
    CHECK(giver.phone().journal().head().seq == head);
    CHECK(handing.handed() == "RKD 021-025");
    HandRunModel taking(taker.phone());
    taking.begin();
    taking.setProperty("pasted", handing.payload());
    REQUIRE(taking.take());
    CHECK(taking.taken().contains("RKD 021-025"));
}

TEST_CASE("A phone that is known is offered by name and the beginning of its code", "[viewmodels][hand]") {
    BarePhone giver("A");
    BarePhone taker("B");
    giver.receiveSheet("RKD 001", 10);
    giver.receiveSheet("RKD 101", 10);
    need(giver.phone().station.found("Thistledown Ridge Nature Centre"));
    need(giver.phone().station.enrol(taker.phone().journal().device(), "recorder"));
    HandRunModel handing(giver.phone());
    handing.begin();
    CHECK(handing.runs() == QStringList{"RKD 001-010", "RKD 101-110"});
    REQUIRE(handing.devices().size() == 1);
    CHECK(handing.devices().front().contains(idOf(taker).left(4)));
    handing.setProperty("run", 1);
    handing.setProperty("count", 0);
    CHECK_FALSE(handing.canHand());
    handing.setDevice(0);
    CHECK(handing.understood() == "RKD 101-110");
    REQUIRE(handing.hand());
    CHECK(handing.handed() == "RKD 101-110");
    CHECK(need(giver.phone().stock.nextFree(25)).size() == 10);
}

TEST_CASE("A code that was cut or changed takes nothing in", "[viewmodels][hand]") {
    BarePhone giver("A");
    BarePhone taker("B");
    giver.receiveSheet();
    HandRunModel handing(giver.phone());
    handing.begin();
    handing.setProperty("count", 0);
    handing.setDeviceCode(idOf(taker));
    REQUIRE(handing.hand());
    HandRunModel taking(taker.phone());
    for (const QString& odd : {handing.payload().chopped(3), handing.payload().mid(7), QStringLiteral("DISCAL:"),
                               QString(handing.payload()).replace(40, 3, "AAA")}) {
        taking.begin();
        taking.setProperty("pasted", odd);
        CHECK_FALSE(taking.take());
        CHECK_FALSE(taking.failure()->sentence().isEmpty());
    }
    CHECK_FALSE(need(taker.phone().stock.nextFree()));
}

TEST_CASE("A long journal sends its last lines; who lacks earlier ones is told so", "[viewmodels][hand]") {
    BarePhone giver("A");
    BarePhone taker("B");
    giver.receiveSheet("RKD 001", 200);
    for (int i = 0; i < 80; ++i)
        need(giver.phone().tagging.note({}));
    HandRunModel handing(giver.phone());
    handing.begin();
    handing.setProperty("run", 0);
    handing.setProperty("count", 25);
    handing.setDeviceCode(idOf(taker));
    REQUIRE(handing.hand());
    REQUIRE_FALSE(handing.payload().isEmpty());
    CHECK(handing.payload().size() <= 4296);
    HandRunModel taking(taker.phone());
    taking.begin();
    taking.setProperty("pasted", handing.payload());
    CHECK_FALSE(taking.take());
    CHECK_FALSE(taking.failure()->sentence().isEmpty());
    // The paper is in hand all the same.
    taking.setProperty("pasted", QString());
    taking.setProperty("first", "RKD 176");
    taking.setProperty("countText", "25");
    CHECK(taking.inHand() == "RKD 176-200");
    REQUIRE(taking.take());
    CHECK(taking.taken().contains("RKD 176-200"));
}
