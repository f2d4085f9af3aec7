#include "core/journal/correctable.h"

#include "core/lines.h"

#include "catch_compat.hpp"

#include <string>
#include <utility>
#include <vector>

using namespace discal;
using journal::Correctable;
using journal::Kind;
using tests::id;

namespace {

namespace json = boost::json;

json::object typedPosition() {
    return {{"lat_e7", 435'571'000},
            {"lon_e7", -908'893'000},
            {"uncertainty_mm", 15'000},
            {"datum", "EPSG:4326"},
            {"origin", "typed"}};
}

Result<json::value> typed(Kind kind, const char* field, const char* value) {
    const auto* c = journal::correctable(kind, field);
    REQUIRE(c != nullptr);
    return journal::correctedValue(*c, value);
}

Result<void> checkPlace(json::value place) {
    return journal::checkCorrected(*journal::correctable(Kind::ButterflyReleased, "place"), std::move(place));
}

} // namespace

TEST_CASE("What a line does not say can't be said anew of it", "[journal]") {
    CHECK(journal::correctable(Kind::ButterflyNoted, "sex") != nullptr);
    CHECK(journal::correctable(Kind::ButterflyNoted, "place") == nullptr);
    CHECK(journal::correctable(Kind::ButterflyReleased, "place") != nullptr);
    CHECK(journal::correctable(Kind::ButterflyReleased, "sex") == nullptr);
    CHECK(journal::correctable(Kind::SheetHanded, "to") == nullptr);
    CHECK(journal::correctable(Kind::ButterflyReleased, "inferred") == nullptr);
    for (const Kind kind : {Kind::DeviceEnrolled, Kind::EntryCorrected, Kind::EntryWithdrawn,
                            Kind::DoubtSettled, Kind::BlobErased, Kind::PersonNamed, Kind::Unknown})
        CHECK(journal::correctableOf(kind).empty());
}

TEST_CASE("A value is read as what its field holds", "[journal]") {
    CHECK(typed(Kind::ButterflyNoted, "sex", "female").value() == "female");
    CHECK(typed(Kind::ButterflyNoted, "wear", "3").value() == 3);
    CHECK(typed(Kind::ButterflyNoted, "mated", "no").value() == false);
    CHECK(typed(Kind::ButterflyNoted, "at", "2026-09-05T08:00:00-05:00").value() ==
          "2026-09-05T13:00:00.000Z");
    CHECK(typed(Kind::ButterflyNoted, "code", "RKD 014").value() == "RKD 014");
    CHECK(typed(Kind::ButterflyHeld, "cage", "").value() == "");
    CHECK(typed(Kind::WeatherRead, "air_millicelsius", "-500").value() == -500);
}

TEST_CASE("A value that its field can't hold is refused", "[journal]") {
    const auto refusal = [](Kind kind, const char* field, const char* value) {
        INFO(field << " " << value);
        const auto refused = typed(kind, field, value);
        REQUIRE_FALSE(refused);
        return refused.error().code;
    };
    CHECK(refusal(Kind::ButterflyNoted, "sex", "queen") == Code::BadInput);
    CHECK(refusal(Kind::ButterflyNoted, "sex", "") == Code::BadInput);
    CHECK(refusal(Kind::ButterflyNoted, "sex", "female male") == Code::BadInput);
    CHECK(refusal(Kind::ButterflyNoted, "wear", "2.5") == Code::BadInput);
    CHECK(refusal(Kind::ButterflyNoted, "wear", "6") == Code::OutOfRange);
    CHECK(refusal(Kind::ButterflyNoted, "forewing_um", "51") == Code::OutOfRange);
    CHECK(refusal(Kind::ButterflyNoted, "mated", "true") == Code::BadInput);
    CHECK(refusal(Kind::ButterflyNoted, "at", "08:00") == Code::BadInput);
    CHECK(refusal(Kind::ButterflyNoted, "tagger", "KLM") == Code::BadInput);
    CHECK(refusal(Kind::ButterflyNoted, "taken", "Long Meadow") == Code::BadInput);
    CHECK(refusal(Kind::ButterflyNoted, "code", "!") == Code::NotACode);
    CHECK(refusal(Kind::ButterflyEscaped, "tag", "maybe") == Code::BadInput);
    CHECK(refusal(Kind::ButterflyRecaptured, "mark", "lost") == Code::BadInput);
    CHECK(refusal(Kind::SiteSet, "name", "") == Code::BadInput);
    CHECK(refusal(Kind::SheetReceived, "count", "0") == Code::OutOfRange);
}

TEST_CASE("A place is a site, a typed position, or both", "[journal]") {
    const std::string site = id(5).text();
    CHECK(checkPlace(json::object{{"site", site}}));
    CHECK(checkPlace(json::object{{"position", typedPosition()}}));
    CHECK(checkPlace(json::object{{"site", site}, {"position", typedPosition()}}));
    CHECK_FALSE(checkPlace("Long Meadow"));
    CHECK_FALSE(checkPlace(json::object{}));
    CHECK_FALSE(checkPlace(json::object{{"site", "Long Meadow"}}));
    CHECK_FALSE(checkPlace(json::object{{"site", site}, {"fix", typedPosition()}}));
    const auto odd = [](const char* member, json::value value) {
        json::object position = typedPosition();
        position[member] = std::move(value);
        return checkPlace(json::object{{"position", std::move(position)}});
    };
    CHECK_FALSE(odd("lat_e7", 900'000'001));
    CHECK_FALSE(odd("lon_e7", 99'999'999'999));
    CHECK_FALSE(odd("uncertainty_mm", 0));
    CHECK_FALSE(odd("datum", "EPSG:4267"));
    CHECK_FALSE(odd("origin", "receiver"));
    CHECK_FALSE(odd("fixes", 3));
}

TEST_CASE("A corrected body holds together", "[journal]") {
    const auto check = [](Kind kind, json::object body) {
        return bool(journal::checkCorrectedBody(kind, std::move(body)));
    };
    CHECK(check(Kind::ButterflyNoted, {{"sex", "male"}}));
    CHECK(check(Kind::ButterflyNoted, {{"wear", 5}, {"wear_scale", "1-5"}}));
    CHECK(check(Kind::ButterflyNoted, {{"wear_scale", "0-4"}}));
    CHECK_FALSE(check(Kind::ButterflyNoted, {{"wear", 5}, {"wear_scale", "0-4"}}));
    CHECK_FALSE(check(Kind::ButterflyNoted, {{"wear", 2}}));
    CHECK(check(Kind::SheetReceived, {{"first", "RKD 976"}, {"count", 24}, {"scheme", "AAA000"}}));
    CHECK(check(Kind::SheetReceived, {{"first", "ZZZ 999"}, {"count", 1}, {"scheme", "AAA000"}}));
    CHECK_FALSE(check(Kind::SheetReceived, {{"first", "ZZZ 999"}, {"count", 2}, {"scheme", "AAA000"}}));
}
