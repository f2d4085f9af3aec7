#include "phone.h"
#include "viewmodels/schemes_model.h"

#include "catch_compat.hpp"

#include <QAbstractItemModelTester>

using namespace discal;
using namespace discal::tests;
using viewmodels::SchemesModel;

TEST_CASE("Schemes are learnt from sheets, each with an example and its printed rows", "[viewmodels][schemes]") {
    BarePhone phone;
    SchemesModel schemes(phone.phone());
    QAbstractItemModelTester tester(&schemes, QAbstractItemModelTester::FailureReportingMode::Fatal);
    CHECK(schemes.rowCount() == 0);
    CHECK(schemes.summary().isEmpty());
    phone.receiveSheet("RKD 001", 25, 5);
    schemes.look();
    REQUIRE(schemes.rowCount() == 1);
    CHECK(schemes.summary() == "RKD 001");
    phone.receiveSheet("RKE 101", 50, 10);
    phone.receiveSheet("RKD 501", 25, 5);
    phone.receiveSheet("QB 0001", 10, 0);
    schemes.look();
    REQUIRE(schemes.rowCount() == 2);
    const int first = cell(schemes, 0, "example") == "RKD 001" ? 0 : 1;
    CHECK(cell(schemes, first, "shape").contains("3 letter"));
    CHECK(cell(schemes, first, "shape").contains("3 digit"));
    CHECK(cell(schemes, first, "paper").startsWith("3 sheet"));
    CHECK(cell(schemes, first, "paper").contains("5 or 10 tags in a printed row"));
    CHECK(cell(schemes, 1 - first, "example") == "QB 0001");
    CHECK(cell(schemes, 1 - first, "shape").contains("4 digit"));
    CHECK_FALSE(cell(schemes, 1 - first, "paper").contains("row"));
}

TEST_CASE("Letters that never occur are said of a scheme", "[viewmodels][schemes]") {
    BarePhone phone;
    need(phone.phone().stock.receive({"RKD 001", 25, "AAA000-IO", 5}));
    SchemesModel schemes(phone.phone());
    schemes.look();
    REQUIRE(schemes.rowCount() == 1);
    CHECK(cell(schemes, 0, "shape").contains("never I or O"));
}
