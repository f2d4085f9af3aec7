#include "core/doubt/rules.h"

#include "core/journal/subjects.h"
#include "core/lines.h"

#include "catch_compat.hpp"

#include <string>
#include <vector>

using namespace discal;
using doubt::Doubts;
using doubt::Severity;
using journal::Uuid;
using tag::Fate;
using tag::TagState;
using tests::device;
using tests::id;
using tests::Lines;

namespace {

const std::string A = device('a').text();
const std::string B = device('b').text();

using Ids = std::vector<Uuid>;

/// The doubts of one rule alone.
template <class Rule, class Subject>
Doubts from(Rule rule, const Subject& subject) {
    Doubts out;
    rule(subject, out);
    return out;
}

bool isOne(const Doubts& doubts, std::string_view rule, std::string_view subject, Severity severity,
           const Ids& evidence) {
    return doubts.size() == 1 && doubts.front().rule == rule && doubts.front().subject == subject &&
           doubts.front().severity == severity && doubts.front().evidence == evidence;
}

/// RKD 014, of a sheet that A held, on butterfly 1 as A said in line 100.
TagState usedTag() {
    TagState tag;
    tag.code = "RKD 014";
    tag.isInStock = true;
    tag.fate = Fate::OnButterfly;
    tag.butterflies = {id(1)};
    tag.claims = {{Fate::OnButterfly, id(100), A, id(1).text()}};
    tag.everHeldBy = {A};
    return tag;
}

tag::Sheet paper() {
    tag::Sheet sheet;
    sheet.id = id(50);
    return sheet;
}

} // namespace

TEST_CASE("A tag that is used as it should be raises no doubt", "[doubt]") {
    CHECK(doubt::about(usedTag()).empty());
    TagState unused = usedTag();
    unused.fate = Fate::Free;
    unused.butterflies.clear();
    unused.claims.clear();
    CHECK(doubt::about(unused).empty());
}

TEST_CASE("Two butterflies with one code can't be right", "[doubt]") {
    TagState tag = usedTag();
    CHECK(from(doubt::codeUsedTwice, tag).empty());
    tag.butterflies.push_back(id(2));
    tag.claims.push_back({Fate::OnButterfly, id(101), A, id(2).text()});
    tag.claims.push_back({Fate::Spoiled, id(102), A, ""});
    CHECK(isOne(from(doubt::codeUsedTwice, tag), "code.used-twice", "code RKD 014", Severity::CannotBeRight,
                {id(100), id(101)}));
}

TEST_CASE("A used code that no sheet has is unlikely", "[doubt]") {
    TagState tag = usedTag();
    CHECK(from(doubt::codeNotInStock, tag).empty());
    tag.isInStock = false;
    tag.everHeldBy.clear();
    CHECK(isOne(doubt::about(tag), "code.not-in-stock", "code RKD 014", Severity::Unlikely, {id(100)}));
    SECTION("but not one that was only read at a recapture") {
        tag.claims.clear();
        tag.butterflies.clear();
        tag.seen = {{id(1), id(103)}};
        CHECK(doubt::about(tag).empty());
    }
}

TEST_CASE("A code put on by a phone that never held it is unlikely", "[doubt]") {
    TagState tag = usedTag();
    CHECK(from(doubt::codeOfAnotherHolder, tag).empty());
    tag.claims.front().device = B;
    CHECK(isOne(doubt::about(tag), "code.of-another-holder", "code RKD 014", Severity::Unlikely, {id(100)}));
    SECTION("not if it held it at some time") {
        tag.everHeldBy = {A, B};
        CHECK(doubt::about(tag).empty());
    }
    SECTION("not for what else is said of a tag: anybody may find it missing") {
        tag.claims.front().fate = Fate::Missing;
        CHECK(doubt::about(tag).empty());
    }
    SECTION("not if it is in no stock: that is another doubt") {
        tag.isInStock = false;
        CHECK(from(doubt::codeOfAnotherHolder, tag).empty());
    }
}

TEST_CASE("A butterfly that was recaptured apart from its noting is most likely one", "[doubt]") {
    TagState tag = usedTag();
    CHECK(from(doubt::butterflySeenApart, tag).empty());
    tag.seen = {{id(2), id(103)}};
    CHECK(isOne(doubt::about(tag), "butterfly.seen-apart", "code RKD 014", Severity::Unlikely,
                {id(100), id(103)}));
    SECTION("a foreign one was noted by nobody here") {
        tag.isInStock = false;
        tag.butterflies.clear();
        tag.claims.clear();
        tag.seen.push_back({id(3), id(104)});
        CHECK(doubt::about(tag).empty());
    }
    SECTION("nor was one whose paper is still to be typed") {
        tag.butterflies.clear();
        tag.claims.front().fate = Fate::Paper;
        CHECK(from(doubt::butterflySeenApart, tag).empty());
    }
}

TEST_CASE("A tag with two fates can't be right", "[doubt]") {
    TagState tag = usedTag();
    CHECK(from(doubt::tagWithTwoFates, tag).empty());
    SECTION("said twice the same is no doubt") {
        tag.claims.push_back({Fate::OnButterfly, id(101), A, id(1).text()});
        CHECK(from(doubt::tagWithTwoFates, tag).empty());
    }
    SECTION("on a wing and missing is one") {
        tag.claims.push_back({Fate::Missing, id(101), B, ""});
        CHECK(isOne(doubt::about(tag), "tag.two-fates", "code RKD 014", Severity::CannotBeRight,
                    {id(100), id(101)}));
    }
}

TEST_CASE("A sheet that two devices received can't be right", "[doubt]") {
    tag::Sheet sheet = paper();
    CHECK(doubt::about(sheet).empty());
    sheet.receivers = {A, A};
    sheet.receivedLines = {id(100), id(101)};
    CHECK(doubt::about(sheet).empty());
    sheet.receivers = {A, A, B};
    sheet.receivedLines.push_back(id(102));
    CHECK(isOne(doubt::about(sheet), "sheet.received-twice", id(50).text(), Severity::CannotBeRight,
                {id(100), id(101), id(102)}));
}

TEST_CASE("A run that was taken is incomplete until the holder's chain agrees", "[doubt]") {
    tag::Sheet sheet = paper();
    tag::RunSet runs;
    runs.add(tag::Code::fromText("RKD 014").value());
    sheet.takes = {{runs, B, A, id(100)}, {{}, B, A, id(101)}};
    CHECK(isOne(doubt::about(sheet), "sheet.taken", id(50).text(), Severity::Incomplete, {id(100)}));
    sheet.takes.front().runs = {};
    CHECK(doubt::about(sheet).empty());
}

TEST_CASE("A run that was handed on by somebody who did not hold it is unlikely", "[doubt]") {
    tag::Sheet sheet = paper();
    sheet.handedByOther = {id(100)};
    CHECK(isOne(doubt::about(sheet), "sheet.handed-by-other", id(50).text(), Severity::Unlikely, {id(100)}));
    sheet.handedByOther.clear();
    CHECK(doubt::about(sheet).empty());
}

TEST_CASE("A story with a line that can't follow can't be right", "[doubt]") {
    butterfly::Butterfly b;
    b.id = id(1);
    CHECK(doubt::about(b).empty());
    b.contradictions = {id(100)};
    CHECK(isOne(doubt::about(b), "butterfly.story-contradicted", id(1).text(), Severity::CannotBeRight,
                {id(100)}));
}

TEST_CASE("A butterfly noted while offer and paper ran apart may carry another code", "[doubt]") {
    butterfly::Butterfly b;
    b.id = id(1);
    b.noteLine = id(100).text();
    CHECK(doubt::about(b).empty());
    b.comparedApart = {id(101), id(102)};
    CHECK(isOne(doubt::about(b), "tag.out-of-step", id(1).text(), Severity::Unlikely,
                {id(101), id(102), id(100)}));
    SECTION("not one that no line noted: no code was written") {
        b.noteLine.clear();
        CHECK(doubt::about(b).empty());
    }
    SECTION("beside what else is doubted of it") {
        b.contradictions = {id(103)};
        CHECK(doubt::about(b).size() == 2);
    }
}

TEST_CASE("Corrections at odds can't both be right", "[doubt]") {
    journal::Amended line;
    line.line.id = id(1);
    CHECK(doubt::about(line).empty());
    line.atOdds = {{"sex", {id(100), id(101)}}, {"wear", {id(102), id(103)}}};
    CHECK(isOne(doubt::about(line), "correction.at-odds", "line " + id(1).text(), Severity::CannotBeRight,
                {id(1), id(100), id(101), id(102), id(103)}));
}

TEST_CASE("An amendment without authority is unlikely", "[doubt]") {
    journal::Amended line;
    line.line.id = id(1);
    line.withoutAuthority = {id(100)};
    CHECK(isOne(doubt::about(line), "correction.without-authority", "line " + id(1).text(),
                Severity::Unlikely, {id(100)}));
    line.atOdds = {{"sex", {id(101), id(102)}}};
    CHECK(doubt::about(line).size() == 2);
}

TEST_CASE("A role given without authority is unlikely", "[doubt]") {
    Lines lines;
    const auto founded = lines.event("station.founded", {}, {.device = device('a'), .about = {id(1)}});
    const auto enrolled =
        lines.event("device.enrolled", {{"device", B}, {"role", "recorder"}}, {.device = device('a')});
    const auto odd =
        lines.event("device.enrolled", {{"device", A}, {"role", "none"}}, {.device = device('b')});
    CHECK(doubt::about(station::Roles::from({founded, enrolled})).empty());
    CHECK(isOne(doubt::about(station::Roles::from({founded, enrolled, odd})), "role.without-authority",
                "roles", Severity::Unlikely, {odd.line.id}));
}

// design.md, section 5: a doubt's key is its rule and subject, not its evidence.
TEST_CASE("A doubt keeps its key when its evidence grows", "[doubt]") {
    TagState tag = usedTag();
    tag.butterflies = {id(1), id(2)};
    const auto before = from(doubt::codeUsedTwice, tag).front().key();
    tag.butterflies.push_back(id(3));
    tag.claims.push_back({Fate::OnButterfly, id(101), A, id(3).text()});
    CHECK(from(doubt::codeUsedTwice, tag).front().key() == before);
    CHECK(before == "code.used-twice code RKD 014");
    tag.code = "RKD 015";
    CHECK(from(doubt::codeUsedTwice, tag).front().key() != before);
}

TEST_CASE("The words of severity are those shown", "[doubt]") {
    CHECK(doubt::textOf(Severity::CannotBeRight) == "cannot be right");
    CHECK(doubt::textOf(Severity::Unlikely) == "unlikely");
    CHECK(doubt::textOf(Severity::Incomplete) == "incomplete");
}
