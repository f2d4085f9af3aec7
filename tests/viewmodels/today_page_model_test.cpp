#include "phone.h"
#include "viewmodels/today_page_model.h"

#include "catch_compat.hpp"

#include <QAbstractItemModelTester>
#include <QModelIndex>

using namespace discal;
using namespace discal::tests;
using namespace std::chrono_literals;
using viewmodels::TodayPageModel;

namespace {

constexpr auto kFatal = QAbstractItemModelTester::FailureReportingMode::Fatal;

void letGo(TestPhone& phone, int count) {
    for (int i = 0; i < count; ++i) {
        phone.note(i % 3 == 0 ? "female" : "male", i % 2 == 0 ? "wild" : "reared");
        need(phone.phone().tagging.release(std::nullopt));
        phone.wait(20s);
    }
}

} // namespace

TEST_CASE("Today lists the session, newest first, with counts by sex and origin", "[today]") {
    TestPhone phone;
    TodayPageModel today(phone.phone());
    QAbstractItemModelTester tester(&today, kFatal);
    today.setProperty("isShown", true);
    CHECK(today.rowCount() == 0);
    CHECK(today.countText().isEmpty());
    letGo(phone, 4);
    phone.tell();
    REQUIRE(today.rowCount() == 4);
    CHECK(today.countText() == "4");
    CHECK(cell(today, 0, "digits") == "004");
    CHECK(cell(today, 3, "digits") == "001");
    CHECK(cell(today, 3, "when") == "10:00");
    CHECK(cell(today, 3, "where") == "Ridge, meadow");
    CHECK(today.sexes() == "2 male · 2 female");
    CHECK(today.origins() == "2 wild · 2 reared");
    CHECK(today.isOnlyHere());
    CHECK_FALSE(today.hasPassedMidnight());
}

TEST_CASE("Rows are read page by page, each once, in order", "[today]") {
    TestPhone phone(1000);
    letGo(phone, 150);
    TodayPageModel today(phone.phone());
    today.setProperty("isShown", true);
    CHECK(today.total() == 150);
    CHECK(today.rowCount() < 150);
    // The tester asks for more by itself.
    QAbstractItemModelTester tester(&today, kFatal);
    int pages = 1;
    while (today.canFetchMore({})) {
        today.fetchMore({});
        REQUIRE(++pages < 20);
    }
    REQUIRE(today.rowCount() == 150);
    for (int row = 0; row < 150; ++row)
        CHECK(cell(today, row, "digits").toInt() == 150 - row);
    // A further one comes in at the top; what was read stays.
    letGo(phone, 1);
    phone.tell();
    CHECK(today.total() == 151);
    CHECK(cell(today, 0, "digits") == "151");
    while (today.canFetchMore({}))
        today.fetchMore({});
    CHECK(today.rowCount() == 151);
}

TEST_CASE("One taken back leaves the list", "[today]") {
    TestPhone phone;
    letGo(phone, 2);
    TodayPageModel today(phone.phone());
    QAbstractItemModelTester tester(&today, kFatal);
    today.setProperty("isShown", true);
    phone.note();
    phone.tell();
    CHECK(today.rowCount() == 3);
    need(phone.phone().amending.withdraw(*need(phone.phone().amending.lastAct()), "undo"));
    phone.tell();
    CHECK(today.rowCount() == 2);
}

TEST_CASE("Lines past midnight stay with the evening, each with its own date", "[today]") {
    TestPhone phone;
    phone.wait(13h + 50min);
    letGo(phone, 1);
    phone.wait(20min);
    letGo(phone, 1);
    TodayPageModel today(phone.phone());
    today.setProperty("isShown", true);
    REQUIRE(today.rowCount() == 2);
    CHECK(today.hasPassedMidnight());
    CHECK(today.day().startsWith("5 "));
    CHECK(cell(today, 0, "when").startsWith("6 "));
    CHECK(cell(today, 1, "when").startsWith("5 "));
    CHECK(cell(today, 1, "when").endsWith("23:50"));
}

TEST_CASE("After the session is closed its butterflies are still read", "[today]") {
    TestPhone phone;
    letGo(phone, 2);
    need(phone.phone().session.close({}));
    TodayPageModel today(phone.phone());
    today.setProperty("isShown", true);
    CHECK(today.rowCount() == 2);
}

TEST_CASE("With 5,000 butterflies Today reads a screenful, not all", "[today][.long]") {
    TestPhone phone(6000);
    letGo(phone, 5000);
    TodayPageModel today(phone.phone());
    today.setProperty("isShown", true);
    CHECK(today.total() == 5000);
    CHECK(today.rowCount() <= 60);
    today.fetchMore({});
    CHECK(today.rowCount() <= 120);
}
