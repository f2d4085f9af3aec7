#include "catch_compat.hpp"
#include "desk.h"

using namespace discal;
using namespace discal::tests;

TEST_CASE("A station is founded once; its device is the first office", "[services][station]") {
    Desk desk;
    need(desk.station().found("Thistledown Ridge Nature Centre"));
    CHECK(desk.projections().roles().now(desk.journal().device()) == station::Role::Office);
    const auto again = desk.station().found("Another one");
    REQUIRE_FALSE(again);
    CHECK(again.error().code == Code::NotAllowed);
    Desk phone("B");
    need(desk.station().enrol(phone.journal().device(), "recorder"));
    CHECK(desk.projections().roles().now(phone.journal().device()) == station::Role::Recorder);
    CHECK_FALSE(desk.station().enrol(phone.journal().device(), "boss"));
}

TEST_CASE("The station's permit is said after it is founded, and again when it changes", "[services][station]") {
    Desk desk;
    const auto early = desk.station().set({{"permit", "SCP-118"}});
    REQUIRE_FALSE(early);
    CHECK(early.error().code == Code::NotAllowed);
    need(desk.station().found("Thistledown Ridge Nature Centre"));
    need(desk.station().set({{"permit", "SCP-118"}, {"permit_until", "2026-12-31"}}));
    need(desk.station().set({{"permit_until", "2027-12-31"}}));
    const auto stations = need(desk.projections().records(journal::RecordType::Station));
    bool isFound = false;
    for (const auto& record : stations)
        if (journal::textIn(record.members, "permit") == "SCP-118") {
            isFound = true;
            CHECK(journal::textIn(record.members, "permit_until") == "2027-12-31");
        }
    CHECK(isFound);
    CHECK(desk.doubts().empty());
    CHECK_FALSE(desk.station().set({}));
}

TEST_CASE("A site keeps whether its owner lets us", "[services][station]") {
    Desk desk;
    const auto asked = need(desk.station().site({"Creek bottom", std::nullopt, 0, true}));
    const auto open = need(desk.station().site({"Ridge meadow", std::nullopt, 0}));
    const auto leaveOf = [&](const journal::Uuid& id) {
        const auto record = need(desk.projections().record(journal::RecordType::Site, id.text()));
        return journal::claimIn(record->members, "leave");
    };
    CHECK(leaveOf(asked.id) == true);
    CHECK_FALSE(leaveOf(open.id));
    need(desk.station().setLeave(open.id, false));
    CHECK(leaveOf(open.id) == false);
    CHECK(need(desk.station().findSite("Ridge meadow")) == open.id);
    CHECK_FALSE(desk.station().setLeave(journal::Uuid{}, true));
}

TEST_CASE("People go by initials, kept beside the lines; the same ones are the same person",
          "[services][station]") {
    Desk desk;
    const auto first = need(desk.station().person("MH"));
    CHECK(first.saved.lines.size() == 1);
    const auto again = need(desk.station().person("MH"));
    CHECK(again.id == first.id);
    CHECK(again.saved.lines.empty());
    CHECK(need(desk.station().person("JT")).id != first.id);
    CHECK_FALSE(desk.station().person(""));
    CHECK(serialize(desk.lineOf(first.saved.lines[0]).body).find("MH") == std::string::npos);
    const auto visitor = need(desk.station().visitor(3));
    CHECK(journal::numberIn(desk.lineOf(visitor.saved.lines[0]).body, "visitor") == 3);
}

TEST_CASE("Sites and lots are found by name", "[services][station]") {
    Desk desk;
    place::Position position;
    position.latE7 = 435'571'000;
    position.lonE7 = -908'893'000;
    position.uncertaintyMm = 15'000;
    position.origin = place::Position::Origin::Typed;
    const auto site = need(desk.station().site({"Ridge meadow", position, 150'000}));
    CHECK(need(desk.station().findSite("Ridge meadow")) == site.id);
    CHECK_FALSE(need(desk.station().findSite("ridge")));
    position.latE7 = 2'000'000'000;
    const auto nowhere = desk.station().site({"Nowhere", position, 0});
    REQUIRE_FALSE(nowhere);
    CHECK(nowhere.error().code == Code::NotAPosition);
    const auto lot = need(desk.station().lot({"Milkweed patch", "egg", 40}));
    need(desk.station().countLot(lot.id, "larva", 31));
    need(desk.station().countLot(lot.id, "pupa", 28));
    CHECK(need(desk.station().findLot("Milkweed patch")) == lot.id);
    const auto record = need(desk.projections().record(journal::RecordType::Lot, lot.id.text()));
    CHECK(record->members.at("counts").as_array().size() == 2);
}
