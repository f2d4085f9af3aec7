#include "phone.h"
#include "services/system/own_gazetteer.h"
#include "viewmodels/sites_model.h"
#include "viewmodels/towns_model.h"

#include "catch_compat.hpp"

#include <QAbstractItemModelTester>

using namespace discal;
using namespace discal::tests;
using viewmodels::SitesModel;
using viewmodels::TownsModel;

namespace {

struct TownPhone {
    services::OpenGazetteer places{need(services::openGazetteer(need(services::ownGazetteer())))};
    TestPhone phone;
    TownsModel towns{phone.phone()};
    QAbstractItemModelTester tester{&towns, QAbstractItemModelTester::FailureReportingMode::Fatal};

    TownPhone() { phone.phone().session.placeWords().setNames(&places.names); }
};

} // namespace

TEST_CASE("A town is found by its first letters, the near and large ones first", "[viewmodels][towns]") {
    TownPhone at;
    at.towns.setProperty("typed", "la c");
    REQUIRE(at.towns.rowCount() > 1);
    CHECK(cell(at.towns, 0, "name") == "La Crosse");
    CHECK(cell(at.towns, 0, "where") == "La Crosse County, Wisconsin");
    // From the site in use; 43.80, -91.24 by GeoNames: 40 km
    CHECK(cell(at.towns, 0, "away").endsWith(" km"));
    CHECK(at.towns.rowCount() <= static_cast<int>(TownsModel::kMost));
    CHECK(at.towns.advice().isEmpty());
    at.towns.setProperty("typed", "xyzzy");
    CHECK(at.towns.rowCount() == 0);
    CHECK_FALSE(at.towns.advice().isEmpty());
    at.towns.begin();
    CHECK(at.towns.rowCount() == 0);
    CHECK(at.towns.advice().isEmpty());
    CHECK(at.towns.placeOf(0).isEmpty());
    CHECK(at.towns.nameOf(-1).isEmpty());
}

TEST_CASE("A town that is chosen answers for the place, as widely as it is", "[viewmodels][towns]") {
    TownPhone at;
    SitesModel sites(at.phone.phone());
    at.towns.setProperty("typed", "viroqua");
    REQUIRE(at.towns.rowCount() > 0);
    REQUIRE(sites.addTown(at.towns.placeOf(0), at.towns.nameOf(0)));
    CHECK(sites.currentName() == "Viroqua");
    const auto id = need(at.phone.phone().station.findSite("Viroqua"));
    REQUIRE(id);
    const auto members = need(at.phone.phone().projections().record(journal::RecordType::Site, id->text()))->members;
    const auto* position = journal::objectIn(members, "position");
    REQUIRE(position);
    // 4,504 people in 2020 (from memory) at 1,000 a square kilometre: 1.2 km; coordinates in steps of 0.0001 degree, of
    // which the whole step counts (Chapman and Wieczorek 2020): 14 m.
    const double metres = static_cast<double>(journal::numberIn(*position, "uncertainty_mm").value_or(0)) / 1000;
    CHECK(metres > 1000 + 13);
    CHECK(metres < 1400);
    CHECK(journal::numberIn(*position, "lat_e7").value_or(0) == Approx(435'570'000).margin(100'000));
    // Chosen once more it is the same site.
    const auto head = at.phone.phone().journal().head().seq;
    sites.pick("");
    REQUIRE(sites.addTown(at.towns.placeOf(0), at.towns.nameOf(0)));
    CHECK(sites.currentName() == "Viroqua");
    CHECK(at.phone.phone().journal().head().seq == head);
    CHECK_FALSE(sites.addTown({}, "Nowhere"));
    CHECK_FALSE(sites.addTown({910'000'000, 0, 1000}, "Nowhere"));
}

TEST_CASE("A town of the same name elsewhere is a site of its own", "[viewmodels][towns]") {
    TownPhone at;
    SitesModel sites(at.phone.phone());
    // Springfield in Illinois and in Missouri, by GeoNames to a hundredth of a degree
    REQUIRE(sites.addTown({398'000'000, -896'400'000, 6'000'000}, "Springfield"));
    CHECK(sites.currentName() == "Springfield");
    REQUIRE(sites.addTown({372'200'000, -932'900'000, 7'000'000}, "Springfield"));
    CHECK(sites.currentName() == "Springfield, Missouri");
    REQUIRE(sites.addTown({398'000'000, -896'400'000, 6'000'000}, "Springfield"));
    CHECK(sites.currentName() == "Springfield");
    const auto rows = sites.rowCount();
    REQUIRE(sites.addTown({372'200'000, -932'900'000, 7'000'000}, "Springfield"));
    CHECK(sites.rowCount() == rows);
}

TEST_CASE("A new site takes its place from the map or a town, and keeps what was typed", "[viewmodels][sites]") {
    TownPhone at;
    SitesModel sites(at.phone.phone());
    sites.begin();
    sites.setProperty("name", "Oak savanna");
    sites.setProperty("leave", 0);
    sites.beginElsewhere();
    sites.takePlace({435'600'000, -908'900'000, 46'500}, "Viroqua", 3);
    // The page of the new site opens anew.
    sites.begin();
    CHECK(sites.property("name").toString() == "Oak savanna");
    CHECK(sites.understood().contains("47"));
    REQUIRE(sites.canAdd());
    REQUIRE(sites.add());
    const auto id = need(at.phone.phone().station.findSite("Oak savanna"));
    const auto members = need(at.phone.phone().projections().record(journal::RecordType::Site, id->text()))->members;
    const auto* position = journal::objectIn(members, "position");
    REQUIRE(position);
    CHECK(journal::numberIn(*position, "uncertainty_mm") == 46'500);
    CHECK(journal::textIn(*position, "origin") == "typed");
    // Opened for another site nothing is left of it.
    sites.begin();
    CHECK(sites.property("placed").toList().isEmpty());
    CHECK(sites.property("name").toString().isEmpty());
    CHECK_FALSE(sites.canAdd());
    sites.takePlace({435'600'000, -908'900'000, 46'500}, "Viroqua", 4);
    CHECK(sites.property("name").toString() == "Viroqua");
    sites.takePlace({}, "", 3);
    CHECK_FALSE(sites.canAdd());
}
