#include "core/tag/tag_state.h"

#include "core/lines.h"

#include "catch_compat.hpp"

#include <algorithm>
#include <string>
#include <vector>

using namespace discal;
using butterfly::Butterfly;
using journal::Uuid;
using tag::Fate;
using tag::Sheet;
using tag::TagEvidence;
using tag::TagState;
using tests::device;
using tests::id;
using tests::Lines;

namespace {

namespace json = boost::json;

const std::string A = device('a').text();
const std::string B = device('b').text();

/// What names RKD 014: its sheets, its butterflies, and lines about it.
struct Tag {
    Lines lines;
    TagEvidence evidence{};

    Sheet& sheet(char receiver, unsigned n = 50) {
        evidence.sheets.emplace_back();
        evidence.sheets.back().id = id(n);
        return receiver == 0 ? evidence.sheets.back()
                             : say(evidence.sheets.back(), receiver, "sheet.received");
    }
    Sheet& say(Sheet& sheet, char by, std::string kind, json::object more = {}, int version = 1) {
        more["first"] = "RKD 001";
        more["count"] = 25;
        step(sheet, lines.event(std::move(kind), std::move(more),
                                {.device = device(by), .about = {sheet.id}, .version = version}));
        return sheet;
    }
    Butterfly& butterfly(unsigned n = 1) {
        evidence.butterflies.emplace_back();
        evidence.butterflies.back().id = id(n);
        return evidence.butterflies.back();
    }
    Uuid say(Butterfly& b, std::string kind, json::object body = {{"code", "RKD 014"}},
             Lines::Options options = {}) {
        options.about = {b.id};
        const auto event = lines.event(std::move(kind), std::move(body), std::move(options));
        step(b, event);
        return event.line.id;
    }
    Uuid say(std::string kind, Lines::Options options = {}) {
        const auto event = lines.event(std::move(kind), {{"code", "RKD 014"}}, std::move(options));
        evidence.lines.push_back(event);
        return event.line.id;
    }
    [[nodiscard]] TagState state() const {
        return tagState(tag::Code::fromText("RKD 014").value(), evidence);
    }
};

} // namespace

TEST_CASE("A tag of a received sheet is free, and its receiver alone may offer it", "[tag]") {
    Tag t;
    t.sheet('a');
    const TagState state = t.state();
    CHECK(state.code == "RKD 014");
    CHECK(state.fate == Fate::Free);
    CHECK(state.isInStock);
    CHECK(state.holder == A);
    CHECK(state.isOfferedBy(A));
    CHECK_FALSE(state.isOfferedBy(B));
    CHECK_FALSE(state.isOfferedBy(""));
    CHECK(state.claims.empty());
    CHECK(state.everHeldBy == std::vector{A});
}

TEST_CASE("A code that no sheet has is in nobody's stock", "[tag]") {
    Tag t;
    Sheet& other = t.sheet(0);
    step(other, t.lines.event("sheet.received", {{"first", "RKD 015"}, {"count", 25}}));
    CHECK_FALSE(t.state().isInStock);
    CHECK(t.state().holder.empty());
    CHECK_FALSE(t.state().isOfferedBy(""));
    CHECK_FALSE(t.state().isOfferedBy(A));
}

TEST_CASE("A tag that was handed on is offered by the one who has it", "[tag]") {
    Tag t;
    t.say(t.sheet('a'), 'a', "sheet.handed", {{"to", B}});
    CHECK(t.state().isOfferedBy(B));
    CHECK_FALSE(t.state().isOfferedBy(A));
    CHECK(t.state().everHeldBy == std::vector{A, B});
}

TEST_CASE("Each thing said of a tag is its fate", "[tag]") {
    Tag t;
    t.sheet('a');
    SECTION("on a butterfly") {
        const Uuid line = t.say(t.butterfly(), "butterfly.noted");
        const TagState state = t.state();
        CHECK(state.fate == Fate::OnButterfly);
        CHECK(state.butterflies == std::vector{id(1)});
        REQUIRE(state.claims.size() == 1);
        CHECK(state.claims.front().fate == Fate::OnButterfly);
        CHECK(state.claims.front().line == line);
        CHECK(state.claims.front().device == A);
        CHECK(state.claims.front().butterfly == id(1).text());
    }
    SECTION("on one that was let go, or died with it") {
        Butterfly& b = t.butterfly();
        t.say(b, "butterfly.noted");
        t.say(b, "butterfly.released", {});
        CHECK(t.state().fate == Fate::OnButterfly);
        t.say(b, "butterfly.died", {});
        CHECK(t.state().fate == Fate::OnButterfly);
    }
    SECTION("put on as a second tag") {
        Butterfly& b = t.butterfly();
        t.say(b, "butterfly.noted", {{"code", "RKD 001"}});
        t.say(b, "butterfly.retagged");
        CHECK(t.state().fate == Fate::OnButterfly);
    }
    SECTION("read on a butterfly only") {
        const Uuid line = t.say(t.butterfly(), "butterfly.recaptured");
        CHECK(t.state().fate == Fate::OnButterfly);
        CHECK(t.state().butterflies.empty());
        CHECK(t.state().seen == std::vector<TagState::Seen>{{id(1), line}});
        CHECK(t.state().claims.empty());
    }
    SECTION("spoiled before it was on") {
        Butterfly& b = t.butterfly();
        t.say(b, "butterfly.noted");
        t.say(b, "tag.spoiled", {{"code", "RKD 014"}, {"next", "RKD 015"}});
        CHECK(t.state().fate == Fate::Spoiled);
        REQUIRE(t.state().claims.size() == 1);
        CHECK(t.state().claims.front().butterfly == id(1).text());
    }
    SECTION("spoiled without a butterfly, used on paper, missing, given away") {
        for (const auto& [kind, fate] :
             {std::pair("tag.spoiled", Fate::Spoiled), std::pair("tag.paper", Fate::Paper),
              std::pair("tag.missing", Fate::Missing), std::pair("tag.given", Fate::Given)}) {
            Tag other = t;
            const Uuid line = other.say(kind);
            INFO(kind);
            CHECK(other.state().fate == fate);
            REQUIRE(other.state().claims.size() == 1);
            CHECK(other.state().claims.front().line == line);
            CHECK(other.state().claims.front().device == A);
            CHECK_FALSE(other.state().isOfferedBy(A));
        }
        return;
    }
    CHECK_FALSE(t.state().isOfferedBy(A));
}

TEST_CASE("A tag that came off unused is free again", "[tag]") {
    Tag t;
    t.sheet('a');
    Butterfly& b = t.butterfly();
    t.say(b, "butterfly.noted");
    SECTION("its butterfly flew without it") {
        t.say(b, "butterfly.escaped", {{"tag", "off"}});
    }
    SECTION("its butterfly died before") {
        t.say(b, "butterfly.died", {{"tag", "off"}});
    }
    SECTION("its butterfly was too worn") {
        t.say(b, "butterfly.untagged", {});
    }
    CHECK(t.state().fate == Fate::Free);
    CHECK(t.state().isOfferedBy(A));
    CHECK(t.state().claims.empty());
}

TEST_CASE("Of several fates the surest is shown, and all are claimed", "[tag]") {
    Tag t;
    t.sheet('a');
    // From the weakest to the strongest; each wins over all before it.
    t.say("tag.missing");
    CHECK(t.state().fate == Fate::Missing);
    t.say("tag.given");
    CHECK(t.state().fate == Fate::Given);
    t.say("tag.paper");
    CHECK(t.state().fate == Fate::Paper);
    t.say("tag.spoiled");
    CHECK(t.state().fate == Fate::Spoiled);
    t.say(t.butterfly(), "butterfly.noted");
    CHECK(t.state().fate == Fate::OnButterfly);
    CHECK(t.state().claims.size() == 5);
    std::reverse(t.evidence.lines.begin(), t.evidence.lines.end());
    CHECK(t.state().fate == Fate::OnButterfly);
}

TEST_CASE("A claim of missing outweighs a tag that was only read at a recapture, and both are kept",
          "[tag]") {
    Tag t;
    t.sheet('a');
    t.say("tag.missing");
    const Uuid line = t.say(t.butterfly(), "butterfly.recaptured");
    CHECK(t.state().fate == Fate::Missing);
    CHECK(t.state().seen == std::vector<TagState::Seen>{{id(1), line}});
}

TEST_CASE("Two butterflies with one code are both named", "[tag]") {
    Tag t;
    t.sheet('a');
    t.evidence.butterflies.reserve(2);
    t.say(t.butterfly(1), "butterfly.noted");
    t.say(t.butterfly(2), "butterfly.noted", {{"code", "RKD 014"}}, {.device = device('b')});
    const TagState state = t.state();
    CHECK(state.butterflies == std::vector{id(1), id(2)});
    REQUIRE(state.claims.size() == 2);
    CHECK(state.claims[0].device == A);
    CHECK(state.claims[1].device == B);
}

TEST_CASE("Two sheets with the same codes from two devices: nobody may offer them", "[tag]") {
    Tag t;
    t.evidence.sheets.reserve(3);
    t.sheet('a', 50);
    t.sheet('b', 51);
    CHECK(t.state().isInStock);
    CHECK(t.state().holder.empty());
    CHECK_FALSE(t.state().isOfferedBy(A));
    CHECK_FALSE(t.state().isOfferedBy(B));
    CHECK(t.state().everHeldBy == std::vector{A, B});
    SECTION("in either order") {
        std::reverse(t.evidence.sheets.begin(), t.evidence.sheets.end());
        CHECK(t.state().holder.empty());
    }
    SECTION("unless one hands its run to the other") {
        t.say(t.evidence.sheets[1], 'b', "sheet.handed", {{"to", A}});
        CHECK(t.state().isOfferedBy(A));
    }
    SECTION("one who has the paper and takes it offers it, in doubt") {
        t.say(t.sheet(0, 52), 'b', "sheet.taken");
        CHECK(t.state().isOfferedBy(B));
    }
}

TEST_CASE("Two sheets with the same codes from one device are one stock", "[tag]") {
    Tag t;
    t.evidence.sheets.reserve(2);
    t.sheet('a', 50);
    t.sheet('a', 51);
    CHECK(t.state().isOfferedBy(A));
}

TEST_CASE("One that took a run under a sheet of its own offers it, not the one who received it", "[tag]") {
    Tag t;
    t.evidence.sheets.reserve(3);
    t.sheet('a', 50);
    t.say(t.sheet(0, 51), 'b', "sheet.taken");
    CHECK(t.state().isOfferedBy(B));
    CHECK_FALSE(t.state().isOfferedBy(A));
    SECTION("but if two did so, nobody") {
        t.say(t.sheet(0, 52), 'c', "sheet.taken");
        CHECK(t.state().holder.empty());
    }
}

TEST_CASE("A contested code is offered by nobody, whatever another sheet says", "[tag]") {
    Tag t;
    t.evidence.sheets.reserve(2);
    t.say(t.sheet('a', 50), 'b', "sheet.received");
    CHECK(t.state().holder.empty());
    t.sheet('a', 51);
    CHECK(t.state().holder.empty());
}

TEST_CASE("A tag that a newer Discal says something of is not offered", "[tag]") {
    Tag t;
    Sheet& sheet = t.sheet('a');
    CHECK(t.state().isOfferedBy(A));
    SECTION("of its sheet") {
        t.say(sheet, 'a', "sheet.burnt");
    }
    SECTION("of the tag, in an unknown kind") {
        t.say("tag.glued");
    }
    SECTION("of the tag, in a later version") {
        t.say("tag.missing", {.version = 2});
    }
    SECTION("of a butterfly from which it came off") {
        Butterfly& b = t.butterfly();
        t.say(b, "butterfly.noted");
        t.say(b, "butterfly.escaped", {{"tag", "off"}});
        t.say(b, "butterfly.painted", {});
    }
    CHECK(t.state().needsNewer);
    CHECK(t.state().fate == Fate::Free);
    CHECK_FALSE(t.state().isOfferedBy(A));
}

TEST_CASE("What is said of another butterfly or sheet is not this tag's", "[tag]") {
    Tag t;
    t.sheet('a');
    Butterfly& b = t.butterfly();
    t.say(b, "butterfly.noted", {{"code", "RKD 015"}});
    t.say(b, "butterfly.painted", {});
    CHECK(t.state().fate == Fate::Free);
    CHECK(t.state().isOfferedBy(A));
}

TEST_CASE("The words of a tag's fates are those of the design", "[tag]") {
    CHECK(tag::textOf(Fate::Free) == "free");
    CHECK(tag::textOf(Fate::OnButterfly) == "on");
    CHECK(tag::textOf(Fate::Spoiled) == "spoiled");
    CHECK(tag::textOf(Fate::Paper) == "paper");
    CHECK(tag::textOf(Fate::Missing) == "missing");
    CHECK(tag::textOf(Fate::Given) == "given");
}
