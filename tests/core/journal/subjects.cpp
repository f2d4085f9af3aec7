#include "core/journal/subjects.h"

#include "core/lines.h"

#include "catch_compat.hpp"

#include <algorithm>
#include <string>
#include <vector>

using namespace discal;
using journal::SubjectKey;
using journal::Uuid;
using tests::device;
using tests::id;

namespace {

namespace json = boost::json;

std::vector<SubjectKey> subjects(std::string kind, const json::object& body, std::vector<Uuid> about = {}) {
    journal::Line line;
    line.kind = std::move(kind);
    line.about = std::move(about);
    line.body = body;
    return journal::subjectsOf(line, device('w'), line.body);
}

using Keys = std::vector<SubjectKey>;

} // namespace

TEST_CASE("The ids that a line is about are its subjects, of any kind", "[journal]") {
    CHECK(subjects("butterfly.held", {}, {id(2), id(1), id(2)}) == Keys{id(1).text(), id(2).text()});
    CHECK(subjects("moon.risen", {}, {id(1)}) == Keys{id(1).text()});
    CHECK(subjects("moon.risen", {}).empty());
}

TEST_CASE("A code in `code` or `next` is a subject, in canonical text only", "[journal]") {
    CHECK(subjects("butterfly.noted", {{"code", "RKD 014"}}) == Keys{"code RKD 014"});
    CHECK(subjects("tag.spoiled", {{"code", "RKD 014"}, {"next", "RKD 015"}}) ==
          Keys{"code RKD 014", "code RKD 015"});
    CHECK(subjects("moon.risen", {{"code", "RKD 014"}}) == Keys{"code RKD 014"});
    for (const char* odd : {"rkd 014", "RKD014", "RKD O14", "", "RKD 014 "})
        CHECK(subjects("butterfly.noted", {{"code", odd}}).empty());
    CHECK(subjects("butterfly.noted", {{"code", 14}}).empty());
}

TEST_CASE("A run spreads over its codes in kinds of tags, and in no others", "[journal]") {
    CHECK(subjects("tag.missing", {{"first", "RKD 999"}, {"count", 2}}) ==
          Keys{"code RKD 999", "code RKE 000"});
    CHECK(subjects("tag.missing", {{"first", "RKD 999"}}) == Keys{"code RKD 999"});
    CHECK(subjects("tag.counted", {{"first", "RKD 001"}, {"count", 3}}).size() == 3); // a kind of the future
    CHECK(subjects("sheet.received", {{"first", "RKD 001"}, {"count", 25}}, {id(1)}) == Keys{id(1).text()});
    // A scheme without I: after H comes J.
    CHECK(subjects("tag.given", {{"first", "AAH 999"}, {"count", 2}, {"scheme", "AAA000-I"}}) ==
          Keys{"code AAH 999", "code AAJ 000"});
    CHECK(subjects("tag.missing", {{"first", "RKD 001"}, {"count", 0}}).empty());
    CHECK(subjects("tag.missing", {{"first", "rkd 001"}, {"count", 2}}).empty());
}

TEST_CASE("A comparison touches its butterflies, and none of the codes that it tells of", "[journal]") {
    CHECK(subjects("tag.compared", {{"offered", "RKD 014"}, {"says", "RKD 016"}}, {id(2), id(1)}) ==
          Keys{id(1).text(), id(2).text()});
}

TEST_CASE("A line about a very long run touches its first thousand codes", "[journal]") {
    const auto keys = subjects("tag.missing", {{"first", "RKD 000"}, {"count", 1001}});
    CHECK(keys.size() == 1000);
    CHECK(keys.front() == "code RKD 000");
    CHECK(keys.back() == "code RKD 999");
}

TEST_CASE("Amendments have the line or act that they amend as subject", "[journal]") {
    CHECK(subjects("entry.corrected", {{"of", id(5).text()}, {"set", json::object{{"sex", "male"}}}}) ==
          Keys{"line " + id(5).text()});
    CHECK(subjects("entry.withdrawn", {{"act", id(5).text()}}) == Keys{"act " + id(5).text()});
    CHECK(subjects("entry.corrected", {{"of", "the last"}}).empty());
    CHECK(subjects("entry.withdrawn", {}).empty());
    CHECK(journal::correctionsOf(id(5)) == "line " + id(5).text());
    CHECK(journal::withdrawalsOf(id(5)) == "act " + id(5).text());
}

TEST_CASE("Lines about the station have it, its roles, doubts and erasures as subjects", "[journal]") {
    CHECK(subjects("station.founded", {}, {id(9)}) ==
          Keys{id(9).text(), "device " + device('w').text(), "roles", "station"});
    CHECK(subjects("station.set", {}) == Keys{"station"});
    CHECK(subjects("device.started", {}) == Keys{"device " + device('w').text()});
    CHECK(subjects("device.enrolled", {{"device", device('b').text()}, {"role", "recorder"}}) ==
          Keys{"device " + device('b').text(), "roles"});
    CHECK(subjects("device.enrolled", {{"device", "nonsense"}}) == Keys{"roles"});
    CHECK(subjects("doubt.settled", {{"key", "code.used-twice code RKD 014"}}) ==
          Keys{"doubt code.used-twice code RKD 014"});
    CHECK(subjects("blob.erased", {{"blob", std::string(64, '0')}}) == Keys{"erasures"});
}

TEST_CASE("Subjects are read from the body that is given, not from the line's own", "[journal]") {
    journal::Line line;
    line.kind = "butterfly.noted";
    line.body = {{"code", "RKD 014"}};
    const json::object corrected{{"code", "RKD 015"}};
    CHECK(journal::subjectsOf(line, device('w'), corrected) == Keys{"code RKD 015"});
}
