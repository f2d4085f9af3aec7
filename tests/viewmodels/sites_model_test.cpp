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
