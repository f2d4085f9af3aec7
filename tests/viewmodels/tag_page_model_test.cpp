#include "phone.h"
#include "viewmodels/tag_page_model.h"

#include "catch_compat.hpp"

using namespace discal;
using namespace discal::tests;
using namespace std::chrono_literals;
using viewmodels::TagPageModel;

namespace {

QString nextOf(const TagPageModel& tag) { return tag.letters() + QLatin1Char(' ') + tag.digits(); }

/// One butterfly noted and let go, the way that somebody taps it.
void tagOne(TestPhone& phone, TagPageModel& tag) {
    phone.wait(1s);
    if (tag.stage() == TagPageModel::Check)
        tag.answer(nextOf(tag));
    phone.wait(1s);
    tag.note(QStringLiteral("male"));
    phone.wait(1s);
    tag.letGo();
    phone.wait(1s);
}

} // namespace

// 25 November 2026: a code typed on the digits page that this phone did not offer was dropped without a word.
TEST_CASE("A code that is on no sheet of ours is next once she has read it, and is kept with a doubt", "[tag]") {
    TestPhone phone;
    TagPageModel tag(phone.phone());
    tagOne(phone, tag);
    CHECK(tag.pick(QStringLiteral("QZX 417")));
    CHECK(nextOf(tag) == QLatin1String("QZX 417"));
    REQUIRE(tag.stage() == TagPageModel::Ready);
    phone.wait(1s);
    tag.note(QStringLiteral("female"));
    REQUIRE(tag.stage() == TagPageModel::InHand);
    CHECK(tag.handDigits() == QLatin1String("417"));
    CHECK_FALSE(tag.handDoubt().isEmpty());
    phone.wait(1s);
    tag.letGo();
    CHECK(tag.letters() == QLatin1String("RKD"));
}

// 25 November 2026: before any session was open the question came back after each right answer.
TEST_CASE("The page asks what the tag says at the first butterfly and at every fifth after it", "[tag]") {
    TestPhone phone;
    TagPageModel tag(phone.phone());
    CHECK(tag.stage() == TagPageModel::Check);
    CHECK(tag.choices().size() == 3);
    CHECK(tag.choices().contains(nextOf(tag)));
    for (int i = 0; i < 4; ++i) {
        tagOne(phone, tag);
        CHECK(tag.stage() == TagPageModel::Ready);
    }
    tagOne(phone, tag);
    CHECK(tag.stage() == TagPageModel::Check);
}

TEST_CASE("Paper and offer that differ twice mark the butterflies since they last agreed", "[tag]") {
    TestPhone phone;
    TagPageModel tag(phone.phone());
    for (int i = 0; i < 5; ++i)
        tagOne(phone, tag);
    REQUIRE(tag.stage() == TagPageModel::Check);
    REQUIRE(nextOf(tag) == QLatin1String("RKD 006"));
    tag.answer(QStringLiteral("RKD 007"));
    CHECK(tag.stage() == TagPageModel::Check);
    CHECK(tag.isAskedAgain());
    CHECK(phone.phone().projections().doubts()->empty());
    phone.wait(1s);
    tag.answer(QStringLiteral("RKD 007"));
    CHECK(tag.stage() == TagPageModel::Ready);
    CHECK(nextOf(tag) == QLatin1String("RKD 007"));
    CHECK(phone.phone().projections().doubts()->size() == 5);
}

TEST_CASE("A position that is lost for minutes, or not allowed, is told apart from one that is not there yet", "[tag]") {
    TestPhone phone;
    viewmodels::TagPageModel tag(phone.phone());
    CHECK(tag.placeText() == "no position: by the site");
    place::Fix fix;
    fix.upMs = phone.clock.now().upMs;
    fix.utc = phone.clock.trueTime();
    fix.latE7 = 435'571'000;
    fix.lonE7 = -908'893'000;
    fix.accuracyMm = 3'000;
    phone.receiver.fixes.push_back(fix);
    tag.refreshStatus();
    CHECK(tag.placeText().startsWith("±"));
    CHECK_FALSE(tag.isPlaceWeak());
    phone.wait(std::chrono::minutes(4) + std::chrono::seconds(30));
    tag.refreshStatus();
    CHECK(tag.placeText() == "no position for 4 min: by the site");
    CHECK(tag.isPlaceWeak());
    phone.phone().carryOver([](auto& persisting) { persisting.site.clear(); });
    CHECK(tag.placeText() == "no position for 4 min: choose a site");
    phone.phone().setPositionRefused(true);
    CHECK(tag.placeText() == "position not allowed: choose a site");
    // What the receiver says counts, also where it was refused before.
    fix.upMs = phone.clock.now().upMs;
    phone.receiver.fixes.push_back(fix);
    tag.refreshStatus();
    CHECK(tag.placeText().startsWith("±"));
}

TEST_CASE("After three hours site, origin and hand are asked about again, and one tap keeps them", "[tag]") {
    TestPhone phone;
    TagPageModel tag(phone.phone());
    tag.setReared(false);
    tagOne(phone, tag);
    REQUIRE(tag.stage() == TagPageModel::Ready);
    phone.wait(2h + 59min - 10s);
    tag.refreshStatus();
    CHECK(tag.stage() == TagPageModel::Check);
    phone.wait(2min);
    tag.refreshStatus();
    REQUIRE(tag.stage() == TagPageModel::Still);
    CHECK(tag.stillWhy() == "That was said 3 hour(s) ago.");
    CHECK(tag.stillWhat().toStdString() == "Ridge, meadow, wild, MH");
    CHECK(tag.siteHere().isEmpty());
    tag.note(QStringLiteral("male"));
    CHECK(tag.stage() == TagPageModel::Still);
    phone.wait(1s);
    tag.still();
    CHECK(tag.stage() == TagPageModel::Check);
    tagOne(phone, tag);
    CHECK(tag.stage() == TagPageModel::Ready);
    // Saying any of it anew is an answer too.
    phone.wait(3h);
    tag.refreshStatus();
    REQUIRE(tag.stage() == TagPageModel::Still);
    tag.setReared(true);
    CHECK(tag.stage() == TagPageModel::Check);
}

TEST_CASE("The hours count on while the program is not running", "[tag]") {
    TestPhone phone;
    {
        TagPageModel tag(phone.phone());
        tag.setReared(false);
        tagOne(phone, tag);
    }
    phone.wait(4h);
    phone.restart();
    phone.phone().stock.lookAgain();
    TagPageModel tag(phone.phone());
    CHECK(tag.stage() == TagPageModel::Still);
}

TEST_CASE("At another site the page asks where we are, and offers the site that we stand at", "[tag]") {
    TestPhone phone;
    place::Position creek;
    creek.latE7 = 435'610'000; // 440 m to the north
    creek.lonE7 = -908'890'000;
    creek.uncertaintyMm = 15'000;
    creek.origin = place::Position::Origin::Site;
    const auto other = need(phone.phone().station.site({"Creek bottom", creek, 100'000}));
    TagPageModel tag(phone.phone());
    phone.hearFix(3000);
    tagOne(phone, tag);
    phone.hearFix(3000);
    tag.refreshStatus();
    CHECK(tag.stage() == TagPageModel::Ready);

    const auto stand = [&](std::int32_t latE7) {
        phone.receiver.fixes = {{phone.clock.trueTime(), phone.clock.now().upMs, latE7, -908'890'000, 3000}};
        tag.refreshStatus();
    };
    stand(435'612'000);
    REQUIRE(tag.stage() == TagPageModel::Still);
    CHECK(tag.stillWhy().contains("from Ridge, meadow"));
    CHECK(tag.siteHere() == "Creek bottom");
    phone.wait(1s);
    stand(435'612'000);
    SECTION("she is there") {
        tag.moveHere();
        CHECK(tag.siteName() == "Creek bottom");
        CHECK(phone.phone().session.persisting().site == other.id.text());
        CHECK(tag.stage() == TagPageModel::Ready);
    }
    SECTION("she says that it is still the meadow: asked once") {
        tag.still();
        CHECK(tag.stage() == TagPageModel::Ready);
        stand(435'611'000);
        CHECK(tag.stage() == TagPageModel::Ready);
        // Back and away again it is another walk.
        stand(435'571'000);
        CHECK(tag.stage() == TagPageModel::Ready);
        stand(435'612'000);
        CHECK(tag.stage() == TagPageModel::Still);
    }
    SECTION("she walks back: nothing is asked") {
        stand(435'571'000);
        CHECK(tag.stage() == TagPageModel::Ready);
    }
    SECTION("an old position says nothing") {
        stand(435'571'000);
        phone.receiver.fixes = {{phone.clock.trueTime(), phone.clock.now().upMs - 11'000, 435'612'000, -908'890'000, 3000}};
        tag.refreshStatus();
        CHECK(tag.stage() == TagPageModel::Ready);
    }
}

TEST_CASE("One tap a butterfly: after two minutes the next is offered, and closes the one before", "[tag]") {
    TestPhone phone;
    TagPageModel tag(phone.phone());
    tagOne(phone, tag);
    phone.wait(1s);
    tag.note(QStringLiteral("male"));
    const std::string first = (tag.handLetters() + QLatin1Char(' ') + tag.handDigits()).toStdString();
    phone.wait(1min + 59s);
    tag.refreshStatus();
    CHECK(tag.stage() == TagPageModel::InHand);
    phone.wait(1s);
    tag.refreshStatus();
    REQUIRE(tag.stage() == TagPageModel::Ready);
    CHECK(tag.isLastOpen());
    CHECK(tag.lastText().contains("in hand"));
    SECTION("the next butterfly") {
        phone.wait(1s);
        tag.note(QStringLiteral("female"));
        REQUIRE(tag.stage() == TagPageModel::InHand);
        CHECK(phone.fateOf(first) == "released");
        CHECK(phone.find(first).isInferred);
        CHECK_FALSE(tag.isLastOpen());
    }
    SECTION("she answers herself after all") {
        phone.wait(1s);
        tag.takeUp();
        REQUIRE(tag.stage() == TagPageModel::InHand);
        CHECK((tag.handLetters() + QLatin1Char(' ') + tag.handDigits()).toStdString() == first);
        phone.wait(1min);
        tag.refreshStatus();
        REQUIRE(tag.stage() == TagPageModel::InHand);
        tag.intoCage();
        CHECK(phone.fateOf(first) == "held");
    }
    SECTION("the program is killed: it is in the hand again") {
        phone.phone().stock.lookAgain();
        TagPageModel again(phone.phone());
        CHECK(again.stage() == TagPageModel::InHand);
    }
}

TEST_CASE("Wild or reared is asked before the first butterfly, and carries over from then on", "[tag]") {
    TestPhone phone;
    phone.phone().carryOver([](auto& persisting) { persisting.origin.clear(); });
    TagPageModel tag(phone.phone());
    REQUIRE(tag.stage() == TagPageModel::Origin);
    phone.wait(1s);
    tag.note(QStringLiteral("male"));
    CHECK(tag.stage() == TagPageModel::Origin);
    tag.setReared(true);
    CHECK(tag.stage() == TagPageModel::Check);
    tagOne(phone, tag);
    CHECK(phone.find("RKD 001").origin == "reared");
    tag.setReared(false);
    tagOne(phone, tag);
    CHECK(phone.find("RKD 002").origin == "wild");
}

namespace {

viewmodels::TagReading readingOf(const std::string& text, bool isListed = true) {
    viewmodels::TagReading reading;
    if (const auto code = tag::Code::fromText(text))
        reading.code = *code;
    reading.text = QString::fromStdString(text);
    reading.isListed = isListed;
    reading.perMille = 987;
    reading.picture = QImage(8, 8, QImage::Format_RGB32);
    reading.kept = "picture";
    return reading;
}

/// The body of the line that noted it.
boost::json::object noteOf(TestPhone& phone, const std::string& code) {
    const auto id = journal::Uuid::parse(phone.find(code).noteLine);
    return need(phone.phone().projections().linesWithId(id.value())).front().line->body;
}

} // namespace

TEST_CASE("A reading of the tag that is offered is a look at the paper, and goes into the line", "[tag][camera]") {
    TestPhone phone;
    TagPageModel tag(phone.phone());
    REQUIRE(tag.stage() == TagPageModel::Check);
    tag.takeReading(readingOf("RKD 001"));
    CHECK(tag.stage() == TagPageModel::Read);
    CHECK(tag.readKind() == TagPageModel::Agrees);
    tag.note(QStringLiteral("male"));  // not before it is kept
    CHECK(tag.stage() == TagPageModel::Read);
    tag.keepReading();
    REQUIRE(tag.stage() == TagPageModel::Ready);
    CHECK(tag.isNextRead());
    CHECK_FALSE(tag.nextPicture().isNull());
    tag.note(QStringLiteral("male"));
    const auto body = noteOf(phone, "RKD 001");
    CHECK(journal::numberIn(body, "read_per_mille") == 987);
    CHECK(phone.phone().keptText(body, "picture") == "picture");
    // The next one was not read.
    phone.wait(1s);
    tag.letGo();
    CHECK_FALSE(tag.isNextRead());
    phone.wait(1s);
    tag.note(QStringLiteral("male"));
    CHECK_FALSE(noteOf(phone, "RKD 002").contains("read_per_mille"));
}

TEST_CASE("A reading that is rejected leaves the offer, unlooked at", "[tag][camera]") {
    TestPhone phone;
    TagPageModel tag(phone.phone());
    tag.takeReading(readingOf("RKD 001"));
    tag.rejectReading();
    CHECK(tag.stage() == TagPageModel::Check);
    CHECK_FALSE(tag.isNextRead());
    CHECK(nextOf(tag) == QLatin1String("RKD 001"));
}

TEST_CASE("Offer and reading that differ stand side by side, and neither wins by itself", "[tag][camera]") {
    TestPhone phone;
    TagPageModel tag(phone.phone());
    for (int i = 0; i < 3; ++i)
        tagOne(phone, tag);
    REQUIRE(nextOf(tag) == QLatin1String("RKD 004"));
    tag.takeReading(readingOf("RKD 006"));
    CHECK(tag.readKind() == TagPageModel::Differs);
    CHECK(nextOf(tag) == QLatin1String("RKD 004"));
    CHECK(phone.phone().projections().doubts()->empty());
    SECTION("the tag says what was offered") {
        tag.keepOffered();
        CHECK(tag.stage() == TagPageModel::Ready);
        CHECK(nextOf(tag) == QLatin1String("RKD 004"));
        CHECK_FALSE(tag.isNextRead());
        CHECK(phone.phone().projections().doubts()->empty());
    }
    SECTION("the tag says what was read: those since the last look may carry other codes") {
        tag.keepReading();
        CHECK(tag.stage() == TagPageModel::Ready);
        CHECK(nextOf(tag) == QLatin1String("RKD 006"));
        CHECK(tag.isNextRead());
        CHECK(phone.phone().projections().doubts()->size() == 3);
        // Another one picked by hand is not from the camera.
        tag.pick(QStringLiteral("RKD 009"));
        CHECK_FALSE(tag.isNextRead());
        tag.note(QStringLiteral("male"));
        CHECK_FALSE(noteOf(phone, "RKD 009").contains("read_per_mille"));
    }
}

TEST_CASE("A tag that is used, or on no sheet, is told as such and kept only by a tap", "[tag][camera]") {
    TestPhone phone;
    TagPageModel tag(phone.phone());
    tagOne(phone, tag);
    tag.takeReading(readingOf("RKD 001"));
    CHECK(tag.readKind() == TagPageModel::Used);
    CHECK(tag.readWhy().contains("on a butterfly already"));
    tag.takeReading(readingOf("ZQM 417", false));
    CHECK(tag.readKind() == TagPageModel::Unlisted);
    CHECK(tag.canKeepRead());
    CHECK(nextOf(tag) == QLatin1String("RKD 002"));
    tag.keepReading();
    CHECK(nextOf(tag) == QLatin1String("ZQM 417"));
    tag.note(QStringLiteral("male"));
    CHECK_FALSE(tag.handDoubt().isEmpty());
    // What has not the form of a code is shown, and can't be kept.
    phone.wait(1s);
    tag.letGo();
    tag.takeReading(readingOf("ZQM 4?7", false));
    CHECK(tag.readKind() == TagPageModel::Unlisted);
    CHECK(tag.readCode() == "ZQM 4?7");
    CHECK_FALSE(tag.canKeepRead());
    tag.keepReading();
    CHECK(tag.stage() == TagPageModel::Read);
}

TEST_CASE("A recapture is written with its reading while the code is still that one", "[tag][camera]") {
    TestPhone phone;
    TagPageModel tag(phone.phone());
    tagOne(phone, tag);
    const auto lastOf = [&](const std::string& code) {
        const auto lines = need(phone.phone().projections().linesOfSubject(phone.find(code).id.text()));
        return lines.back().line->body;
    };
    tag.setRecaptureReading(readingOf("RKD 001"));
    REQUIRE(tag.recapture("RKD 001", "readable", "male"));
    CHECK(journal::numberIn(lastOf("RKD 001"), "read_per_mille") == 987);
    // Said once; and of another code nothing.
    REQUIRE(tag.recapture("RKD 001", "readable", "male"));
    CHECK_FALSE(lastOf("RKD 001").contains("read_per_mille"));
    tag.setRecaptureReading(readingOf("RKD 002"));
    REQUIRE(tag.recapture("RKD 001", "readable", "male"));
    CHECK_FALSE(lastOf("RKD 001").contains("read_per_mille"));
}
