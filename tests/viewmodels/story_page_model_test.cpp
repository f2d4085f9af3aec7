#include "phone.h"
#include "viewmodels/correct_page_model.h"
#include "viewmodels/story_page_model.h"
#include "viewmodels/tag_reading.h"

#include "catch_compat.hpp"

#include <QAbstractItemModelTester>

using namespace discal;
using namespace discal::tests;
using namespace std::chrono_literals;
using viewmodels::CorrectPageModel;
using viewmodels::StoryPageModel;

namespace {

constexpr auto kFatal = QAbstractItemModelTester::FailureReportingMode::Fatal;

int kindAt(const StoryPageModel& story, int row) {
    return story.data(story.index(row), StoryPageModel::KindRole).toInt();
}

} // namespace

TEST_CASE("A story is read line by line", "[story]") {
    TestPhone phone;
    const auto code = phone.hold("Porch", "female");
    StoryPageModel story(phone.phone());
    QAbstractItemModelTester tester(&story, kFatal);
    story.read(phone.idOf(code));
    REQUIRE(story.rowCount() == 2);
    CHECK(story.letters() == "RKD");
    CHECK(story.digits() == "001");
    CHECK(story.isHeld());
    CHECK(story.isOnlyHere());
    CHECK(cell(story, 0, "words").contains("female"));
    CHECK(cell(story, 1, "words").contains("Porch"));
    CHECK(story.letGo());
    CHECK(phone.fateOf(code) == "released");
    CHECK(story.rowCount() == 3);
    CHECK_FALSE(story.isHeld());
}

TEST_CASE("A correction keeps the old value beside the new, with its why", "[story]") {
    TestPhone phone;
    const auto code = phone.hold("Porch", "male");
    StoryPageModel story(phone.phone());
    QAbstractItemModelTester tester(&story, kFatal);
    story.read(phone.idOf(code));
    CorrectPageModel correct(phone.phone());
    correct.begin(phone.idOf(code));
    CHECK(correct.changes().isEmpty());
    CHECK(correct.timeWritten() == "10:00");
    correct.setProperty("sex", "female");
    CHECK(correct.changes() == "female, was male");
    correct.setProperty("why", "slip");
    REQUIRE(correct.accept());
    REQUIRE(story.rowCount() == 3);
    CHECK(kindAt(story, 1) == StoryPageModel::Change);
    CHECK(cell(story, 1, "old") == "male");
    CHECK(cell(story, 1, "words") == "sex: female");
    CHECK(cell(story, 1, "why") == "a slip of the finger");
    CHECK(cell(story, 0, "words").contains("female"));
    // And once more: the value before is the one that was corrected then.
    correct.begin(phone.idOf(code));
    correct.setProperty("sex", "unknown");
    REQUIRE(correct.accept());
    CHECK(cell(story, 2, "old") == "female");
    CHECK(phone.find(code).sex == "unknown");
}

TEST_CASE("Code, origin, time, forewing and note can be said anew", "[story]") {
    TestPhone phone;
    const auto code = phone.hold("Porch");
    const QString id = phone.idOf(code);
    CorrectPageModel correct(phone.phone());
    correct.begin(id);
    correct.setProperty("code", "rkd 009");
    correct.setProperty("origin", "wild");
    correct.setProperty("time", "9.05");
    correct.setProperty("forewing", "51,5");
    correct.setProperty("note", "left forewing nicked");
    REQUIRE(correct.accept());
    const auto b = phone.find("RKD 009");
    CHECK(b.origin == "wild");
    CHECK(b.notedAt == "2026-09-05T14:05:00.000Z");
    CHECK(journal::numberIn(b.measures, "forewing_um") == 51'500);
    correct.begin(id);
    CHECK(correct.noteWritten() == "left forewing nicked");
    correct.setProperty("forewing", "50");
    REQUIRE(correct.accept());
    CHECK(journal::numberIn(phone.find("RKD 009").measures, "forewing_um") == 50'000);
    StoryPageModel story(phone.phone());
    story.read(id);
    bool isOldShown = false;
    for (int row = 0; row < story.rowCount(); ++row)
        isOldShown |= cell(story, row, "old") == "51.5 mm";
    CHECK(isOldShown);
}

TEST_CASE("What can't be read is refused with what is legal", "[story]") {
    TestPhone phone;
    const auto code = phone.hold("Porch");
    CorrectPageModel correct(phone.phone());
    for (const auto& [field, value] : {std::pair("time", "25:00"), std::pair("forewing", "long"),
                                       std::pair("forewing", "900"), std::pair("code", "?")}) {
        correct.begin(phone.idOf(code));
        correct.setProperty(field, value);
        CHECK_FALSE(correct.accept());
        CHECK_FALSE(correct.failure()->sentence().isEmpty());
    }
    CHECK(phone.find(code).measures.empty());
}

TEST_CASE("A visitor may let one go from the cage, and has the day's next number", "[story]") {
    TestPhone phone;
    const auto code = phone.hold("Porch");
    StoryPageModel story(phone.phone());
    story.read(phone.idOf(code));
    REQUIRE(story.letGoByVisitor());
    CHECK(phone.fateOf(code) == "released");
    CHECK(cell(story, story.rowCount() - 1, "words").endsWith("from the hand of visitor 1"));
    CHECK_FALSE(story.letGoByVisitor()); // it has gone
    const auto other = phone.hold("Porch");
    story.read(phone.idOf(other));
    REQUIRE(story.letGoByVisitor());
    CHECK(cell(story, story.rowCount() - 1, "words").endsWith("from the hand of visitor 2"));
}

TEST_CASE("Any tap can be taken back, and brought again, also after a restart", "[story]") {
    TestPhone phone;
    const auto code = phone.hold("Porch");
    const QString id = phone.idOf(code);
    QString line;
    {
        StoryPageModel story(phone.phone());
        QAbstractItemModelTester tester(&story, kFatal);
        story.read(id);
        line = cell(story, 1, "line");
        story.look(line);
        CHECK(story.actButterflies() == 1);
        REQUIRE(story.canTakeBack());
        REQUIRE(story.takeBack());
        CHECK(story.isLineTakenBack());
        CHECK(story.rowCount() == 2);
        CHECK(cell(story, 1, "isGone") == "true");
        CHECK(phone.fateOf(code) == "noted");
    }
    phone.restart();
    StoryPageModel story(phone.phone());
    story.read(id);
    story.look(line);
    CHECK(story.isLineTakenBack());
    REQUIRE(story.bringAgain());
    CHECK(phone.fateOf(code) == "held");
    CHECK_FALSE(story.isLineTakenBack());
}

TEST_CASE("A tap of several says how many go with it", "[story]") {
    TestPhone phone;
    const auto a = phone.hold("Porch");
    phone.hold("Porch");
    phone.hold("Porch");
    need(phone.phone().tagging.releaseCage("", {}));
    StoryPageModel story(phone.phone());
    story.read(phone.idOf(a));
    story.look(cell(story, 2, "line"));
    CHECK(story.actButterflies() == 3);
}

TEST_CASE("A doubt stands in the story in words", "[story]") {
    TestPhone phone;
    phone.hold("Porch");
    services::Tagging::Note twice;
    twice.code = "RKD 001";
    const auto noted = need(phone.phone().tagging.note(twice));
    StoryPageModel story(phone.phone());
    story.read(QString::fromStdString(noted.butterfly.text()));
    REQUIRE(story.rowCount() == 2);
    CHECK(kindAt(story, 1) == StoryPageModel::Doubt);
    CHECK(cell(story, 1, "words").contains("another butterfly"));
}

TEST_CASE("A note taken back leaves a story that is all taken back", "[story]") {
    TestPhone phone;
    const auto code = phone.note();
    const QString id = phone.idOf(code);
    StoryPageModel story(phone.phone());
    story.read(id);
    story.look(cell(story, 0, "line"));
    REQUIRE(story.takeBack());
    CHECK(story.rowCount() == 1);
    CHECK(cell(story, 0, "isGone") == "true");
    REQUIRE(story.bringAgain());
    CHECK(phone.fateOf(code) == "noted");
}

TEST_CASE("A picture of the tag stands in the story, and its bytes are shown only if they are one", "[story][camera]") {
    TestPhone phone;
    QImage picture(40, 30, QImage::Format_RGB32);
    picture.fill(Qt::red);
    const auto noteWith = [&](const std::string& bytes) {
        services::Tagging::Note note;
        note.read = services::CodeRead{987, bytes};
        return QString::fromStdString(need(phone.phone().tagging.note(note)).butterfly.text());
    };
    StoryPageModel story(phone.phone());
    const auto pictureAt = [&](int row) { return story.data(story.index(row), StoryPageModel::PictureRole).value<QImage>(); };
    story.read(noteWith(viewmodels::keptPicture(picture)));
    CHECK(pictureAt(0).size() == QSize(40, 30));
    CHECK(cell(story, 0, "hasPicture") == "true");
    CHECK(cell(story, 0, "words").contains("code read by the camera"));

    story.read(noteWith("no picture at all"));
    CHECK(pictureAt(0).isNull());
    CHECK(cell(story, 0, "words").contains("its picture is not here"));
}
