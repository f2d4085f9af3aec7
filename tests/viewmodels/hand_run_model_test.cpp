#include "viewmodels/hand_run_model.h"

#include "catch_compat.hpp"
#include "setup_phone.h"

using namespace discal;
using namespace discal::tests;
using viewmodels::HandRunModel;

namespace {

QString idOf(SetupPhone& desk) { return QString::fromStdString(desk.phone().journal().device().text()); }

} // namespace

TEST_CASE("A run goes from screen to screen: the giver stops, the taker begins", "[viewmodels][hand]") {
    SetupPhone giver("A");
    SetupPhone taker("B");
    giver.receiveSheet();
    HandRunModel handing(giver.phone());
    handing.begin();
    REQUIRE(handing.runs() == QStringList{"RKD 001-025"});
    CHECK_FALSE(handing.canHand());
    handing.setCount(10);
    CHECK(handing.understood() == "RKD 016-025");
    handing.setDeviceCode(idOf(giver));
    CHECK_FALSE(handing.canHand());
    handing.setDeviceCode(idOf(taker).toUpper().insert(4, ' '));
    REQUIRE(handing.canHand());
    REQUIRE(handing.hand());
    REQUIRE_FALSE(handing.payload().isEmpty());
    CHECK(handing.payload().size() <= 4296);
    CHECK(SetupPhone::must(giver.phone().stock.nextFree(25)).size() == 15);

    HandRunModel taking(taker.phone());
    taking.begin();
    taking.setPasted(handing.payload());
    REQUIRE(taking.canTake());
    REQUIRE(taking.take());
    CHECK(taking.taken().contains("RKD 016-025"));
    const auto next = SetupPhone::must(taker.phone().stock.nextFree());
    REQUIRE(next);
    CHECK(next->text() == "RKD 016");
    CHECK(SetupPhone::must(taker.phone().projections().doubts()).empty());
}

TEST_CASE("A code that was cut or changed takes nothing in", "[viewmodels][hand]") {
    SetupPhone giver("A");
    SetupPhone taker("B");
    giver.receiveSheet();
    HandRunModel handing(giver.phone());
    handing.begin();
    handing.setCount(0);
    handing.setDeviceCode(idOf(taker));
    REQUIRE(handing.hand());
    HandRunModel taking(taker.phone());
    for (const QString& odd : {handing.payload().chopped(3), handing.payload().mid(7), QStringLiteral("DISCAL:"),
                               QString(handing.payload()).replace(40, 3, "AAA")}) {
        taking.begin();
        taking.setPasted(odd);
        CHECK_FALSE(taking.take());
        CHECK_FALSE(taking.failure().isEmpty());
    }
    CHECK_FALSE(SetupPhone::must(taker.phone().stock.nextFree()));
}

TEST_CASE("A long journal sends its last lines; who lacks earlier ones is told so", "[viewmodels][hand]") {
    SetupPhone giver("A");
    SetupPhone taker("B");
    giver.receiveSheet("RKD 001", 200);
    for (int i = 0; i < 80; ++i)
        SetupPhone::must(giver.phone().tagging.note({}));
    HandRunModel handing(giver.phone());
    handing.begin();
    handing.setRun(0);
    handing.setCount(25);
    handing.setDeviceCode(idOf(taker));
    REQUIRE(handing.hand());
    REQUIRE_FALSE(handing.payload().isEmpty());
    CHECK(handing.payload().size() <= 4296);
    HandRunModel taking(taker.phone());
    taking.begin();
    taking.setPasted(handing.payload());
    CHECK_FALSE(taking.take());
    CHECK_FALSE(taking.failure().isEmpty());
    // The paper is in hand all the same.
    taking.setPasted({});
    taking.setFirst("RKD 176");
    taking.setCountText("25");
    CHECK(taking.inHand() == "RKD 176-200");
    REQUIRE(taking.take());
    CHECK(taking.taken().contains("RKD 176-200"));
}
