#include "core/journal/record.h"

#include "core/lines.h"

#include "catch_compat.hpp"

#include <string>
#include <vector>

using namespace discal;
using journal::Record;
using journal::RecordType;
using tests::device;
using tests::id;
using tests::Lines;

namespace {

namespace json = boost::json;

Record blank() {
    Record record;
    record.key = id(1).text();
    return record;
}

Record fold(const std::vector<journal::Amended>& events, std::size_t from, std::size_t to, Record record) {
    for (std::size_t i = from; i < to; ++i)
        step(record, events[i]);
    return record;
}

std::string text(const Record& record, std::string_view member) {
    return std::string(journal::textIn(record.members, member).value_or("-"));
}

} // namespace

TEST_CASE("The first word of a kind says which record it speaks of, for verbs of the future too",
          "[journal]") {
    CHECK(journal::recordTypeOf("session.opened") == RecordType::Session);
    CHECK(journal::recordTypeOf("session.photographed") == RecordType::Session);
    CHECK(journal::recordTypeOf("weather.read") == RecordType::Session);
    CHECK(journal::recordTypeOf("person.named") == RecordType::Person);
    CHECK(journal::recordTypeOf("site.set") == RecordType::Site);
    CHECK(journal::recordTypeOf("lot.counted") == RecordType::Lot);
    CHECK(journal::recordTypeOf("station.founded") == RecordType::Station);
    CHECK(journal::recordTypeOf("device.started") == RecordType::Device);
    for (const char* kind :
         {"butterfly.noted", "sheet.received", "tag.spoiled", "entry.corrected", "sessions.opened", "", "."})
        CHECK_FALSE(journal::recordTypeOf(kind));
    for (const auto type : {RecordType::Session, RecordType::Person, RecordType::Site, RecordType::Lot,
                            RecordType::Station, RecordType::Device})
        CHECK(journal::recordTypeOf(std::string(journal::textOf(type)) + ".x") == type);
}

TEST_CASE("A record is what was said of it last, member by member", "[journal]") {
    Lines lines;
    Record record = blank();
    step(record, lines.event("site.set", {{"name", "Meadow"}, {"lat_e7", 410000000}, {"radius_m", 150}}));
    const auto second = lines.event("site.set", {{"name", "North meadow"}, {"note", nullptr}});
    step(record, second);
    CHECK(
        record.members ==
        json::object{{"name", "North meadow"}, {"lat_e7", 410000000}, {"radius_m", 150}, {"note", nullptr}});
    CHECK(record.lines.size() == 2);
    CHECK(record.last == second.order);
    CHECK_FALSE(record.needsNewer);
}

TEST_CASE("A session keeps when it was opened and closed, and each weather with its time", "[journal]") {
    Lines lines;
    Record record = blank();
    const auto opened = lines.event("session.opened", {{"site", id(2).text()}}, {.device = device('b')});
    const auto first = lines.event("weather.read", {{"air_mc", 18500}});
    const auto second = lines.event("weather.read", {{"air_mc", 21000}});
    const auto closed = lines.event("session.closed", {});
    for (const auto& event : {opened, first, second, closed})
        step(record, event);
    CHECK(text(record, "opened_at") == time::formatUtc(opened.line.at));
    CHECK(text(record, "closed_at") == time::formatUtc(closed.line.at));
    CHECK(text(record, "device") == device('b').text());
    CHECK(journal::numberIn(record.members, "offset_min") == -420);
    CHECK(record.members.at("weather").as_array() ==
          json::array{json::object{{"air_mc", 18500}, {"at", time::formatUtc(first.line.at)}},
                      json::object{{"air_mc", 21000}, {"at", time::formatUtc(second.line.at)}}});
    CHECK_FALSE(record.members.contains("air_mc"));
}

TEST_CASE("A rearing lot keeps each of its counts", "[journal]") {
    Lines lines;
    Record record = blank();
    const auto started = lines.event("lot.started", {{"name", "Cage 2"}});
    step(record, started);
    step(record, lines.event("lot.counted", {{"pupae", 30}}));
    step(record, lines.event("lot.counted", {{"pupae", 21}, {"adults", 9}}));
    CHECK(text(record, "started_at") == time::formatUtc(started.line.at));
    REQUIRE(record.members.at("counts").as_array().size() == 2);
    CHECK(record.members.at("counts").as_array()[1].at("adults") == 9);
    CHECK_FALSE(record.members.contains("pupae"));
}

TEST_CASE("A member named like a list does not break it", "[journal]") {
    Lines lines;
    Record record = blank();
    step(record, lines.event("lot.started", {{"counts", "many"}}));
    step(record, lines.event("lot.counted", {{"pupae", 30}}));
    CHECK(record.members.at("counts").as_array().size() == 1);
}

TEST_CASE("A line of a newer Discal marks the record and changes nothing else", "[journal]") {
    Lines lines;
    Record record = blank();
    step(record, lines.event("site.set", {{"name", "Meadow"}}));
    const auto members = record.members;
    SECTION("unknown kind") {
        step(record, lines.event("site.moved", {{"name", "Elsewhere"}}));
    }
    SECTION("higher version") {
        step(record, lines.event("site.set", {{"name", "Elsewhere"}}, {.version = 2}));
    }
    CHECK(record.needsNewer);
    CHECK(record.members == members);
    CHECK(record.lines.size() == 2);
}

// A regression test: a projection row, written and read at any point, goes on as if it had not been.
TEST_CASE("A record goes on after its row was written and read", "[journal]") {
    Lines lines;
    const std::vector<journal::Amended> events{
        lines.event("session.opened", {{"site", id(2).text()}, {"people", json::array{"a", 1}}}),
        lines.event("weather.read", {{"air_mc", -1500}}),
        lines.event("session.photographed", {{"x", 1}}),
        lines.event("weather.read",
                    {{"air_mc", 2}, {"deep", json::object{{"a", json::array{nullptr, true}}}}}),
        lines.event("session.closed", {{"note", "é"}}),
    };
    const Record whole = fold(events, 0, events.size(), blank());
    for (std::size_t k = 0; k <= events.size(); ++k) {
        const Record half = fold(events, 0, k, blank());
        const Record read = journal::recordFromJson(tests::throughText(toJson(half)));
        const Record rest = fold(events, k, events.size(), read);
        CHECK(json::serialize(toJson(rest)) == json::serialize(toJson(whole)));
        CHECK(rest.key == whole.key);
        CHECK(rest.needsNewer == whole.needsNewer);
        CHECK(rest.lines == whole.lines);
        CHECK(rest.last == whole.last);
    }
}
