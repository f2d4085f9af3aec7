#include "phone.h"
#include "viewmodels/except_page_model.h"
#include "viewmodels/held_page_model.h"

#include "catch_compat.hpp"

#include <QAbstractItemModelTester>

using namespace discal;
using namespace discal::tests;
using namespace std::chrono_literals;
using viewmodels::ExceptPageModel;
using viewmodels::HeldPageModel;

namespace {

constexpr auto kFatal = QAbstractItemModelTester::FailureReportingMode::Fatal;

void show(HeldPageModel& held) { held.setProperty("isShown", true); }

} // namespace

TEST_CASE("Held lists who is in which cage since when", "[held]") {
    TestPhone phone;
    HeldPageModel held(phone.phone());
    QAbstractItemModelTester tester(&held, kFatal);
    show(held);
    CHECK(held.rowCount() == 0);
    CHECK(held.countText().isEmpty());
    phone.hold("Porch", "female");
    phone.hold("Tent");
    phone.hold("Porch");
    phone.tell();
    REQUIRE(held.rowCount() == 3);
    CHECK(held.countText() == "3");
    CHECK(cell(held, 0, "digits") == "001");
    CHECK(cell(held, 0, "sex") == "female");
    CHECK(cell(held, 0, "since") == "10:00");
    CHECK(cell(held, 1, "digits") == "003");
    CHECK(cell(held, 2, "cage") == "Tent");
    CHECK(held.cages().size() == 3);
    held.chooseCage(2);
    CHECK(held.rowCount() == 1);
    CHECK(held.chosenCage() == 2);
}

TEST_CASE("What has been in too long is marked, by a number of hours that can be set", "[held]") {
    TestPhone phone;
    HeldPageModel held(phone.phone());
    phone.hold("Porch");
    phone.wait(23h);
    held.refresh();
    CHECK(cell(held, 0, "tooLong").isEmpty());
    CHECK(held.caution().isEmpty());
    phone.wait(1h);
    held.refresh();
    CHECK(cell(held, 0, "tooLong").contains("24 h"));
    CHECK_FALSE(held.caution().isEmpty());
    held.setTooLongHours(48);
    CHECK(cell(held, 0, "tooLong").isEmpty());
}

TEST_CASE("All go is one act with one undo, also after a restart", "[held]") {
    TestPhone phone;
    for (int i = 0; i < 4; ++i)
        phone.hold("Porch");
    {
        HeldPageModel held(phone.phone());
        QAbstractItemModelTester tester(&held, kFatal);
        show(held);
        held.allGo();
        CHECK(held.rowCount() == 0);
        CHECK(held.canUndo());
        CHECK_FALSE(held.lastText().isEmpty());
        held.undo();
        CHECK(held.rowCount() == 4);
        held.allGo();
    }
    phone.restart();
    HeldPageModel held(phone.phone());
    show(held);
    CHECK(held.rowCount() == 0);
    REQUIRE(held.canUndo());
    held.undo();
    CHECK(held.rowCount() == 4);
}

TEST_CASE("All go from the cage that is shown, and from no other", "[held]") {
    TestPhone phone;
    const auto porch = phone.hold("Porch");
    const auto tent = phone.hold("Tent");
    HeldPageModel held(phone.phone());
    held.chooseCage(1);
    held.allGo();
    CHECK(phone.fateOf(porch) == "released");
    CHECK(phone.fateOf(tent) == "held");
}

TEST_CASE("Exceptions before: one stays, one died, the rest go in the same act", "[held]") {
    TestPhone phone;
    const auto a = phone.hold("Porch");
    const auto b = phone.hold("Porch");
    const auto c = phone.hold("Porch");
    HeldPageModel held(phone.phone());
    ExceptPageModel except(phone.phone(), held);
    QAbstractItemModelTester tester(&except, kFatal);
    except.begin({});
    REQUIRE(except.rowCount() == 3);
    except.next(phone.idOf(a));
    except.next(phone.idOf(b));
    except.next(phone.idOf(b));
    CHECK(except.goCount() == 1);
    REQUIRE(except.accept());
    CHECK(phone.fateOf(a) == "held");
    CHECK(phone.fateOf(b) == "died");
    CHECK(phone.fateOf(c) == "released");
    show(held);
    REQUIRE(held.canUndo());
    held.undo();
    CHECK(phone.fateOf(b) == "held");
    CHECK(phone.fateOf(c) == "held");
}

TEST_CASE("When all stay there is nothing to let go", "[held]") {
    TestPhone phone;
    const auto a = phone.hold("Porch");
    HeldPageModel held(phone.phone());
    ExceptPageModel except(phone.phone(), held);
    except.begin({});
    CHECK(except.canAccept());
    except.next(phone.idOf(a));
    CHECK_FALSE(except.canAccept());
}

TEST_CASE("Exceptions afterwards: of those that went one stayed, one lay dead", "[held]") {
    TestPhone phone;
    const auto a = phone.hold("Porch");
    const auto b = phone.hold("Porch");
    const auto c = phone.hold("Porch");
    HeldPageModel held(phone.phone());
    show(held);
    held.allGo();
    phone.wait(10min);
    CHECK(held.canExceptAfterwards());
    ExceptPageModel except(phone.phone(), held);
    QAbstractItemModelTester tester(&except, kFatal);
    except.begin("afterwards");
    REQUIRE(except.rowCount() == 3);
    CHECK_FALSE(except.canAccept());
    except.next(phone.idOf(a));
    except.next(phone.idOf(b));
    except.next(phone.idOf(b));
    REQUIRE(except.accept());
    CHECK(phone.fateOf(a) == "held");
    CHECK(phone.fateOf(b) == "died");
    CHECK(phone.fateOf(c) == "released");
    // What is written already does not go again.
    except.begin("afterwards");
    except.next(phone.idOf(a));
    except.next(phone.idOf(a));
    CHECK(cell(except, 0, "choiceText") == "stayed");
}

TEST_CASE("A loose tag: the same butterfly gets the next one", "[held]") {
    TestPhone phone;
    const auto a = phone.hold("Porch");
    const QString id = phone.idOf(a);
    HeldPageModel held(phone.phone());
    show(held);
    held.lostTag(id);
    CHECK(cell(held, 0, "digits") == "002");
    CHECK(held.lastText().contains("RKD 002"));
    REQUIRE(held.canUndo());
    held.undo();
    CHECK(cell(held, 0, "digits") == "001");
}

TEST_CASE("A loose tag with no free one left is said in a sentence, and nothing changes", "[held]") {
    TestPhone phone(1);
    const auto a = phone.hold("Porch");
    HeldPageModel held(phone.phone());
    held.lostTag(phone.idOf(a));
    CHECK_FALSE(held.failure()->sentence().isEmpty());
    CHECK(cell(held, 0, "digits") == "001");
}

TEST_CASE("The cage in use is said by name, and those that have somebody in them are offered", "[viewmodels][held]") {
    TestPhone phone;
    phone.hold("Porch");
    HeldPageModel held(phone.phone());
    held.useCage("");
    CHECK(held.cageInUse().isEmpty());
    CHECK(held.knownCages() == QStringList{"Porch"});
    held.useCage(" net cage ");
    CHECK(held.cageInUse() == "net cage");
    CHECK(held.knownCages() == QStringList{"Porch", "net cage"});
    const auto code = phone.note();
    need(phone.phone().tagging.hold(std::nullopt, {}));
    CHECK(phone.find(code).cage == "net cage");
}
