#include "phone.h"
#include "services/system/own_gazetteer.h"
#include "viewmodels/boundaries_model.h"

#include "catch_compat.hpp"

#include <QAbstractItemModelTester>
#include <QUrl>
#include <fstream>

using namespace discal;
using namespace discal::tests;
using viewmodels::BoundariesModel;

namespace {

constexpr const char* kSquare =
    R"({"type":"Feature","properties":{"name":"Essex"},"geometry":{"type":"Polygon",
        "coordinates":[[[-84,42],[-82,42],[-82,43],[-84,43],[-84,42]]]}})";

std::filesystem::path written(const std::filesystem::path& path, const std::string& features) {
    std::filesystem::create_directories(path.parent_path());
    std::ofstream(path) << R"({"type":"FeatureCollection","features":[)" << features << "]}";
    return path;
}

QString qpath(const std::filesystem::path& path) { return QString::fromStdString(path.string()); }

} // namespace

TEST_CASE("A file of boundaries is taken in, shown, there after a restart, and removed", "[viewmodels][boundaries]") {
    BarePhone phone;
    const auto folder = phone.folder() / "Documents" / "Discal";
    const auto file = written(folder / "canada.geojson", std::string(kSquare) + "," + kSquare);
    {
        BoundariesModel model(phone.phone(), qpath(folder));
        QAbstractItemModelTester tester(&model, QAbstractItemModelTester::FailureReportingMode::Fatal);
        model.load();
        model.begin();
        CHECK(model.rowCount() == 0);
        CHECK(model.summary() == "none");
        CHECK(model.folderName() == "Documents / Discal");
        REQUIRE(model.found() == QStringList{"canada.geojson"});
        CHECK_FALSE(model.canTake());
        model.takeFound("canada.geojson");
        REQUIRE(model.rowCount() == 1);
        CHECK(cell(model, 0, "name") == "canada.geojson");
        CHECK(cell(model, 0, "about").startsWith("2 area"));
        CHECK(model.done().startsWith("2 area"));
        CHECK(model.failure()->sentence().isEmpty());
    }
    std::filesystem::remove(file);
    phone.restart();
    BoundariesModel model(phone.phone(), qpath(folder));
    model.load();
    REQUIRE(model.rowCount() == 1);
    CHECK(cell(model, 0, "about").startsWith("2 area"));
    model.begin();
    CHECK(model.found().isEmpty());
    model.remove("canada.geojson");
    CHECK(model.rowCount() == 0);
    CHECK(model.done().startsWith("Removed"));
    BoundariesModel again(phone.phone(), qpath(folder));
    again.load();
    CHECK(again.rowCount() == 0);
}

TEST_CASE("A file of boundaries may be typed as a path or an address", "[viewmodels][boundaries]") {
    BarePhone phone;
    BoundariesModel model(phone.phone(), qpath(phone.folder()));
    const auto file = written(phone.folder() / "elsewhere" / "my canada.geojson", kSquare);
    for (const QString& typed : {qpath(file), QUrl::fromLocalFile(qpath(file)).toString(QUrl::FullyEncoded)}) {
        INFO(typed.toStdString());
        model.begin();
        model.setProperty("file", typed);
        REQUIRE(model.canTake());
        model.take();
        CHECK(model.failure()->sentence().isEmpty());
        CHECK(model.done().startsWith("1 area"));
        CHECK(model.property("file").toString().isEmpty());
        CHECK(model.rowCount() == 1);
    }
}

TEST_CASE("A bad file of boundaries is told by name and reason, and nothing is lost", "[viewmodels][boundaries]") {
    BarePhone phone;
    BoundariesModel model(phone.phone(), qpath(phone.folder()));
    QAbstractItemModelTester tester(&model, QAbstractItemModelTester::FailureReportingMode::Fatal);
    written(phone.folder() / "canada.geojson", kSquare);
    model.takeFound("canada.geojson");
    REQUIRE(model.rowCount() == 1);
    written(phone.folder() / "empty.geojson", "");
    written(phone.folder() / "nameless.geojson",
            std::string(kSquare) +
                R"(,{"type":"Feature","properties":{},"geometry":{"type":"Polygon","coordinates":[]}})");
    std::ofstream(phone.folder() / "table.json") << "name,area\n";
    for (const auto& [name, reason] : {std::pair{"missing.geojson", "no file"},
                                       {"empty.geojson", "no areas"},
                                       {"nameless.geojson", "number 2"},
                                       {"table.json", "not GeoJSON"}}) {
        INFO(name);
        model.takeFound(name);
        CHECK(model.failure()->sentence().contains(name));
        CHECK(model.failure()->sentence().contains(reason));
        CHECK(model.done().isEmpty());
        REQUIRE(model.rowCount() == 1);
        CHECK(cell(model, 0, "name") == "canada.geojson");
    }
    // What was typed is still there, to be put right.
    model.setProperty("file", qpath(phone.folder() / "missing.geojson"));
    model.take();
    CHECK(model.property("file").toString().endsWith("missing.geojson"));
    model.takeFound("canada.geojson");
    CHECK(model.failure()->sentence().isEmpty());
}

TEST_CASE("Places get the names of boundaries as soon as these are taken in", "[viewmodels][boundaries]") {
    BarePhone phone;
    const auto gazetteer = need(services::openOwn());
    phone.phone().session.placeWords().setNames(&gazetteer.names);
    const auto wordsNow = [&phone] {
        boost::json::object place{
            {"position", {{"lat_e7", 423'000'000}, {"lon_e7", -830'300'000}, {"uncertainty_mm", 15'000}}}};
        phone.phone().session.placeWords().addTo(place);
        return std::pair(std::string(place.at("words").as_string()), std::string(place.at("gazetteer").as_string()));
    };
    const auto before = wordsNow();
    {
        BoundariesModel model(phone.phone(), qpath(phone.folder()));
        written(phone.folder() / "canada.geojson",
                R"({"type":"Feature","properties":{"name":"Windsor district"},"geometry":{"type":"Polygon",
                    "coordinates":[[[-84,42],[-82,42],[-82,43],[-84,43],[-84,42]]]}})");
        model.takeFound("canada.geojson");
        CHECK(wordsNow().first.find("Windsor district, Ontario, Canada") != std::string::npos);
        CHECK(wordsNow().second.find("canada.geojson") != std::string::npos);
        model.remove("canada.geojson");
        CHECK(wordsNow() == before);
        model.takeFound("canada.geojson");
    }
    CHECK(wordsNow() == before); // nobody asks a model that has gone
}
