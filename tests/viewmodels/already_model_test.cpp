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
