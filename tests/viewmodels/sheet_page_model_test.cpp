#include "phone.h"
#include "viewmodels/sheet_page_model.h"

#include "catch_compat.hpp"

#include <QAbstractItemModelTester>

using namespace discal;
using namespace discal::tests;
using viewmodels::SheetPageModel;

namespace {

QString markAt(SheetPageModel& model, int row) {
    return model.data(model.index(row), SheetPageModel::MarkRole).toString();
}

} // namespace

TEST_CASE("The sheet is drawn as printed, with the next tag marked", "[viewmodels][sheet]") {
    BarePhone phone;
    phone.receiveSheet();
    services::Tagging::Note note;
    need(phone.phone().tagging.note(note));
    SheetPageModel model(phone.phone());
    QAbstractItemModelTester tester(&model, QAbstractItemModelTester::FailureReportingMode::Fatal);
    model.show("RKD 002", true);
    REQUIRE(model.rowCount() == 25);
    CHECK(model.name() == "RKD 001-025");
    CHECK(markAt(model, 0) == "on");
    CHECK(markAt(model, 1) == "next");
    CHECK(markAt(model, 2) == "free");
    CHECK(model.nextRow() == 1);
    CHECK_FALSE(model.data(model.index(0), SheetPageModel::IsPickableRole).toBool());
    CHECK(model.data(model.index(2), SheetPageModel::CodeRole) == "RKD 003");
}

TEST_CASE("Where the paper is asked, no mark tells which tag is next", "[viewmodels][sheet]") {
    BarePhone phone;
    phone.receiveSheet();
    need(phone.phone().tagging.note({}));
    SheetPageModel model(phone.phone());
    model.show("RKD 002", false);
    for (int row = 0; row < model.rowCount(); ++row)
        CHECK(markAt(model, row) == "free");
}

TEST_CASE("A printed row is folded evenly where it has no room", "[viewmodels][sheet]") {
    BarePhone phone;
    need(phone.phone().stock.receive({"RKD 001", 50, {}, 10}));
    SheetPageModel model(phone.phone());
    model.show("RKD 001", true);
    CHECK(model.columns(12) == 10);
    CHECK(model.columns(9) == 5);
    CHECK(model.columns(5) == 5);
    CHECK(model.columns(4) == 4);
    CHECK(model.columns(0) == 1);
}

TEST_CASE("Last digits find free tags first, from the next one on", "[viewmodels][sheet]") {
    BarePhone phone;
    phone.receiveSheet();
    for (int i = 0; i < 7; ++i)
        need(phone.phone().tagging.note({}));
    SheetPageModel model(phone.phone());
    model.show("RKD 008", true);
    model.setLastDigits("6");
    CHECK(model.candidates() == QStringList{"RKD 016", "RKD 006"});
    model.setLastDigits("16");
    CHECK(model.candidates() == QStringList{"RKD 016"});
    model.setLastDigits("99");
    CHECK(model.candidates().isEmpty());
    // On no sheet of ours, but read whole.
    model.setLastDigits("399");
    CHECK(model.candidates() == QStringList{"RKD 399"});
    model.show("RKD 008", true);
    CHECK(model.lastDigits().isEmpty());
}

TEST_CASE("Before anything is typed the pad offers the next free tags, but not where the paper is asked", "[viewmodels][sheet]") {
    BarePhone phone;
    phone.receiveSheet();
    need(phone.phone().tagging.note({}));
    SheetPageModel model(phone.phone());
    model.show("RKD 002", true);
    REQUIRE_FALSE(model.candidates().isEmpty());
    CHECK(model.candidates().front() == "RKD 002");
    CHECK(model.candidates().contains("RKD 003"));
    CHECK(model.advice().contains("next free"));
    model.setLastDigits("9");
    CHECK(model.candidates() == QStringList{"RKD 009", "RKD 019"});
    model.show("RKD 002", false);
    CHECK(model.candidates().isEmpty());
}
