#include "phone.h"
#include "viewmodels/already_model.h"

#include "catch_compat.hpp"

using namespace discal;
using namespace discal::tests;
using viewmodels::AlreadyModel;

TEST_CASE("A code on a wing is read by our pads, with the letters of our sheets at hand", "[viewmodels][already]") {
    BarePhone phone;
    phone.receiveSheet();
    AlreadyModel already(phone.phone());
    already.begin();
    CHECK(already.ownLetters() == QStringList{"RKD"});
    CHECK(already.letters() == "RKD");
    already.setDigits("01");
    CHECK_FALSE(already.readings().contains("RKD 014"));
    already.setDigits("014");
    CHECK(already.code() == "RKD 014");
    REQUIRE(already.canConfirm());
    already.confirmCode();
    CHECK(already.isCodeDone());
    CHECK_FALSE(already.canWrite());
    already.setMarkIndex(1);
    already.setSexIndex(2);
    CHECK(already.canWrite());
    CHECK(already.mark() == "worn");
    CHECK(already.sex() == "unknown");
}

TEST_CASE("Leading zeros that may be missing are asked about", "[viewmodels][already]") {
    BarePhone phone;
    phone.receiveSheet();
    AlreadyModel already(phone.phone());
    already.begin();
    already.setDigits("14");
    CHECK_FALSE(already.canConfirm());
    CHECK(already.readings() == QStringList{"RKD 014"});
    already.choose("RKD 014");
    CHECK(already.isCodeDone());
    CHECK(already.code() == "RKD 014");
}

TEST_CASE("Half a code is kept as read, and none as none", "[viewmodels][already]") {
    BarePhone phone;
    phone.receiveSheet();
    AlreadyModel already(phone.phone());
    already.begin();
    already.setDigits("4");
    already.confirmAsFar();
    already.setMarkIndex(0);
    CHECK(already.mark() == "worn");
    CHECK(already.code() == "RKD 4");
    already.begin();
    already.confirmAsFar();
    CHECK(already.code().isEmpty());
    CHECK(already.mark().isEmpty());
    already.setMarkIndex(1);
    CHECK(already.mark() == "gone");
    already.backToCode();
    CHECK_FALSE(already.isCodeDone());
    CHECK(already.mark().isEmpty());
}

TEST_CASE("A known code brings its story at once: when, sex, fate, where, how far", "[viewmodels][already][camera]") {
    TestPhone phone;
    phone.hearFix(5000);
    phone.note("female");
    need(phone.phone().tagging.release(std::nullopt));
    phone.wait(std::chrono::hours(1));
    // A kilometre further north: a hundredth of a degree is 1,111 m there (GeographicLib's Geod: 1,110.99).
    phone.hearFix(5000);
    phone.receiver.fixes.front().latE7 += 100'000;
    AlreadyModel already(phone.phone());
    already.begin();
    viewmodels::TagReading reading;
    reading.code = need(tag::Code::fromText("RKD 001"));
    reading.text = "RKD 001";
    reading.isListed = true;
    reading.picture = QImage(8, 8, QImage::Format_RGB32);
    already.takeReading(reading);
    CHECK(already.isCodeDone());
    CHECK(already.code() == "RKD 001");
    CHECK_FALSE(already.picture().isNull());
    INFO(already.history().toStdString());
    CHECK(already.history().startsWith("noted 5 September 2026, female, let go, Ridge, meadow"));
    CHECK(already.history().endsWith("1.1 km from here"));
    already.setMarkIndex(0);
    CHECK(already.mark() == "readable");
    // Typed, it is the same story without a picture.
    already.begin();
    already.setDigits("001");
    CHECK(already.history().isEmpty());
    already.confirmCode();
    CHECK(already.history().contains("female"));
    CHECK_FALSE(already.isRead());
}

TEST_CASE("Somebody else's tag is kept as it was read, and belongs to no story", "[viewmodels][already][camera]") {
    BarePhone phone;
    phone.receiveSheet();
    AlreadyModel already(phone.phone());
    already.begin();
    viewmodels::TagReading reading;
    reading.code = need(tag::Code::fromText("ZQ 4417"));
    reading.text = "ZQ 4417";
    already.takeReading(reading);
    CHECK(already.code() == "ZQ 4417");
    CHECK(already.history().isEmpty());
    REQUIRE(already.reading());
    // A further look at the pads, and it is no longer what the camera read.
    already.backToCode();
    CHECK_FALSE(already.isRead());
    // Half a code
    reading.code.reset();
    reading.text = "ZQ 4";
    already.takeReading(reading);
    CHECK(already.code() == "ZQ 4");
    already.setMarkIndex(0);
    CHECK(already.mark() == "worn");
}

TEST_CASE("With our letters no more digits can be typed than our codes have", "[viewmodels][already]") {
    BarePhone phone;
    phone.receiveSheet();
    AlreadyModel already(phone.phone());
    already.begin();
    CHECK(already.mostDigits() == 3);
    already.setLetters("ZQ");
    CHECK(already.mostDigits() == 9);
}
