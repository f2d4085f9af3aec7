#include "core/journal/amending.h"

#include "core/lines.h"

#include "catch_compat.hpp"

#include <algorithm>
#include <random>
#include <set>
#include <string>
#include <vector>

using namespace discal;
using journal::Amended;
using journal::Entry;
using journal::Order;
using journal::Uuid;
using tests::device;
using tests::id;
using tests::Lines;

namespace {

namespace json = boost::json;

/// Everything that amends, in memory; 'o' is an office from `officeSince` on.
class Amending : public journal::Amendments {
public:
    Lines lines;
    std::vector<Entry> entries;
    Order officeSince{};

    Entry add(std::string kind, json::object body, Lines::Options options = {}) {
        entries.push_back(lines.entry(std::move(kind), std::move(body), std::move(options)));
        return entries.back();
    }
    Entry note() {
        return add("butterfly.noted", {{"code", "RKD 014"}, {"sex", "female"}}, {.about = {id(1)}});
    }
    Entry correct(const Entry& of, json::object set, std::vector<Uuid> over = {},
                  Lines::Options options = {}) {
        return add("entry.corrected",
                   {{"of", of.line->id.text()}, {"set", std::move(set)}, {"over", journal::idsToJson(over)}},
                   std::move(options));
    }
    Entry withdraw(const Entry& of, Lines::Options options = {}) {
        return add("entry.withdrawn", {{"act", of.line->act.text()}}, std::move(options));
    }
    Amended read(const Entry& entry) { return journal::amended(entry, *this); }
    std::string sex(const Entry& entry) {
        return std::string(journal::textIn(read(entry).line.body, "sex").value_or("-"));
    }

    std::vector<Entry> correctionsOf(const Uuid& line) override {
        return naming("entry.corrected", "of", line);
    }
    std::vector<Entry> withdrawalsOf(const Uuid& act) override {
        return naming("entry.withdrawn", "act", act);
    }
    bool isOffice(const journal::DeviceId& who, const Order& at) override {
        return who == device('o') && at > officeSince;
    }

    int asked{0};

private:
    std::vector<Entry> naming(std::string_view kind, std::string_view member, const Uuid& what) {
        ++asked;
        std::vector<Entry> out;
        for (const Entry& entry : entries)
            if (entry.line && entry.line->kind == kind && journal::idIn(entry.line->body, member) == what)
                out.push_back(entry);
        return out;
    }
};

using Ids = std::vector<Uuid>;

} // namespace

TEST_CASE("A line that nothing amends is read as it is", "[journal]") {
    Amending a;
    const Entry note = a.note();
    const Amended read = a.read(note);
    CHECK(read.kind == journal::Kind::ButterflyNoted);
    CHECK_FALSE(read.isNewer);
    CHECK_FALSE(read.isWithdrawn);
    CHECK(read.order == note.order());
    CHECK(read.device == device('a'));
    CHECK(read.line.body == note.line->body);
    CHECK(read.appliedCorrections.empty());
    CHECK(read.atOdds.empty());
    CHECK(read.withoutAuthority.empty());
}

TEST_CASE("A kind or version of a newer Discal is marked", "[journal]") {
    Amending a;
    CHECK(a.read(a.add("moon.risen", {})).isNewer);
    CHECK(a.read(a.add("butterfly.noted", {}, {.version = 2})).isNewer);
    CHECK_FALSE(a.read(a.add("butterfly.noted", {})).isNewer);
}

TEST_CASE("A correction changes the fields that it sets and no other", "[journal]") {
    Amending a;
    const Entry note = a.note();
    const Entry correction = a.correct(note, {{"sex", "male"}, {"wear", 2}});
    const Amended read = a.read(note);
    CHECK(read.line.body == json::object{{"code", "RKD 014"}, {"sex", "male"}, {"wear", 2}});
    CHECK(read.line.at == note.line->at);
    CHECK(read.appliedCorrections == Ids{correction.line->id, correction.line->id}); // one for each field
    CHECK(read.atOdds.empty());
}

TEST_CASE("A time can be corrected, and a time that is none leaves it", "[journal]") {
    Amending a;
    const Entry note = a.note();
    a.correct(note, {{"at", "2026-08-29T10:00:00.000Z"}, {"offset_min", -360}});
    CHECK(a.read(note).line.at == tests::instant("2026-08-29T10:00:00Z"));
    CHECK(a.read(note).line.offset == std::chrono::minutes(-360));
    CHECK(a.read(note).isCorrected("at"));
    CHECK_FALSE(a.read(note).isCorrected("sex"));

    const Entry other = a.note();
    a.correct(other, {{"at", "yesterday"}, {"offset_min", 1'000'000}});
    CHECK(a.read(other).line.at == other.line->at);
    CHECK(a.read(other).line.offset == std::chrono::minutes(1440));
    CHECK_FALSE(a.read(other).isCorrected("at"));
}

TEST_CASE("A correction that names an earlier one takes its place, field by field", "[journal]") {
    Amending a;
    const Entry note = a.note();
    const Entry first = a.correct(note, {{"sex", "male"}, {"wear", 2}});
    const Entry second = a.correct(note, {{"sex", "unknown"}}, {first.line->id});
    const Amended read = a.read(note);
    CHECK(a.sex(note) == "unknown");
    CHECK(journal::numberIn(read.line.body, "wear") == 2);
    CHECK(read.atOdds.empty());
    CHECK(read.appliedCorrections == Ids{second.line->id, first.line->id}); // sex, wear
}

TEST_CASE("Corrections that don't name each other are at odds, and the first in order is shown",
          "[journal]") {
    Amending a;
    const Entry note = a.note();
    const Entry first = a.correct(note, {{"sex", "male"}});
    const Entry second = a.correct(note, {{"sex", "unknown"}});
    const Amended read = a.read(note);
    CHECK(a.sex(note) == "male");
    REQUIRE(read.atOdds.size() == 1);
    CHECK(read.atOdds.front().field == "sex");
    CHECK(read.atOdds.front().corrections == Ids{first.line->id, second.line->id});

    SECTION("In whatever order they arrived") {
        std::reverse(a.entries.begin(), a.entries.end());
        CHECK(a.sex(note) == "male");
        CHECK(a.read(note).atOdds.front().corrections == Ids{first.line->id, second.line->id});
    }
    SECTION("Until one names them both") {
        a.correct(note, {{"sex", "female"}}, {first.line->id, second.line->id});
        CHECK(a.sex(note) == "female");
        CHECK(a.read(note).atOdds.empty());
    }
    SECTION("One that names only one of them is at odds with the other") {
        const Entry third = a.correct(note, {{"sex", "female"}}, {first.line->id});
        CHECK(a.sex(note) == "unknown");
        REQUIRE(a.read(note).atOdds.size() == 1);
        CHECK(a.read(note).atOdds.front().corrections == Ids{second.line->id, third.line->id});
    }
}

TEST_CASE("Corrections that say the same, or correct different fields, are not at odds", "[journal]") {
    Amending a;
    const Entry note = a.note();
    a.correct(note, {{"sex", "male"}});
    a.correct(note, {{"sex", "male"}, {"wear", 3}});
    CHECK(a.sex(note) == "male");
    CHECK(a.read(note).atOdds.empty());
    CHECK(journal::numberIn(a.read(note).line.body, "wear") == 3);
}

TEST_CASE("A correction can't replace one that comes after it", "[journal]") {
    Amending a;
    const Entry note = a.note();
    const Entry late = a.correct(note, {{"sex", "male"}}, {}, {.lamport = 50});
    a.correct(note, {{"sex", "unknown"}}, {late.line->id}, {.lamport = 40});
    CHECK(a.sex(note) == "unknown"); // the first in order
    CHECK(a.read(note).atOdds.size() == 1);
}

TEST_CASE("A withdrawn line is marked", "[journal]") {
    Amending a;
    const Entry note = a.note();
    const Entry other = a.note();
    a.withdraw(note);
    CHECK(a.read(note).isWithdrawn);
    CHECK_FALSE(a.read(other).isWithdrawn);
}

TEST_CASE("Taking back an act takes back every line of it", "[journal]") {
    Amending a;
    const Entry first = a.note();
    const Entry second = a.add("butterfly.held", {}, {.about = {id(1)}, .act = first.line->act});
    const Entry third = a.note();
    a.withdraw(second);
    CHECK(a.read(first).isWithdrawn);
    CHECK(a.read(second).isWithdrawn);
    CHECK_FALSE(a.read(third).isWithdrawn);
}

TEST_CASE("A withdrawal can itself be withdrawn, and that again", "[journal]") {
    Amending a;
    const Entry note = a.note();
    const Entry undo = a.withdraw(note);
    const Entry redo = a.withdraw(undo);
    CHECK_FALSE(a.read(note).isWithdrawn);
    CHECK(a.read(undo).isWithdrawn);
    a.withdraw(redo);
    CHECK(a.read(note).isWithdrawn);
    CHECK_FALSE(a.read(undo).isWithdrawn);
    CHECK(a.read(redo).isWithdrawn);
}

TEST_CASE("Of two withdrawals both have to be taken back", "[journal]") {
    Amending a;
    const Entry note = a.note();
    const Entry one = a.withdraw(note);
    const Entry two = a.withdraw(note);
    a.withdraw(one);
    CHECK(a.read(note).isWithdrawn);
    a.withdraw(two);
    CHECK_FALSE(a.read(note).isWithdrawn);
}

TEST_CASE("A withdrawn correction counts for nothing, and what it had replaced stands again", "[journal]") {
    Amending a;
    const Entry note = a.note();
    const Entry first = a.correct(note, {{"sex", "male"}});
    const Entry second = a.correct(note, {{"sex", "unknown"}}, {first.line->id});
    const Entry undo = a.withdraw(second);
    CHECK(a.sex(note) == "male");
    CHECK_FALSE(a.read(note).isWithdrawn);
    a.withdraw(undo);
    CHECK(a.sex(note) == "unknown");
    a.withdraw(first);
    CHECK(a.sex(note) == "unknown");
}

TEST_CASE("Another device's amendments count only from an office", "[journal]") {
    Amending a;
    const Entry note = a.note();
    SECTION("A recorder's correction is kept without effect") {
        const Entry correction = a.correct(note, {{"sex", "male"}}, {}, {.device = device('b')});
        CHECK(a.sex(note) == "female");
        CHECK(a.read(note).withoutAuthority == Ids{correction.line->id});
        CHECK(a.read(note).appliedCorrections.empty());
    }
    SECTION("A recorder's withdrawal too") {
        const Entry withdrawal = a.withdraw(note, {.device = device('b')});
        CHECK_FALSE(a.read(note).isWithdrawn);
        CHECK(a.read(note).withoutAuthority == Ids{withdrawal.line->id});
    }
    SECTION("It can't put an office's correction at odds, nor replace it") {
        const Entry good = a.correct(note, {{"sex", "male"}}, {}, {.device = device('o')});
        const Entry odd = a.correct(note, {{"sex", "unknown"}}, {good.line->id}, {.device = device('b')});
        CHECK(a.sex(note) == "male");
        CHECK(a.read(note).atOdds.empty());
        CHECK(a.read(note).withoutAuthority == Ids{odd.line->id});
    }
    SECTION("An office corrects and withdraws") {
        a.correct(note, {{"sex", "male"}}, {}, {.device = device('o')});
        CHECK(a.sex(note) == "male");
        const Entry undo = a.withdraw(note, {.device = device('o')});
        CHECK(a.read(note).isWithdrawn);
        CHECK(a.read(note).withoutAuthority.empty());
        // The phone can't take back what the office did.
        a.withdraw(undo);
        CHECK(a.read(note).isWithdrawn);
        CHECK(a.read(undo).withoutAuthority.size() == 1);
    }
    SECTION("What counts is whether it was an office then") {
        const Entry early = a.correct(note, {{"sex", "male"}}, {}, {.device = device('o')});
        a.officeSince = early.order();
        CHECK(a.sex(note) == "female");
        CHECK(a.read(note).withoutAuthority == Ids{early.line->id});
        a.correct(note, {{"sex", "unknown"}}, {}, {.device = device('o')});
        CHECK(a.sex(note) == "unknown");
    }
    SECTION(
        "All that lack authority are named, whatever order they arrived in, also where another one counts") {
        const Entry b = a.withdraw(note, {.device = device('b')});
        a.withdraw(note);
        const Entry c = a.withdraw(note, {.device = device('c')});
        const auto named = [&] {
            const Ids ids = a.read(note).withoutAuthority;
            return std::set<Uuid>(ids.begin(), ids.end());
        };
        const std::set<Uuid> both{b.line->id, c.line->id};
        CHECK(named() == both);
        const Ids before = a.read(note).withoutAuthority;
        std::reverse(a.entries.begin(), a.entries.end());
        CHECK(a.read(note).withoutAuthority == before);
        CHECK(a.read(note).isWithdrawn);
    }
}

TEST_CASE("What stands earlier in the order than its target has no effect", "[journal]") {
    Amending a;
    const Entry note = a.add("butterfly.noted", {{"sex", "female"}}, {.about = {id(1)}, .lamport = 30});
    a.correct(note, {{"sex", "male"}}, {}, {.lamport = 20});
    a.withdraw(note, {.lamport = 10});
    // At the same lamport the device decides, then the seq.
    a.correct(note, {{"sex", "unknown"}}, {}, {.device = device('2'), .lamport = 30});
    const Amended read = a.read(note);
    CHECK(a.sex(note) == "female");
    CHECK_FALSE(read.isWithdrawn);
    CHECK(read.withoutAuthority.empty());
    CHECK(read.appliedCorrections.empty());
}

TEST_CASE("Amendments in words of a newer Discal have no effect", "[journal]") {
    Amending a;
    const Entry note = a.note();
    a.correct(note, {{"sex", "male"}}, {}, {.version = 2});
    CHECK(a.sex(note) == "female");
    // 2026-11: version 2 of entry.withdrawn counted as if it were version 1.
    a.withdraw(note, {.version = 2});
    CHECK_FALSE(a.read(note).isWithdrawn);
    CHECK(a.read(note).withoutAuthority.empty());
}

TEST_CASE("A line that a newer Discal amended needs a newer one to be read", "[journal]") {
    Amending a;
    const Entry note = a.note();
    const Entry other = a.note();
    CHECK_FALSE(a.read(note).needsNewer);
    SECTION("corrected") {
        const Entry newer = a.correct(note, {{"sex", "male"}}, {}, {.version = 2});
        CHECK(a.read(note).needsNewer);
        SECTION("until that is withdrawn in words that we know, and again when those words are taken back") {
            const Entry undo = a.withdraw(newer);
            CHECK_FALSE(a.read(note).needsNewer);
            a.withdraw(undo);
            CHECK(a.read(note).needsNewer);
        }
        SECTION("also if it is withdrawn in words that we don't know") {
            a.withdraw(newer, {.version = 2});
            CHECK(a.read(note).needsNewer);
        }
        SECTION("and a correction that we know takes effect beside it") {
            a.correct(note, {{"sex", "unknown"}}, {newer.line->id});
            CHECK(a.sex(note) == "unknown");
            CHECK(a.read(note).needsNewer);
        }
    }
    SECTION("withdrawn") {
        a.withdraw(note, {.version = 2});
        CHECK(a.read(note).needsNewer);
    }
    SECTION("whose withdrawal it took back or corrected") {
        const Entry undo = a.withdraw(note);
        CHECK_FALSE(a.read(note).needsNewer);
        SECTION("back") {
            a.withdraw(undo, {.version = 2});
        }
        SECTION("corrected") {
            a.correct(undo, {{"act", note.line->id.text()}}, {}, {.version = 2});
        }
        CHECK(a.read(note).isWithdrawn);
        CHECK(a.read(note).needsNewer);
    }
    SECTION("whose correction it took back") {
        const Entry correction = a.correct(note, {{"sex", "male"}});
        a.withdraw(correction, {.version = 2});
        CHECK(a.sex(note) == "male");
        CHECK(a.read(note).needsNewer);
    }
    CHECK_FALSE(a.read(other).needsNewer);
}

TEST_CASE("An amendment of a newer Discal that could not count marks nothing", "[journal]") {
    Amending a;
    const Entry note = a.add("butterfly.noted", {{"sex", "female"}}, {.about = {id(1)}, .lamport = 30});
    SECTION("by a device that may not amend it") {
        a.correct(note, {{"sex", "male"}}, {}, {.device = device('b'), .version = 2});
        a.withdraw(note, {.device = device('b'), .version = 2});
        CHECK(journal::isNamedByNewer(note, a));
    }
    SECTION("that stands before the line") {
        a.correct(note, {{"sex", "male"}}, {}, {.version = 2, .lamport = 20});
        a.withdraw(note, {.version = 2, .lamport = 10});
        CHECK_FALSE(journal::isNamedByNewer(note, a));
    }
    CHECK_FALSE(a.read(note).needsNewer);
    a.withdraw(note, {.device = device('o'), .version = 2});
    CHECK(a.read(note).needsNewer);
    CHECK(journal::isNamedByNewer(note, a));
}

TEST_CASE("An amendment whose bytes are no line is passed over", "[journal]") {
    class Broken : public Amending {
        std::vector<Entry> correctionsOf(const Uuid&) override {
            return {journal::makeEntry(device('a'), 9, "{}")};
        }
        std::vector<Entry> withdrawalsOf(const Uuid&) override {
            return {journal::makeEntry(device('a'), 9, "{}")};
        }
    };
    Broken broken;
    const Entry note = broken.note();
    CHECK_FALSE(broken.read(note).isWithdrawn);
    CHECK(broken.sex(note) == "female");
}

TEST_CASE("Acts that withdraw themselves or each other come to an end", "[journal]") {
    Amending a;
    const Entry note = a.note();
    SECTION("A withdrawal in the act that it takes back") {
        const Entry self = a.withdraw(note, {.act = note.line->act});
        CHECK(a.read(note).isWithdrawn);
        CHECK_FALSE(a.read(self).isWithdrawn); // it does not stand after itself
    }
    SECTION("Two that take back each other") {
        const Uuid x = id(100);
        const Uuid y = id(101);
        const Entry first = a.add("entry.withdrawn", {{"act", y.text()}}, {.act = x});
        const Entry second = a.add("entry.withdrawn", {{"act", x.text()}}, {.act = y});
        CHECK(a.read(first).isWithdrawn);
        CHECK_FALSE(a.read(second).isWithdrawn);
    }
    SECTION("A correction of a correction") {
        const Entry self = a.correct(note, {{"sex", "male"}});
        a.correct(self, {{"set", json::object{{"sex", "unknown"}}}});
        CHECK(a.sex(note) == "male"); // corrections are not corrected, only replaced or withdrawn
    }
}

// 2026-11: lines that withdraw the very act they are in were judged once for every way to reach them, so
// forty of them by one phone stopped every other.
TEST_CASE("Many withdrawals within one act are each judged once", "[journal]") {
    Amending a;
    const Entry note = a.note();
    for (int i = 0; i < 200; ++i)
        a.withdraw(note, {.act = note.line->act});
    a.asked = 0;
    CHECK(a.read(note).isWithdrawn);
    CHECK(a.asked < 200 + 10); // what corrects each of them, too: a newer Discal might
    CHECK(a.read(a.entries[199]).isWithdrawn);
    CHECK_FALSE(a.read(a.entries[200]).isWithdrawn);
}

// 2026-11: a chain of withdrawals of withdrawals took one stack frame each.
TEST_CASE("A long chain of withdrawals does not use up the stack", "[journal]") {
    class Chain : public journal::Amendments {
    public:
        std::vector<Entry> entries;
        std::vector<Entry> correctionsOf(const Uuid&) override { return {}; }
        std::vector<Entry> withdrawalsOf(const Uuid& act) override {
            // Each withdraws the one before it.
            const std::size_t n =
                (std::size_t{act.bytes[13]} << 16U) + (std::size_t{act.bytes[14]} << 8U) + act.bytes[15];
            return n + 1 < entries.size() ? std::vector{entries[n + 1]} : std::vector<Entry>();
        }
        bool isOffice(const journal::DeviceId&, const Order&) override { return false; }
    };
    Chain chain;
    constexpr unsigned kLength = 30'000;
    journal::Line line = *Lines().entry("entry.withdrawn", {}).line;
    for (unsigned i = 0; i <= kLength; ++i) {
        line.id = line.act = id(i);
        line.lamport = i + 1;
        Entry entry{device('a'), i + 1, "", line};
        chain.entries.push_back(std::move(entry));
    }
    // The last stands, so every second one before it does.
    CHECK_FALSE(journal::amended(chain.entries[kLength], chain).isWithdrawn);
    CHECK(journal::amended(chain.entries[kLength - 1], chain).isWithdrawn);
    CHECK_FALSE(journal::amended(chain.entries[0], chain).isWithdrawn);
    CHECK(journal::amended(chain.entries[1], chain).isWithdrawn);
}

// design.md, section 5: a subject's state is a pure function of the set of its lines; arrival can't matter.
TEST_CASE("A line is read the same in whatever order its amendments arrived", "[journal]") {
    const unsigned seed = tests::seed();
    INFO("seed " << seed);
    std::mt19937 random(seed);
    const auto below = [&](std::size_t n) {
        return std::uniform_int_distribution<std::size_t>(0, n - 1)(random);
    };
    const auto summary = [](const Amended& read) {
        std::string out = json::serialize(read.line.body) + (read.isWithdrawn ? " withdrawn" : "") +
                          (read.needsNewer ? " needs newer" : "");
        for (const auto& odds : read.atOdds)
            out += " " + odds.field + json::serialize(journal::idsToJson(odds.corrections));
        return out + json::serialize(journal::idsToJson(read.appliedCorrections)) +
               json::serialize(journal::idsToJson(read.withoutAuthority));
    };
    int withdrawn = 0;
    int corrected = 0;
    int newer = 0;
    for (int history = 0; history < 300; ++history) {
        Amending a;
        const std::vector<journal::DeviceId> devices{device('a'), device('b'), device('o')};
        a.note();
        a.note();
        for (std::size_t n = 1 + below(12); n > 0; --n) {
            const Entry target = a.entries[below(a.entries.size())];
            Lines::Options options{.device = devices[below(3)]};
            if (below(8) == 0)
                options.version = 2;
            if (below(4) == 0)
                options.lamport = static_cast<std::int64_t>(1 + below(20));
            if (below(2) == 0)
                a.withdraw(target, options);
            else
                a.correct(target, {{below(2) == 0 ? "sex" : "wear", below(3) == 0 ? "x" : "y"}},
                          below(2) == 0 ? Ids{a.entries[below(a.entries.size())].line->id} : Ids{}, options);
        }
        const auto written = a.entries;
        std::vector<std::string> before;
        for (const Entry& entry : written) {
            before.push_back(summary(a.read(entry)));
            withdrawn += a.read(entry).isWithdrawn ? 1 : 0;
            corrected += a.read(entry).appliedCorrections.empty() ? 0 : 1;
            newer += a.read(entry).needsNewer ? 1 : 0;
        }
        std::shuffle(a.entries.begin(), a.entries.end(), random);
        for (std::size_t i = 0; i < written.size(); ++i)
            CHECK(summary(a.read(written[i])) == before[i]);
    }
    CHECK(withdrawn > 100);
    CHECK(corrected > 100);
    CHECK(newer > 100);
}
