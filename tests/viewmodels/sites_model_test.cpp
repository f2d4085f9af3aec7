#include "phone.h"
#include "viewmodels/sites_model.h"

#include "catch_compat.hpp"

#include <QAbstractItemModelTester>

using namespace discal;
using namespace discal::tests;
using viewmodels::SitesModel;

namespace {

boost::json::object membersOf(BarePhone& phone, const std::string& name) {
    const auto id = need(phone.phone().station.findSite(name));
    REQUIRE(id);
    return need(phone.phone().projections().record(journal::RecordType::Site, id->text()))->members;
}

} // namespace

TEST_CASE("A typed position takes comma and point, signs and letters", "[viewmodels][sites]") {
    BarePhone phone;
    SitesModel sites(phone.phone());
    QAbstractItemModelTester tester(&sites, QAbstractItemModelTester::FailureReportingMode::Fatal);
    sites.setProperty("name", "Ridge meadow");
    sites.setProperty("way", 1);
    sites.setProperty("latitude", "43,5571");
    sites.setProperty("longitude", "90.8893 W");
    CHECK_FALSE(sites.canAdd());
    sites.setProperty("within", "50");
    sites.setProperty("radius", "150");
    sites.setProperty("leave", 0);
    REQUIRE(sites.canAdd());
    REQUIRE(sites.add());
    const auto members = membersOf(phone, "Ridge meadow");
    const auto* position = journal::objectIn(members, "position");
    REQUIRE(position);
    CHECK(journal::numberIn(*position, "lat_e7") == 435'571'000);
    CHECK(journal::numberIn(*position, "lon_e7") == -908'893'000);
    CHECK(journal::numberIn(*position, "uncertainty_mm") == 50'000);
    CHECK(journal::textIn(*position, "origin") == "typed");
    CHECK(journal::numberIn(members, "radius_mm") == 150'000);
    CHECK(journal::claimIn(members, "leave") == true);
    CHECK(sites.currentName() == "Ridge meadow");
    CHECK(sites.rowCount() == 1);
    CHECK(sites.property("name").toString().isEmpty());
}

// 43 33.426 minutes are 43 + 33.426 / 60 = 43.5571 degrees, 53 minutes 20.04 seconds 0.8889.
TEST_CASE("A position may be typed in degrees or in degrees and minutes", "[viewmodels][sites]") {
    BarePhone phone;
    SitesModel sites(phone.phone());
    sites.setProperty("way", 1);
    sites.setProperty("within", "50");
    int site = 0;
    for (const auto& [lat, lon] : {std::pair{"43.5571", "-90.8889"},
                                   {"43,5571", "-90,8889"},
                                   {"43 33.426", "-90 53.334"},
                                   {"43\u00B0 33,426' N", "90\u00B0 53,334' W"},
                                   {"n 43 33 25.56", "w 90 53 20.04"},
                                   {"43.5571, -90.8889", ""},
                                   {"W 90 53.334 N 43 33.426", ""}}) {
        INFO(lat << " and " << lon);
        const QString name = QString("Meadow %1").arg(++site);
        sites.setProperty("name", name);
        sites.setProperty("way", 1);
        sites.setProperty("within", "50");
        sites.setProperty("latitude", QString::fromUtf8(lat));
        sites.setProperty("longitude", QString::fromUtf8(lon));
        REQUIRE(sites.canAdd());
        CHECK_FALSE(sites.canSwap());
        REQUIRE(sites.add());
        const auto members = membersOf(phone, name.toStdString());
        const auto* position = journal::objectIn(members, "position");
        REQUIRE(position);
        CHECK(journal::numberIn(*position, "lat_e7") == 435'571'000);
        CHECK(journal::numberIn(*position, "lon_e7") == -908'889'000);
    }
    // Refused with the legal form.
    sites.setProperty("way", 1);
    sites.setProperty("latitude", "43.5.5");
    sites.setProperty("longitude", "-90.8889");
    CHECK(sites.advice().contains("43.5571"));
    sites.setProperty("latitude", "43.5571");
    sites.setProperty("longitude", "90 61 W");
    CHECK(sites.advice().contains("53.334"));
    CHECK_FALSE(sites.canAdd());
}

TEST_CASE("Latitude and longitude that were typed the other way round are noticed", "[viewmodels][sites]") {
    BarePhone phone;
    SitesModel sites(phone.phone());
    const auto type = [&sites](const char* lat, const char* lon) {
        sites.setProperty("name", "Ridge meadow");
        sites.setProperty("way", 1);
        sites.setProperty("within", "50");
        sites.setProperty("latitude", lat);
        sites.setProperty("longitude", lon);
    };
    // By their letters, or since one is no latitude: refused.
    for (const auto& [lat, lon] : {std::pair{"90.8889 W", "43.5571 N"}, {"-120.5", "44.25"}}) {
        type(lat, lon);
        INFO(lat << " and " << lon);
        CHECK_FALSE(sites.canAdd());
        REQUIRE(sites.canSwap());
        CHECK(sites.advice().contains("other way round"));
        sites.swap();
        CHECK_FALSE(sites.canSwap());
        CHECK(sites.canAdd());
    }
    // Legal both ways: nobody knows before we have worked anywhere.
    type("-89.8889", "43.5571");
    CHECK(sites.canAdd());
    CHECK_FALSE(sites.canSwap());
    // From where we are it is noticed, and may still be meant.
    phone.hearFix(3000);
    sites.lookAgain();
    CHECK(sites.canSwap());
    CHECK(sites.canAdd());
    CHECK(sites.advice().contains("swapped"));
    sites.swap();
    CHECK_FALSE(sites.canSwap());
    CHECK(sites.property("latitude").toString() == "43.5571");
    REQUIRE(sites.add());
    // And by a site, where the receiver says nothing.
    BarePhone other;
    SitesModel byTheSite(other.phone());
    place::Position meadow;
    meadow.latE7 = 435'571'000;
    meadow.lonE7 = -908'889'000;
    meadow.uncertaintyMm = 15'000;
    meadow.origin = place::Position::Origin::Site;
    need(other.phone().done(other.phone().station.site({"Ridge meadow", meadow, 0, {}})));
    byTheSite.setProperty("name", "Creek bottom");
    byTheSite.setProperty("way", 1);
    byTheSite.setProperty("within", "50");
    byTheSite.setProperty("latitude", "-89.8889");
    byTheSite.setProperty("longitude", "43.5571");
    CHECK(byTheSite.canSwap());
}

TEST_CASE("The landowner of a site that is here already may be asked later, and again", "[viewmodels][sites]") {
    TestPhone phone;
    need(phone.phone().station.site({"Creek bottom", {}, 0, {}}));
    SitesModel sites(phone.phone());
    QAbstractItemModelTester tester(&sites, QAbstractItemModelTester::FailureReportingMode::Fatal);
    REQUIRE(sites.rowCount() == 2);
    CHECK(cell(sites, 1, "leaveSaid") == "-1");
    CHECK(cell(sites, 1, "about").contains("not asked"));
    const auto before = membersOf(phone, "Ridge, meadow");
    REQUIRE(sites.setLeave(cell(sites, 1, "site"), 0));
    CHECK(cell(sites, 1, "leaveSaid") == "0");
    CHECK(cell(sites, 1, "about").contains("given"));
    CHECK(cell(sites, 0, "leaveSaid") == "-1");
    CHECK(sites.leaves().contains("1 of 2"));
    REQUIRE(sites.setLeave(cell(sites, 1, "site"), 1));
    CHECK(cell(sites, 1, "leaveSaid") == "1");
    CHECK(sites.leaves().contains("0 of 2"));
    const auto head = phone.phone().journal().head().seq;
    REQUIRE(sites.setLeave(cell(sites, 1, "site"), 1));
    CHECK(phone.phone().journal().head().seq == head);
    // All else that is known of the site stands.
    auto after = membersOf(phone, "Ridge, meadow");
    CHECK(journal::claimIn(after, "leave") == false);
    after.erase("leave");
    CHECK(after == before);
    CHECK_FALSE(sites.setLeave("nowhere", 0));
}

TEST_CASE("What is no place is said at the field", "[viewmodels][sites]") {
    BarePhone phone;
    SitesModel sites(phone.phone());
    sites.setProperty("name", "Nowhere");
    sites.setProperty("way", 1);
    sites.setProperty("within", "50");
    for (const auto& [lat, lon] :
         {std::pair{"91", "0"}, {"0", "181"}, {"north", "0"}, {"43.5.5", "0"}, {"nan", "0"}, {"", ""}}) {
        sites.setProperty("latitude", lat);
        sites.setProperty("longitude", lon);
        INFO(lat << " " << lon);
        CHECK_FALSE(sites.canAdd());
        CHECK_FALSE(sites.advice().isEmpty());
    }
    sites.setProperty("latitude", "-90");
    sites.setProperty("longitude", "180");
    CHECK(sites.canAdd());
    sites.setProperty("within", "0");
    CHECK_FALSE(sites.canAdd());
}

TEST_CASE("A site may be where we stand, or be known by its name only", "[viewmodels][sites]") {
    BarePhone phone;
    SitesModel sites(phone.phone());
    sites.setProperty("name", "Creek bottom");
    sites.setProperty("way", 0);
    CHECK_FALSE(sites.canAdd());
    phone.hearFix(3000);
    sites.lookAgain();
    REQUIRE(sites.canAdd());
    REQUIRE(sites.add());
    CHECK(journal::objectIn(membersOf(phone, "Creek bottom"), "position"));
    sites.setProperty("name", "Oak savanna");
    sites.setProperty("way", 2);
    sites.setProperty("leave", 1);
    REQUIRE(sites.add());
    CHECK_FALSE(journal::objectIn(membersOf(phone, "Oak savanna"), "position"));
    CHECK(journal::claimIn(membersOf(phone, "Oak savanna"), "leave") == false);
    sites.pick("");
    CHECK(sites.currentName().isEmpty());
}
