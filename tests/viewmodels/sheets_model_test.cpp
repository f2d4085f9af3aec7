#include "newer_line.h"
#include "phone.h"
#include "viewmodels/sheets_model.h"
#include "viewmodels/story_page_model.h"

#include "catch_compat.hpp"

#include <QAbstractItemModelTester>

using namespace discal;
using namespace discal::tests;
using viewmodels::SheetsModel;

TEST_CASE("The first start asks for one sheet, and no more once it is there", "[viewmodels][sheets]") {
    BarePhone phone;
    SheetsModel sheets(phone.phone());
    QAbstractItemModelTester tester(&sheets, QAbstractItemModelTester::FailureReportingMode::Fatal);
    REQUIRE(sheets.isFirstStart());
    CHECK(sheets.belief().isEmpty());
    sheets.setProperty("first", "rkd 001");
    CHECK_FALSE(sheets.canReceive());
    sheets.setProperty("countText", "25");
    CHECK(sheets.understood() == "RKD 001-025");
    REQUIRE(sheets.receive());
    CHECK_FALSE(sheets.isFirstStart());
    CHECK(sheets.belief().contains("RKD 001-025"));
    CHECK(sheets.property("first").toString().isEmpty());
    REQUIRE(sheets.rowCount() == 1);
    CHECK(sheets.data(sheets.index(0), SheetsModel::FreeRole).toInt() == 25);
    CHECK(sheets.data(sheets.index(0), SheetsModel::MarksRole).toStringList().size() == 25);
}

TEST_CASE("A first code with a look-alike glyph is asked about, never guessed", "[viewmodels][sheets]") {
    BarePhone phone;
    SheetsModel sheets(phone.phone());
    sheets.setProperty("countText", "25");
    sheets.setProperty("first", "RK0 014");
    CHECK_FALSE(sheets.canReceive());
    CHECK(sheets.readings().contains("RKO 014"));
    CHECK(sheets.readings().contains("RKD 014"));
    sheets.choose("RKD 014");
    CHECK(sheets.readings().isEmpty());
    CHECK(sheets.understood() == "RKD 014-038");
    // Written without a blank the O may be a nought.
    sheets.setProperty("first", "RKDO14");
    CHECK(sheets.readings() == QStringList{"RKDO 14", "RKD 014"});
    sheets.choose("RKD 014");
    CHECK(sheets.canReceive());
}

TEST_CASE("What can't be a sheet is said at the field", "[viewmodels][sheets]") {
    BarePhone phone;
    SheetsModel sheets(phone.phone());
    for (const char* odd : {"", "R", "014 RKD", "RKD"}) {
        sheets.setProperty("first", odd);
        sheets.setProperty("countText", "25");
        INFO(odd);
        CHECK_FALSE(sheets.canReceive());
        CHECK_FALSE(sheets.advice().isEmpty());
        CHECK_FALSE(sheets.receive());
    }
    sheets.setProperty("first", "RKD 001");
    for (const char* odd : {"", "0", "-3", "10001", "many"}) {
        sheets.setProperty("countText", odd);
        INFO(odd);
        CHECK_FALSE(sheets.canReceive());
        CHECK_FALSE(sheets.advice().isEmpty());
    }
    sheets.setProperty("first", "ZZZ 990");
    sheets.setProperty("countText", "25");
    CHECK_FALSE(sheets.canReceive());
    CHECK(sheets.advice().contains("ZZZ 990"));
}

TEST_CASE("A sheet that is here already can be taken in again only knowingly", "[viewmodels][sheets]") {
    BarePhone phone;
    phone.receiveSheet();
    SheetsModel sheets(phone.phone());
    sheets.setProperty("first", "RKD 020");
    sheets.setProperty("countText", "10");
    CHECK(sheets.canReceive());
    CHECK(sheets.advice().contains("RKD 001-025"));
}

TEST_CASE("A tag of which a newer Discal wrote is not shown as free", "[viewmodels][sheets]") {
    TestPhone phone;
    const std::string code = phone.note();
    appendNewer(phone.phone().journal(), "butterfly.glued", 1, {phone.find(code).id});
    appendNewer(phone.phone().journal(), "moth.tagged", 1, {}, {{"code", "RKD 003"}});
    phone.tell();
    SheetsModel sheets(phone.phone());
    sheets.look();
    const auto marks = sheets.data(sheets.index(0), SheetsModel::MarksRole).toStringList();
    CHECK(marks.at(1) == "free");
    CHECK(marks.at(2) == "unclear");
    CHECK(sheets.data(sheets.index(0), SheetsModel::FreeRole).toInt() == 23);
    CHECK(sheets.data(sheets.index(0), SheetsModel::HintRole).toString().contains("1 not offered"));
    viewmodels::StoryPageModel story(phone.phone());
    story.read(phone.idOf(code));
    CHECK(story.summary().endsWith("needs a newer Discal"));
    CHECK(cell(story, story.rowCount() - 1, "words") == "Something that a newer Discal wrote");
}
