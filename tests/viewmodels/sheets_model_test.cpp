#include "newer_line.h"
#include "phone.h"
#include "core/tag/label.h"
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

TEST_CASE("A label proposes scheme, first code and count, and takes nothing in", "[viewmodels][sheets][camera]") {
    BarePhone phone;
    SheetsModel sheets(phone.phone());
    const auto label = need(tag::readLabel("DISCAL SHEET 1 AAA000-IO RKD998 25 5"));
    sheets.takeLabel(label);
    CHECK(sheets.isFromLabel());
    CHECK(sheets.understood() == "RKD 998-RKE 022");
    CHECK(sheets.property("perRow").toInt() == 5);
    CHECK(sheets.isFirstStart());
    SECTION("it is elsewhere") {
        sheets.decline();
        CHECK_FALSE(sheets.isFromLabel());
        CHECK(sheets.property("first").toString().isEmpty());
        CHECK_FALSE(sheets.canReceive());
        CHECK(sheets.isFirstStart());
    }
    SECTION("it is with this phone: its codes are counted as the label says") {
        REQUIRE(sheets.receive());
        const auto kept = need(phone.phone().projections().sheets());
        REQUIRE(kept.size() == 1);
        CHECK(kept.front().run->scheme.excludedLetters() == "IO");
        CHECK(kept.front().perRow == 5);
        CHECK_FALSE(sheets.isFromLabel());
    }
    SECTION("changed by hand it is no longer the label's") {
        sheets.setProperty("countText", "10");
        CHECK_FALSE(sheets.isFromLabel());
        CHECK(sheets.canReceive());
    }
}

TEST_CASE("The first tag and then the last make a sheet", "[viewmodels][sheets][camera]") {
    BarePhone phone;
    SheetsModel sheets(phone.phone());
    const auto tagOf = [](const char* code) { return need(tag::readLabel(code)); };
    sheets.takeLabel(tagOf("RKD 101"));
    CHECK_FALSE(sheets.isFromLabel());
    CHECK(sheets.property("first").toString() == "RKD 101");
    sheets.takeLabel(tagOf("RKD 125"));
    CHECK(sheets.isFromLabel());
    CHECK(sheets.understood() == "RKD 101-125");
    // One before it, or built otherwise, is a first one.
    sheets.takeLabel(tagOf("RKD 026"));
    CHECK(sheets.property("first").toString() == "RKD 026");
    CHECK_FALSE(sheets.isFromLabel());
    sheets.takeLabel(tagOf("QB 0050"));
    CHECK(sheets.property("first").toString() == "QB 0050");
}
