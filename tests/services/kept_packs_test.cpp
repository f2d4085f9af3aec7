#include "catch_compat.hpp"
#include "desk.h"
#include "services/kept_packs.h"

#include <fstream>

using namespace discal;
using namespace discal::tests;
using services::KeptPacks;

namespace {

std::string square(const std::string& name, double west, double south) {
    const auto corner = [](double lon, double lat) {
        return "[" + std::to_string(lon) + "," + std::to_string(lat) + "]";
    };
    return R"({"type":"Feature","properties":{"name":")" + name +
           R"("},"geometry":{"type":"Polygon","coordinates":[[)" + corner(west, south) + "," +
           corner(west + 1, south) + "," + corner(west + 1, south + 1) + "," + corner(west, south + 1) + "," +
           corner(west, south) + "]]}}";
}

const std::string kTwoSquares = square("Essex", -84, 42) + "," + square("Kent", -83, 42);

std::filesystem::path written(const std::filesystem::path& path, const std::string& features) {
    std::ofstream(path) << R"({"type":"FeatureCollection","features":[)" << features << "]}";
    return path;
}

} // namespace

TEST_CASE("Boundaries that were taken in stay, also when their file is gone", "[packs][place]") {
    TemporaryFolder folder;
    const auto kept = folder.path() / "j.discal.boundaries";
    const auto file = written(folder.path() / "canada.geojson", kTwoSquares);
    {
        KeptPacks packs(kept);
        need(packs.load()); // nothing yet
        CHECK(packs.all().empty());
        need(packs.take(file));
        need(packs.take(written(folder.path() / "belize.geojson", square("Corozal", -89, 18))));
    }
    std::filesystem::remove(file);
    KeptPacks packs(kept);
    need(packs.load());
    REQUIRE(packs.all().size() == 2);
    CHECK(packs.all()[0].name == "belize.geojson");
    CHECK(packs.all()[1].name == "canada.geojson");
    CHECK(packs.all()[1].pack.size() == 2);
    CHECK(packs.all()[1].pack.at({42.5, -83.5}, 0)->county.name == "Essex");
    need(packs.remove("canada.geojson"));
    REQUIRE(packs.all().size() == 1);
    need(packs.remove("no such.geojson"));
    KeptPacks again(kept);
    need(again.load());
    CHECK(again.all().size() == 1);
}

TEST_CASE("A bad file of boundaries is refused, and what was there stays", "[packs][place]") {
    TemporaryFolder folder;
    KeptPacks packs(folder.path() / "kept");
    need(packs.take(written(folder.path() / "canada.geojson", square("Essex", -84, 42))));
    const auto refused = [&packs](const std::filesystem::path& file) {
        const auto taken = packs.take(file);
        REQUIRE_FALSE(taken.has_value());
        REQUIRE(packs.all().size() == 1);
        CHECK(packs.all()[0].pack.at({42.5, -83.5}, 0)->county.name == "Essex");
        return taken.error();
    };
    CHECK(refused(folder.path() / "missing.geojson").code == Code::NotFound);
    CHECK(refused(folder.path()).code == Code::NotFound);
    // The same name, but no longer GeoJSON.
    std::ofstream(folder.path() / "canada.geojson") << "name,area\n";
    CHECK(refused(folder.path() / "canada.geojson").code == Code::NotJson);
    const auto nameless =
        written(folder.path() / "nameless.geojson", square("Essex", -84, 42) + "," + square("", -83, 42));
    CHECK(refused(nameless).code == Code::BadInput);
    CHECK(refused(nameless).number == 2);
    KeptPacks again(folder.path() / "kept");
    need(again.load());
    REQUIRE(again.all().size() == 1);
    // One that was spoiled where it is kept hides no other, and is not thrown away.
    std::ofstream(folder.path() / "kept" / "broken.geojson") << "{";
    CHECK(again.load().error().code == Code::NotJson);
    CHECK(again.all().size() == 1);
    CHECK(std::filesystem::exists(folder.path() / "kept" / "broken.geojson"));
    // A newer one of the same name takes its place.
    need(packs.take(written(folder.path() / "canada.geojson", kTwoSquares)));
    REQUIRE(packs.all().size() == 1);
    CHECK(packs.all()[0].pack.size() == 2);
}
