#include "core/butterfly/butterfly.h"

#include "core/lines.h"

#include "catch_compat.hpp"

#include <optional>
#include <random>
#include <string>
#include <vector>

using namespace discal;
using butterfly::Butterfly;
using butterfly::Carried;
using butterfly::Fate;
using journal::Amended;
using journal::Uuid;
using tests::device;
using tests::id;
using tests::Lines;

namespace {

namespace json = boost::json;

/// One butterfly and the lines about it.
struct Story {
    Lines lines;
    Butterfly b = blank();
    Amended last{};

    static Butterfly blank() {
        Butterfly b;
        b.id = id(1);
        return b;
    }
    Uuid say(std::string kind, json::object body = {}, Lines::Options options = {}) {
        options.about = {id(1)};
        last = lines.event(std::move(kind), std::move(body), std::move(options));
        step(b, last);
        return last.line.id;
    }
    std::string lastAt() const { return time::formatUtc(last.line.at); }
    Uuid note() {
        return say("butterfly.noted",
                   {{"code", "RKD 014"},
                    {"sex", "female"},
                    {"origin", "reared"},
                    {"lot", id(7).text()},
                    {"tagger", id(8).text()},
                    {"session", id(9).text()},
                    {"taken", json::object{{"lat_e7", 410000000}, {"lon_e7", -1220000000}}},
                    {"forewing_um", 52100}});
    }
};

using Bond = Carried::Bond;

std::optional<Bond> bondOf(const Butterfly& b, std::string_view code) {
    for (const Carried& c : b.codes)
        if (c.code == code)
            return c.bond;
    return std::nullopt;
}

std::string text(const Butterfly& b) {
    return json::serialize(toJson(b));
}

} // namespace

TEST_CASE("A butterfly is noted, held in a cage and released elsewhere", "[butterfly]") {
    Story s;
    CHECK(s.b.fate == Fate::Unclear);
    const Uuid note = s.note();
    CHECK(s.b.fate == Fate::Noted);
    CHECK(s.b.isOpen());
    CHECK(s.b.currentCode() == "RKD 014");
    CHECK(s.b.sex == "female");
    CHECK(s.b.origin == "reared");
    CHECK(s.b.lot == id(7).text());
    CHECK(s.b.tagger == id(8).text());
    CHECK(s.b.session == id(9).text());
    CHECK(s.b.device == device('a').text());
    CHECK(s.b.recorder == id(0x20000).text());
    CHECK(s.b.noteLine == note.text());
    CHECK(s.b.notedAt == s.lastAt());
    CHECK(s.b.offsetMin == -420);
    CHECK(s.b.measures == json::object{{"forewing_um", 52100}});
    CHECK(journal::numberIn(s.b.taken, "lat_e7") == 410000000);
    CHECK(s.b.released.empty());

    s.say("butterfly.held", {{"cage", "B"}});
    CHECK(s.b.fate == Fate::Held);
    CHECK_FALSE(s.b.isOpen());
    CHECK(s.b.cage == "B");
    CHECK(s.b.heldSince == s.lastAt());
    CHECK(s.b.releasedAt.empty());

    s.say("butterfly.released", {{"place", json::object{{"lat_e7", 411111111}, {"lon_e7", -1221111111}}}});
    CHECK(s.b.fate == Fate::Released);
    CHECK(s.b.cage.empty());
    CHECK(s.b.releasedAt == s.lastAt());
    CHECK(journal::numberIn(s.b.released, "lat_e7") == 411111111);
    CHECK(journal::numberIn(s.b.taken, "lat_e7") == 410000000);
    CHECK(s.b.currentCode() == "RKD 014");
    CHECK(s.b.contradictions.empty());
    CHECK(s.b.lines.size() == 3);
    CHECK(s.b.lines.front() == note);
    CHECK(s.b.last == s.last.order);
}

TEST_CASE("A butterfly may be let go without a cage", "[butterfly]") {
    Story s;
    s.note();
    s.say("butterfly.released");
    CHECK(s.b.fate == Fate::Released);
    CHECK(s.b.heldSince.empty());
    CHECK(s.b.contradictions.empty());
}

TEST_CASE("A spoiled tag leaves the same butterfly with the next code", "[butterfly]") {
    Story s;
    s.note();
    const Uuid spoiled = s.say("tag.spoiled", {{"code", "RKD 014"}, {"next", "RKD 015"}});
    CHECK(s.b.fate == Fate::Noted);
    CHECK(s.b.currentCode() == "RKD 015");
    CHECK(s.b.codes ==
          std::vector<Carried>{{"RKD 014", Bond::Spoiled, spoiled}, {"RKD 015", Bond::On, spoiled}});
    SECTION("and again") {
        s.say("tag.spoiled", {{"code", "RKD 015"}, {"next", "RKD 016"}});
        CHECK(s.b.currentCode() == "RKD 016");
        CHECK(bondOf(s.b, "RKD 014") == Bond::Spoiled);
        CHECK(bondOf(s.b, "RKD 015") == Bond::Spoiled);
    }
    SECTION("with no next one it carries none") {
        s.say("tag.spoiled", {{"code", "RKD 015"}});
        CHECK_FALSE(s.b.currentCode());
    }
    SECTION("a spoiled tag is not free when the butterfly flies") {
        s.say("butterfly.escaped", {{"tag", "off"}});
        CHECK(bondOf(s.b, "RKD 014") == Bond::Spoiled);
        CHECK(bondOf(s.b, "RKD 015") == Bond::Free);
    }
}

TEST_CASE("One that escapes with its tag on is released", "[butterfly]") {
    Story s;
    s.note();
    s.say("butterfly.escaped", {{"tag", "on"}, {"place", json::object{{"lat_e7", 5}}}});
    CHECK(s.b.fate == Fate::Released);
    CHECK(s.b.releasedAt == s.lastAt());
    CHECK(journal::numberIn(s.b.released, "lat_e7") == 5);
    CHECK(s.b.currentCode() == "RKD 014");
}

TEST_CASE("One that escapes without its tag leaves the code free", "[butterfly]") {
    for (const json::object& body : {json::object{{"tag", "off"}}, json::object{}}) {
        Story s;
        s.note();
        const Uuid escaped = s.say("butterfly.escaped", body);
        CHECK(s.b.fate == Fate::Escaped);
        CHECK_FALSE(s.b.currentCode());
        CHECK(s.b.codes == std::vector<Carried>{{"RKD 014", Bond::Free, escaped}});
        CHECK(s.b.releasedAt.empty());
    }
}

TEST_CASE("The tag of one that died is used, unless it never went on", "[butterfly]") {
    Story s;
    s.note();
    SECTION("on the wing") {
        s.say("butterfly.held", {{"cage", "B"}});
        s.say("butterfly.died");
        CHECK(bondOf(s.b, "RKD 014") == Bond::On);
    }
    SECTION("never put on") {
        s.say("butterfly.died", {{"tag", "off"}});
        CHECK(bondOf(s.b, "RKD 014") == Bond::Free);
    }
    CHECK(s.b.fate == Fate::Died);
    CHECK(s.b.cage.empty());
    CHECK(s.b.contradictions.empty());
}

TEST_CASE("One that is too worn for a tag is counted without a code", "[butterfly]") {
    SECTION("from the first") {
        Story s;
        s.say("butterfly.untagged",
              {{"sex", "male"}, {"origin", "wild"}, {"wear", 5}, {"place", json::object{{"lat_e7", 5}}}});
        CHECK(s.b.fate == Fate::Untagged);
        CHECK(s.b.sex == "male");
        CHECK(s.b.origin == "wild");
        CHECK(s.b.notedAt == s.lastAt());
        CHECK(s.b.device == device('a').text());
        CHECK(s.b.recorder == id(0x20000).text());
        CHECK(s.b.codes.empty());
        CHECK(journal::numberIn(s.b.released, "lat_e7") == 5);
        CHECK(journal::numberIn(s.b.measures, "wear") == 5);
    }
    SECTION("after it was noted: its code is free again") {
        Story s;
        s.note();
        const std::string noted = s.b.notedAt;
        s.say("butterfly.untagged");
        CHECK(s.b.fate == Fate::Untagged);
        CHECK(s.b.notedAt == noted);
        CHECK(bondOf(s.b, "RKD 014") == Bond::Free);
        CHECK(s.b.sex == "female");
    }
}

TEST_CASE("A retagged one keeps both codes and is read by the new one", "[butterfly]") {
    Story s;
    const Uuid note = s.note();
    s.say("butterfly.released");
    const Uuid retagged = s.say("butterfly.retagged", {{"code", "RKD 020"}});
    CHECK(s.b.codes == std::vector<Carried>{{"RKD 014", Bond::On, note}, {"RKD 020", Bond::On, retagged}});
    CHECK(s.b.currentCode() == "RKD 020");
    CHECK(s.b.fate == Fate::Released);
    CHECK(s.b.contradictions.empty());
}

TEST_CASE("A recapture closes one that was never let go, as inferred between the two times", "[butterfly]") {
    Story s;
    s.note();
    const std::string noted = s.b.notedAt;
    s.say("butterfly.recaptured", {{"code", "RKD 014"}, {"wear", 3}});
    CHECK(s.b.fate == Fate::Released);
    CHECK(s.b.isInferred);
    CHECK(s.b.earliest == noted);
    CHECK(s.b.latest == s.lastAt());
    CHECK(s.b.releasedAt.empty());
    CHECK(s.b.recaptures == 1);
    CHECK(s.b.contradictions.empty());
    CHECK(bondOf(s.b, "RKD 014") == Bond::On); // put on by us, not only seen
    CHECK(journal::numberIn(s.b.measures, "wear") == 3);
    SECTION("once only") {
        s.say("butterfly.recaptured", {{"code", "RKD 014"}});
        CHECK(s.b.recaptures == 2);
        CHECK(s.b.earliest == noted);
        CHECK(s.b.latest < s.lastAt());
    }
}

TEST_CASE("A recapture of one that is out leaves its fate", "[butterfly]") {
    Story s;
    s.note();
    s.say("butterfly.released");
    s.say("butterfly.recaptured", {{"code", "RKD 014"}});
    CHECK(s.b.fate == Fate::Released);
    CHECK_FALSE(s.b.isInferred);
    CHECK(s.b.recaptures == 1);
    CHECK(s.b.contradictions.empty());
}

TEST_CASE("A foreign one that is only recaptured here is seen", "[butterfly]") {
    Story s;
    s.say("butterfly.recaptured", {{"code", "XYZ 123"}, {"sex", "male"}, {"origin", "wild"}});
    CHECK(s.b.fate == Fate::Seen);
    CHECK(s.b.sex == "male");
    CHECK(bondOf(s.b, "XYZ 123") == Bond::Seen);
    CHECK(s.b.currentCode() == "XYZ 123");
    CHECK(s.b.recaptures == 1);
    CHECK(s.b.noteLine.empty());
    SECTION("A tag that we put on it is read first") {
        s.say("butterfly.retagged", {{"code", "RKD 020"}});
        CHECK(s.b.currentCode() == "RKD 020");
        CHECK(bondOf(s.b, "XYZ 123") == Bond::Seen);
    }
    SECTION("If the line that noted it stands later in the order, its tag was put on by that") {
        s.say("butterfly.noted", {{"code", "XYZ 123"}});
        CHECK(s.b.fate == Fate::Noted);
        CHECK(bondOf(s.b, "XYZ 123") == Bond::On);
        CHECK(s.b.contradictions.empty());
    }
}

TEST_CASE("What was inferred says between which times", "[butterfly]") {
    Story s;
    s.note();
    s.say("butterfly.escaped", {{"tag", "on"},
                                {"inferred", true},
                                {"earliest", "2026-08-30T09:00:00.000Z"},
                                {"latest", "2026-08-30T12:00:00.000Z"}});
    CHECK(s.b.isInferred);
    CHECK(s.b.earliest == "2026-08-30T09:00:00.000Z");
    CHECK(s.b.latest == "2026-08-30T12:00:00.000Z");
    s.say("butterfly.died");
    CHECK_FALSE(s.b.isInferred);
    CHECK(s.b.earliest.empty());
    CHECK(s.b.latest.empty());
}

TEST_CASE("One that was left open overnight counts as let go when it was noted", "[butterfly]") {
    // 2026-11: it got the date of the next day's note that closed it.
    Story s;
    s.note();
    const std::string noted = s.b.notedAt;
    const json::object inferred{
        {"inferred", true}, {"earliest", noted}, {"latest", "2026-08-31T15:00:00.000Z"}, {"cage", "B"}};
    const auto close = [&](std::string kind, json::object body) {
        Amended closing = s.lines.event(std::move(kind), std::move(body));
        closing.line.at = tests::instant("2026-08-31T15:00:00Z");
        closing.line.offset = std::chrono::minutes(-360);
        return closing;
    };
    SECTION("released") {
        step(s.b, close("butterfly.released", inferred));
        CHECK(s.b.fate == Fate::Released);
        CHECK(s.b.releasedAt == noted);
        CHECK(s.b.offsetMin == -420); // the local date is that of where it was noted
        CHECK(s.b.earliest == noted);
        CHECK(s.b.latest == "2026-08-31T15:00:00.000Z");
    }
    SECTION("or held") {
        step(s.b, close("butterfly.held", inferred));
        CHECK(s.b.fate == Fate::Held);
        CHECK(s.b.heldSince == noted);
        s.say("butterfly.released");
        CHECK(s.b.heldSince == noted);
        CHECK(s.b.releasedAt == s.lastAt());
    }
    SECTION("unless somebody says the time anew") {
        Amended closing = close("butterfly.released", inferred);
        closing.correctedFields = {"at"};
        step(s.b, closing);
        CHECK(s.b.releasedAt == "2026-08-31T15:00:00.000Z");
        CHECK(s.b.offsetMin == -360);
        CHECK(s.b.earliest == noted);
    }
    SECTION("by the line's own time where the interval can't be read") {
        for (json::value odd : {json::value(), json::value("yesterday"), json::value(7)}) {
            json::object body = inferred;
            body["earliest"] = std::move(odd);
            Butterfly b = s.b;
            step(b, close("butterfly.released", std::move(body)));
            CHECK(b.releasedAt == "2026-08-31T15:00:00.000Z");
        }
    }
}

TEST_CASE("Measures are added and the last of each kind stands", "[butterfly]") {
    Story s;
    s.note();
    s.say("butterfly.measured", {{"wear", 2}, {"forewing_um", 52300}, {"mated", true}, {"colour", "orange"}});
    CHECK(s.b.measures == json::object{{"forewing_um", 52300}, {"wear", 2}, {"mated", true}});
    CHECK(s.b.fate == Fate::Noted);
}

TEST_CASE("A line that can't follow is kept as a contradiction, and still read", "[butterfly]") {
    Story s;
    s.note();
    SECTION("let go after it died") {
        s.say("butterfly.died");
        const Uuid odd = s.say("butterfly.released");
        CHECK(s.b.contradictions == std::vector{odd});
        CHECK(s.b.fate == Fate::Released);
        CHECK(s.b.lines.size() == 3);
    }
    SECTION("let go twice") {
        s.say("butterfly.released");
        const Uuid odd = s.say("butterfly.released");
        CHECK(s.b.contradictions == std::vector{odd});
    }
    SECTION("held after it was let go") {
        s.say("butterfly.released");
        const Uuid odd = s.say("butterfly.held", {{"cage", "B"}});
        CHECK(s.b.contradictions == std::vector{odd});
    }
    SECTION("escaped after it was let go, died twice, recaptured after it died") {
        s.say("butterfly.released");
        const Uuid escaped = s.say("butterfly.escaped");
        const Uuid died = s.say("butterfly.died");
        const Uuid again = s.say("butterfly.died");
        const Uuid alive = s.say("butterfly.recaptured", {{"code", "RKD 014"}});
        CHECK(s.b.contradictions == std::vector{escaped, died, again, alive});
    }
    SECTION("noted twice: the later description stands, the fate stays") {
        s.say("butterfly.held", {{"cage", "B"}});
        const Uuid odd = s.say("butterfly.noted", {{"code", "RKD 030"}, {"sex", "male"}});
        CHECK(s.b.contradictions == std::vector{odd});
        CHECK(s.b.fate == Fate::Held);
        CHECK(s.b.sex == "male");
        CHECK(s.b.noteLine == odd.text());
    }
    SECTION("untagged after it was let go") {
        s.say("butterfly.released");
        const Uuid odd = s.say("butterfly.untagged");
        CHECK(s.b.contradictions == std::vector{odd});
    }
}

TEST_CASE("One may die after it was let go, found by somebody", "[butterfly]") {
    Story s;
    s.note();
    s.say("butterfly.released");
    s.say("butterfly.died");
    CHECK(s.b.contradictions.empty());
    CHECK(bondOf(s.b, "RKD 014") == Bond::On);
}

// A lower lamport on another phone can put any line first.
TEST_CASE("A story whose beginning stands later in the order is told as far as it is known", "[butterfly]") {
    Story s;
    s.say("butterfly.held", {{"cage", "B"}});
    CHECK(s.b.fate == Fate::Held);
    s.note();
    CHECK(s.b.fate == Fate::Held);
    CHECK(s.b.currentCode() == "RKD 014");
    CHECK(s.b.sex == "female");
    CHECK_FALSE(s.b.notedAt.empty());
    CHECK(s.b.contradictions.empty());
}

TEST_CASE("A line of a newer Discal marks the butterfly and changes nothing else", "[butterfly]") {
    Story s;
    s.note();
    const Butterfly before = s.b;
    SECTION("unknown kind") {
        s.say("butterfly.painted", {{"code", "RKD 099"}, {"sex", "male"}});
    }
    SECTION("higher version") {
        s.say("butterfly.died", {{"tag", "off"}, {"sex", "male"}}, {.version = 2});
    }
    CHECK(s.b.needsNewer);
    Butterfly expected = before;
    expected.needsNewer = true;
    expected.lines.push_back(s.last.line.id);
    expected.last = s.last.order;
    CHECK(text(s.b) == text(expected));
    // Known lines after it are still read.
    s.say("butterfly.released");
    CHECK(s.b.fate == Fate::Released);
    CHECK(s.b.needsNewer);
}

TEST_CASE("A line that is about the butterfly and says nothing of it changes nothing", "[butterfly]") {
    Story s;
    s.note();
    const auto codes = s.b.codes;
    for (const char* kind : {"weather.read", "sheet.received", "tag.given", "doubt.settled", "day.signed"})
        s.say(kind, {{"code", "RKD 099"}, {"sex", "male"}, {"first", "RKD 001"}});
    CHECK(s.b.codes == codes);
    CHECK(s.b.sex == "female");
    CHECK(s.b.fate == Fate::Noted);
    CHECK_FALSE(s.b.needsNewer);
}

TEST_CASE("Members of another type than theirs are passed over", "[butterfly]") {
    Story s;
    s.note();
    const auto before = toJson(s.b);
    s.say("butterfly.measured", {{"colour", 1}});
    s.say("butterfly.retagged", {{"code", 14}});
    s.say("tag.spoiled", {{"code", nullptr}, {"next", json::array{}}});
    auto after = toJson(s.b);
    for (const char* changing : {"lines", "last"})
        after[changing] = before.at(changing);
    CHECK(after == before);
}

TEST_CASE("The words of fates are read back", "[butterfly]") {
    for (const Fate fate : {Fate::Noted, Fate::Held, Fate::Released, Fate::Escaped, Fate::Died,
                            Fate::Untagged, Fate::Seen, Fate::Unclear})
        CHECK(butterfly::fateOf(butterfly::textOf(fate)) == fate);
    CHECK(butterfly::fateOf("flown") == Fate::Unclear);
}

TEST_CASE("Where the paper ran apart from the codes offered, a butterfly is marked and nothing else changes",
          "[butterfly]") {
    Story story;
    story.note();
    story.say("butterfly.released");
    const auto rest = [&] {
        json::object out = toJson(story.b);
        for (const char* member : {"compared_apart", "lines", "last"})
            out.erase(member);
        return json::serialize(out);
    };
    const std::string before = rest();
    const Uuid first = story.say("tag.compared", {{"offered", "RKD 018"}, {"says", "RKD 020"}});
    CHECK(story.b.comparedApart == std::vector<Uuid>{first});
    CHECK(story.b.lines.back() == first);
    const Uuid second = story.say("tag.compared", {{"offered", "RKD 021"}, {"says", "RKD 020"}});
    CHECK(story.b.comparedApart == std::vector<Uuid>{first, second});
    CHECK(rest() == before);
    SECTION("not by one that was corrected to equal codes") {
        story.say("tag.compared", {{"offered", "RKD 018"}, {"says", "RKD 018"}});
        CHECK(story.b.comparedApart == std::vector<Uuid>{first, second});
    }
    SECTION("nor by one that we can't read") {
        story.say("tag.compared", {{"offered", "RKD 018"}, {"says", "RKD 019"}}, {.version = 2});
        CHECK(story.b.comparedApart == std::vector<Uuid>{first, second});
        CHECK(story.b.needsNewer);
    }
}

// A regression test with random stories, possible or not: a projection row that was written and read at any
// point goes on as if it had not been.
TEST_CASE("A story goes on after its row was written and read, at any line of any story", "[butterfly]") {
    const unsigned seed = tests::seed();
    INFO("seed " << seed);
    std::mt19937 random(seed);
    const auto below = [&](unsigned n) { return std::uniform_int_distribution<unsigned>(0, n - 1)(random); };
    const auto pick = [&](const std::vector<std::string>& from) {
        return from[below(static_cast<unsigned>(from.size()))];
    };
    const std::vector<std::string> kinds{"butterfly.noted",      "butterfly.held",     "butterfly.released",
                                         "butterfly.escaped",    "butterfly.died",     "butterfly.untagged",
                                         "butterfly.recaptured", "butterfly.retagged", "butterfly.measured",
                                         "tag.spoiled",          "butterfly.painted",  "tag.compared"};
    const std::vector<std::string> codes{"RKD 001", "RKD 002", "RKD 003", "123456", "rkd", ""};
    std::vector<int> fates(8, 0);
    for (int n = 0; n < 1000; ++n) {
        Lines lines;
        std::vector<Amended> events;
        for (unsigned k = 1 + below(8); k > 0; --k) {
            json::object body;
            const auto maybe = [&](std::string_view name, json::value value) {
                if (below(3) == 0)
                    body[name] = std::move(value);
            };
            maybe("code", json::value(pick(codes)));
            maybe("next", json::value(pick(codes)));
            maybe("says", json::value(pick(codes)));
            maybe("tag", json::value(pick({"on", "off", "?"})));
            maybe("sex", json::value(pick({"female", "male", "unknown", ""})));
            maybe("origin", json::value(pick({"wild", "reared"})));
            maybe("cage", json::value(pick({"A", ""})));
            maybe("lot", json::value(id(below(3)).text()));
            maybe("tagger", json::value(id(below(3)).text()));
            maybe("session", json::value(id(below(3)).text()));
            maybe("inferred", below(2) == 0);
            maybe("earliest", "2026-08-30T09:00:00.000Z");
            maybe("latest", "2026-08-30T10:00:00.000Z");
            maybe("place", json::object{{"lat_e7", below(1000)}, {"lon_e7", -5}});
            maybe("taken", json::object{{"lat_e7", -1}, {"words", "é \"quoted\""}});
            maybe("forewing_um", 52000 + std::int64_t{below(9)});
            maybe("mated", below(2) == 0);
            maybe("note", json::object{{"blob", std::string(64, 'a')}});
            events.push_back(lines.event(pick(kinds), std::move(body),
                                         {.device = device(below(2) == 0 ? 'a' : 'b'),
                                          .about = {id(1)},
                                          .version = below(20) == 0 ? 2 : 1}));
        }
        Butterfly whole = Story::blank();
        for (const Amended& event : events)
            step(whole, event);
        ++fates[static_cast<std::size_t>(whole.fate)];
        for (std::size_t k = 0; k <= events.size(); ++k) {
            Butterfly b = Story::blank();
            for (std::size_t i = 0; i < k; ++i)
                step(b, events[i]);
            b = butterfly::fromJson(tests::throughText(toJson(b)));
            for (std::size_t i = k; i < events.size(); ++i)
                step(b, events[i]);
            REQUIRE(text(b) == text(whole));
        }
    }
    for (const Fate fate : {Fate::Noted, Fate::Held, Fate::Released, Fate::Escaped, Fate::Died,
                            Fate::Untagged, Fate::Seen, Fate::Unclear}) {
        INFO("stories that end " << butterfly::textOf(fate));
        CHECK(fates[static_cast<std::size_t>(fate)] > 0);
    }
}
