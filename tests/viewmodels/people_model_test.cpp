#include "phone.h"
#include "viewmodels/people_model.h"

#include "catch_compat.hpp"

#include <QAbstractItemModelTester>

using namespace discal;
using namespace discal::tests;
using namespace std::chrono_literals;
using viewmodels::PeopleModel;

TEST_CASE("Initials are added once and picked; who writes is apart from who tags", "[viewmodels][people]") {
    BarePhone phone;
    PeopleModel people(phone.phone());
    QAbstractItemModelTester tester(&people, QAbstractItemModelTester::FailureReportingMode::Fatal);
    CHECK(people.rowCount() == 0);
    people.setProperty("initials", " mh ");
    REQUIRE(people.addAsRecorder());
    people.setProperty("initials", "JT");
    REQUIRE(people.addAsTagger());
    people.setProperty("initials", "MH");
    REQUIRE(people.addAsTagger());
    people.begin();
    CHECK(people.rowCount() == 2);
    CHECK(people.recorder() == "MH");
    CHECK(people.tagger() == "MH");
    CHECK(people.data(people.index(0), PeopleModel::NameRole) == "JT");
    people.pickTagger(people.data(people.index(0), PeopleModel::IdRole).toString());
    CHECK(people.tagger() == "JT");
    CHECK(people.recorder() == "MH");
    people.setProperty("initials", "Margaret Hale");
    CHECK_FALSE(people.canAdd());
    CHECK_FALSE(people.addAsTagger());
}

TEST_CASE("Visitors are numbered by the day", "[viewmodels][people]") {
    BarePhone phone;
    PeopleModel people(phone.phone());
    REQUIRE(people.nextVisitor());
    REQUIRE(people.nextVisitor());
    people.begin();
    CHECK(people.rowCount() == 2);
    CHECK(people.tagger().contains("2"));
    phone.wait(24h);
    REQUIRE(people.nextVisitor());
    people.begin();
    CHECK(people.rowCount() == 1);
    CHECK(people.tagger().contains("1"));
}
