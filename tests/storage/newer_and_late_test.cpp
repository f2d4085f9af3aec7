// Lines that a newer Discal wrote, and lines that come late, twice or from a chain that went two ways.

#include "storage/journal_maker.h"

#include "crash/simulated_disk.h"

#include "catch_compat.hpp"
#include "reference.h"

#include <algorithm>

using namespace discal;
using namespace discal::tests;
using journal::Uuid;
using storage::Journal;
using storage::Place;

namespace {

namespace json = boost::json;

/// Journals on one disk in memory.
class Desk {
public:
    [[nodiscard]] std::unique_ptr<Journal> open(const std::string& name, std::uint64_t seed) {
        return openWriter(place(name), seed);
    }
    [[nodiscard]] Place place(const std::string& name) {
        return Place("/disk/" + name + ".discal", m_folder.path() / name, m_disk.name());
    }

private:
    SideFolder m_folder;
    SimulatedDisk m_disk;
};

tag::Code codeOf(const std::string& text) {
    return good(tag::Code::fromText(text));
}

void pass(Journal& from, Journal& to) {
    (void)good(to.receive(delivery(from, from.device())));
}

/// The rows are those of a fresh reading.
void checkRows(Journal& journal) {
    const auto fresh = good(storage::Projections::openInMemory(journal.file()));
    CHECK(difference(good(journal.projections().dump()), good(fresh->dump())) == "");
}

std::vector<std::string> openDoubts(Journal& journal) {
    std::vector<std::string> out;
    for (const auto& doubt : good(journal.projections().doubts()))
        if (!doubt.settled)
            out.push_back(doubt.doubt.key());
    return out;
}

bool has(const std::vector<std::string>& list, const std::string& text) {
    return std::find(list.begin(), list.end(), text) != list.end();
}

} // namespace

TEST_CASE("A kind we don't know is kept, its subjects need a newer Discal, and their codes are not offered",
          "[storage]") {
    Desk desk;
    const auto journal = desk.open("a", 1);
    JournalMaker maker(*journal, 1);
    maker.started();
    maker.sheetReceived("RKD 001", 30);
    const Uuid sheet = maker.subject();
    maker.note("RKD 014");
    const Uuid butterfly = maker.subject();
    maker.happened("butterfly.escaped", butterfly, {{"tag", "off"}});
    REQUIRE(good(journal->projections().isOfferedBy(codeOf("RKD 014"), journal->device())));
    REQUIRE(good(journal->projections().isOfferedBy(codeOf("RKD 020"), journal->device())));

    SECTION("about a butterfly") {
        maker.unknown("butterfly.glued", 1, {butterfly});
        CHECK(good(journal->projections().butterfly(butterfly.text()))->needsNewer);
        CHECK_FALSE(good(journal->projections().isOfferedBy(codeOf("RKD 014"), journal->device())));
        CHECK(good(journal->projections().isOfferedBy(codeOf("RKD 020"), journal->device())));
    }
    SECTION("a higher version of a kind we know") {
        maker.unknown("butterfly.released", 2, {butterfly}, {{"wings", 4}});
        const auto now = good(journal->projections().butterfly(butterfly.text())).value();
        CHECK(now.needsNewer);
        CHECK(now.fate == butterfly::Fate::Escaped); // not guessed at
        CHECK_FALSE(good(journal->projections().isOfferedBy(codeOf("RKD 014"), journal->device())));
    }
    SECTION("about a sheet") {
        maker.unknown("sheet.torn", 1, {sheet});
        CHECK(good(journal->projections().sheet(sheet.text()))->needsNewer);
        CHECK_FALSE(good(journal->projections().isOfferedBy(codeOf("RKD 014"), journal->device())));
        CHECK_FALSE(good(journal->projections().isOfferedBy(codeOf("RKD 020"), journal->device())));
    }
    SECTION("that only names a code") {
        maker.unknown("moth.tagged", 1, {maker.newId()}, {{"code", "RKD 020"}});
        CHECK(good(journal->projections().tag(codeOf("RKD 020"))).needsNewer);
        CHECK_FALSE(good(journal->projections().isOfferedBy(codeOf("RKD 020"), journal->device())));
        CHECK(good(journal->projections().isOfferedBy(codeOf("RKD 021"), journal->device())));
    }
    SECTION("about a session") {
        const Uuid session = maker.newId();
        maker.append(maker.line("session.opened", {session}, {{"people", 2}}));
        maker.unknown("session.paused", 1, {session});
        CHECK(good(journal->projections().record(journal::RecordType::Session, session.text()))->needsNewer);
    }
    checkRows(*journal);
    // Withdrawn again it weighs nothing.
    const auto last = good(journal->file().line(journal->device(), journal->head().seq)).value();
    maker.withdraw(good(journal::parseLine(last)).act);
    CHECK_FALSE(good(journal->projections().butterfly(butterfly.text()))->needsNewer);
    CHECK(good(journal->projections().isOfferedBy(codeOf("RKD 014"), journal->device())));
    CHECK(good(journal->projections().isOfferedBy(codeOf("RKD 020"), journal->device())));
    checkRows(*journal);
}

TEST_CASE("Newer lines and nonsense are relayed byte for byte", "[storage]") {
    Desk desk;
    const auto one = desk.open("one", 1);
    const auto two = desk.open("two", 2);
    const auto three = desk.open("three", 3);
    JournalMaker maker(*one, 1);
    maker.started();
    maker.unknown("butterfly.glued", 7, {maker.newId()}, {{"glue", "starch"}, {"code", "RKD 014"}});
    (void)good(one->append({
        R"({ "id" : "019a0000-0000-7000-8000-000000000001", "kind":"x.y", "v":99, "extra": [1,  2] })",
        "\x01\xFE not UTF-8",
        "{}",
    }));
    maker.note("RKD 015");
    pass(*one, *two);
    // Two gives it on as it came, with the head that One signed.
    auto relayed = delivery(*two, one->device());
    CHECK(relayed.head == one->head());
    (void)good(three->receive(relayed));
    CHECK(linesOf(three->file()) == linesOf(one->file()));
    CHECK(good(three->file().verify()).isSound());
    CHECK(has(openDoubts(*three), "line.unreadable line-at " + one->device().text() + "/3"));
    CHECK(good(three->projections().butterfliesWith("RKD 015")).size() == 1);
    checkRows(*three);
}

TEST_CASE("What a newer Discal amended stands as it was, and its tags are not offered", "[storage]") {
    Desk desk;
    const auto journal = desk.open("a", 1);
    JournalMaker maker(*journal, 1);
    auto& projections = journal->projections();
    maker.started();
    maker.sheetReceived("RKD 001", 30);
    const Uuid sheet = maker.subject();
    const Uuid note = maker.note("RKD 014", "female");
    const Uuid butterfly = maker.subject();
    maker.happened("butterfly.escaped", butterfly, {{"tag", "off"}});
    const Uuid paper = maker.tagLine("tag.paper", "RKD 020", 2);
    const Uuid mistake = maker.note("RKD 025");
    const Uuid undo = maker.withdraw(mistake);
    const auto isOffered = [&](const char* code) {
        return good(projections.isOfferedBy(codeOf(code), journal->device()));
    };
    REQUIRE(isOffered("RKD 014"));
    REQUIRE(isOffered("RKD 025"));
    REQUIRE(isOffered("RKD 026"));

    Uuid newer;
    SECTION("a correction of a butterfly's line") {
        newer = maker.unknown("entry.corrected", 2, {},
                              {{"of", note.text()}, {"set", {{"sex", "male"}, {"code", "RKD 026"}}}});
        const auto now = good(projections.butterfly(butterfly.text())).value();
        CHECK(now.needsNewer);
        CHECK(now.sex == "female");
        CHECK(now.fate == butterfly::Fate::Escaped);
        CHECK_FALSE(isOffered("RKD 014"));
        CHECK_FALSE(isOffered("RKD 026")); // it may well be on its wing
        CHECK(good(projections.butterfliesWith("RKD 026")).empty());
    }
    SECTION("a withdrawal of it") {
        newer = maker.unknown("entry.withdrawn", 2, {}, {{"act", note.text()}});
        const auto now = good(projections.butterfly(butterfly.text())).value();
        CHECK(now.needsNewer);
        CHECK(now.fate == butterfly::Fate::Escaped);
        CHECK_FALSE(isOffered("RKD 014"));
        CHECK(isOffered("RKD 026"));
    }
    SECTION("a withdrawal of a line about the tag") {
        newer = maker.unknown("entry.withdrawn", 2, {}, {{"act", paper.text()}});
        const auto state = good(projections.tag(codeOf("RKD 021")));
        CHECK(state.needsNewer);
        CHECK(state.fate == tag::Fate::Paper);
    }
    SECTION("a withdrawal of a withdrawal: the line it took back may count again") {
        newer = maker.unknown("entry.withdrawn", 2, {}, {{"act", undo.text()}});
        CHECK(good(projections.butterfliesWith("RKD 025")).empty());
        CHECK_FALSE(isOffered("RKD 025"));
        CHECK(good(projections.tag(codeOf("RKD 025"))).fate == tag::Fate::Free);
        CHECK(isOffered("RKD 014"));
    }
    SECTION("what is only said to be about a butterfly and a code") {
        newer = maker.unknown("entry.corrected", 2, {butterfly}, {{"code", "RKD 026"}, {"lines", "all"}});
        CHECK(good(projections.butterfly(butterfly.text()))->needsNewer);
        CHECK_FALSE(isOffered("RKD 014"));
        CHECK_FALSE(isOffered("RKD 026"));
    }
    SECTION("a line of a sheet") {
        const auto received = good(projections.sheet(sheet.text())).value().receivedLines.front();
        newer = maker.unknown("entry.corrected", 2, {}, {{"of", received.text()}, {"set", {{"count", 10}}}});
        CHECK(good(projections.sheet(sheet.text()))->needsNewer);
        CHECK(good(projections.sheet(sheet.text()))->run->count == 30);
        CHECK_FALSE(isOffered("RKD 014"));
        CHECK_FALSE(isOffered("RKD 026"));
    }
    checkRows(*journal);
    maker.released(butterfly);
    checkRows(*journal);

    // Line by line on another device it comes to the same.
    const LooseChain chain(1, *journal);
    const auto late = desk.open("late", 2);
    for (std::size_t seq = 1; seq <= chain.size(); ++seq) {
        (void)good(late->receive(chain.delivery(seq, seq)));
        checkRows(*late);
    }
    CHECK(linesOf(late->file()) == linesOf(journal->file()));

    maker.withdraw(newer);
    CHECK_FALSE(good(projections.butterfly(butterfly.text()))->needsNewer);
    CHECK_FALSE(good(projections.sheet(sheet.text()))->needsNewer);
    CHECK(isOffered("RKD 025"));
    CHECK(isOffered("RKD 026"));
    CHECK_FALSE(good(projections.tag(codeOf("RKD 021"))).needsNewer);
    checkRows(*journal);
}

// 2026-11: they were looked at once for every way to reach them, and twenty of them took minutes.
TEST_CASE("Withdrawals that name the very act they are in are each looked at once", "[storage]") {
    Desk desk;
    const auto journal = desk.open("a", 1);
    JournalMaker maker(*journal, 1);
    maker.started();
    journal::Line line = maker.noteLine("RKD 014");
    const Uuid act = maker.append(line);
    for (int i = 0; i < 30; ++i) {
        line = maker.line("entry.withdrawn", {}, {{"act", act.text()}, {"over", json::array()}});
        line.act = act;
        maker.append(line);
    }
    CHECK(good(journal->projections().butterfliesWith("RKD 014")).empty());
    checkRows(*journal);
}

TEST_CASE("A newer office's amendment marks a line whichever of them arrives first", "[storage]") {
    Desk desk;
    const auto office = desk.open("office", 1);
    const auto phone = desk.open("phone", 2);
    JournalMaker boss(*office, 1);
    JournalMaker maker(*phone, 2);
    boss.started();
    boss.founded();
    maker.started();
    pass(*office, *phone);
    const Uuid line = maker.note("RKD 014", "female");
    const Uuid butterfly = maker.subject();
    const Uuid other = maker.note("RKD 015");
    pass(*phone, *office);
    boss.unknown("entry.corrected", 2, {}, {{"of", line.text()}, {"set", {{"sex", "male"}}}});
    boss.unknown("entry.withdrawn", 2, {}, {{"act", other.text()}});
    for (const bool officeFirst : {true, false}) {
        const auto third = desk.open(officeFirst ? "third" : "fourth", 3);
        pass(officeFirst ? *office : *phone, *third);
        checkRows(*third);
        pass(officeFirst ? *phone : *office, *third);
        const auto now = good(third->projections().butterfly(butterfly.text())).value();
        CHECK(now.needsNewer);
        CHECK(now.sex == "female");
        CHECK(good(third->projections().butterfliesWith("RKD 015")).front().needsNewer);
        CHECK(good(third->projections().tag(codeOf("RKD 014"))).needsNewer);
        CHECK(openDoubts(*third) == openDoubts(*office));
        checkRows(*third);
    }
}

TEST_CASE("A correction that arrives before its line takes effect when that comes", "[storage]") {
    Desk desk;
    const auto office = desk.open("office", 1);
    const auto phone = desk.open("phone", 2);
    const auto third = desk.open("third", 3);
    JournalMaker boss(*office, 1);
    JournalMaker maker(*phone, 2);
    boss.started();
    boss.founded();
    maker.started();
    pass(*office, *phone);
    const Uuid line = maker.note("RKD 014", "female");
    const Uuid butterfly = maker.subject();
    const Uuid mistake = maker.note("RKD 015");
    const Uuid gone = maker.subject();
    pass(*phone, *office);
    boss.correct(line, "code", "RKD 016");
    boss.correct(line, "sex", "male");
    boss.withdraw(mistake);
    const auto expected = good(office->projections().butterfly(butterfly.text())).value();
    REQUIRE(expected.currentCode() == "RKD 016");

    pass(*office, *third);
    CHECK_FALSE(good(third->projections().butterfly(butterfly.text())));
    checkRows(*third);
    pass(*phone, *third);
    const auto now = good(third->projections().butterfly(butterfly.text())).value();
    CHECK(now.currentCode() == "RKD 016");
    CHECK(now.sex == "male");
    CHECK_FALSE(good(third->projections().butterfly(gone.text())));
    CHECK(good(third->projections().tag(codeOf("RKD 014"))).fate == tag::Fate::Free);
    CHECK(good(third->projections().tag(codeOf("RKD 015"))).fate == tag::Fate::Free);
    CHECK(good(third->projections().tag(codeOf("RKD 016"))).fate == tag::Fate::OnButterfly);
    checkRows(*third);
}

TEST_CASE("A correction by somebody who is no office waits for its authority", "[storage]") {
    Desk desk;
    const auto office = desk.open("office", 1);
    const auto phone = desk.open("phone", 2);
    const auto third = desk.open("third", 3);
    JournalMaker boss(*office, 1);
    JournalMaker maker(*phone, 2);
    maker.started();
    const Uuid line = maker.note("RKD 014");
    const Uuid butterfly = maker.subject();
    pass(*phone, *office);
    boss.started();
    boss.founded();
    boss.correct(line, "sex", "male");
    // The correction without the founding line can't come: they are one chain. Without the enrolment it can.
    const auto helper = desk.open("helper", 4);
    JournalMaker help(*helper, 4);
    pass(*office, *helper);
    pass(*phone, *helper);
    boss.enrolled(helper->device(), "office");
    pass(*office, *helper);
    help.started();
    help.correct(line, "code", "RKD 016");

    (void)good(third->receive(LooseChain(1, *office).delivery(1, 3)));
    (void)good(third->receive(delivery(*helper, helper->device())));
    pass(*phone, *third);
    CHECK(good(third->projections().butterfly(butterfly.text()))->currentCode() == "RKD 014");
    CHECK(good(third->projections().butterfly(butterfly.text()))->sex == "male");
    CHECK(has(openDoubts(*third), "correction.without-authority line " + line.text()));
    checkRows(*third);
    pass(*office, *third);
    CHECK(good(third->projections().butterfly(butterfly.text()))->currentCode() == "RKD 016");
    CHECK_FALSE(has(openDoubts(*third), "correction.without-authority line " + line.text()));
    checkRows(*third);
}

TEST_CASE("Corrections of the first code and of the count of a run move it together", "[storage]") {
    Desk desk;
    const auto journal = desk.open("a", 1);
    JournalMaker maker(*journal, 1);
    maker.started();
    maker.sheetReceived("RKD 001", 99);
    const Uuid line = maker.tagLine("tag.paper", "RKD 010", 2);
    maker.append(maker.line("entry.corrected", {},
                            {{"of", line.text()},
                             {"set", {{"first", "RKD 050"}, {"count", 9}}},
                             {"over", json::array()},
                             {"why", "x"}}));
    CHECK(good(journal->projections().tag(codeOf("RKD 010"))).fate == tag::Fate::Free);
    CHECK(good(journal->projections().tag(codeOf("RKD 050"))).fate == tag::Fate::Paper);
    CHECK(good(journal->projections().tag(codeOf("RKD 058"))).fate == tag::Fate::Paper);
    CHECK(good(journal->projections().tag(codeOf("RKD 059"))).fate == tag::Fate::Free);
    checkRows(*journal);
}

TEST_CASE("What a correction is about is not changed by the correction's own arrival", "[storage]") {
    // A correction that names a butterfly in `about`, of a line that we don't have.
    Desk desk;
    const auto journal = desk.open("a", 1);
    JournalMaker maker(*journal, 1);
    maker.started();
    maker.note("RKD 014");
    const Uuid butterfly = maker.subject();
    maker.append(
        maker.line("entry.corrected", {butterfly},
                   {{"of", maker.newId().text()}, {"set", {{"sex", "male"}}}, {"over", json::array()}}));
    CHECK(good(journal->projections().butterfly(butterfly.text()))->lines.size() == 1);
    checkRows(*journal);
    maker.released(butterfly);
    checkRows(*journal);
}

TEST_CASE("A recapture that came before the noting is marked with it, whichever arrives first", "[storage]") {
    Desk desk;
    const auto one = desk.open("one", 1);
    const auto two = desk.open("two", 2);
    JournalMaker noting(*one, 1);
    JournalMaker seeing(*two, 2);
    noting.started();
    seeing.started();
    noting.sheetReceived("RKD 001", 30);
    const Uuid note = noting.note("RKD 014");
    const Uuid butterfly = noting.subject();
    noting.released(butterfly);
    const Uuid apart = seeing.recaptured("RKD 014");
    const Uuid again = seeing.recaptured("RKD 014", seeing.subject());
    seeing.recaptured("ZQM 417");
    seeing.recaptured("RKD 029");
    const std::string key = "butterfly.seen-apart code RKD 014";
    CHECK(openDoubts(*one).empty());
    CHECK(openDoubts(*two).empty());
    for (const bool noteFirst : {true, false}) {
        const auto third = desk.open(noteFirst ? "third" : "fourth", 3);
        pass(noteFirst ? *one : *two, *third);
        CHECK(openDoubts(*third).empty());
        pass(noteFirst ? *two : *one, *third);
        CHECK(openDoubts(*third) == std::vector{key});
        CHECK(good(third->projections().marksOf(note)) == std::vector{key});
        CHECK(good(third->projections().marksOf(apart)) == std::vector{key});
        CHECK(good(third->projections().marksOf(again)).empty());
        checkRows(*third);
    }
    // A phone that knows it joins what it sees.
    pass(*two, *one);
    noting.recaptured("RKD 014", butterfly);
    seeing.withdraw(again);
    seeing.withdraw(apart);
    pass(*two, *one);
    CHECK(openDoubts(*one).empty());
    checkRows(*one);
}

TEST_CASE("A settled doubt holds until further evidence appears", "[storage]") {
    Desk desk;
    const auto journal = desk.open("a", 1);
    JournalMaker maker(*journal, 1);
    maker.started();
    maker.founded();
    maker.sheetReceived("RKD 001", 99);
    maker.note("RKD 014");
    maker.note("RKD 014");
    const std::string key = "code.used-twice code RKD 014";
    REQUIRE(has(openDoubts(*journal), key));
    std::vector<Uuid> evidence;
    for (const auto& doubt : good(journal->projections().doubts()))
        if (doubt.doubt.key() == key)
            evidence = doubt.doubt.evidence;
    CHECK(evidence.size() == 2);
    CHECK(good(journal->projections().marksOf(evidence.front())) == std::vector<std::string>{key});
    const Uuid settlement = maker.settled(key, evidence, "printed twice");
    CHECK_FALSE(has(openDoubts(*journal), key));
    CHECK(good(journal->projections().marksOf(evidence.front())).empty());
    maker.note("RKD 014");
    CHECK(has(openDoubts(*journal), key));
    maker.withdraw(maker.note("RKD 099"));
    maker.withdraw(settlement);
    CHECK(has(openDoubts(*journal), key));
    checkRows(*journal);
}

TEST_CASE("Lines of one subject that disagree on what it is say the same in any order", "[storage]") {
    Desk desk;
    const auto one = desk.open("one", 1);
    const auto two = desk.open("two", 2);
    JournalMaker first(*one, 1);
    JournalMaker second(*two, 2);
    first.started();
    first.note("RKD 014");
    const Uuid id = first.subject();
    pass(*one, *two);
    second.started();
    second.sheetReceivedAs(id, "RKD 001", 20);
    second.append(second.line("session.opened", {id}, {{"people", 3}}));
    second.append(second.line("site.set", {id}, {{"name", "a site"}}));
    const LooseChain chain(2, *two);
    std::vector<std::string> dumps;
    for (int way = 0; way < 2; ++way) {
        const auto journal = desk.open("third" + std::to_string(way), 3);
        if (way == 0)
            pass(*one, *journal);
        for (std::size_t seq = 1; seq <= chain.size(); ++seq) {
            (void)good(journal->receive(chain.delivery(seq, seq)));
            checkRows(*journal);
        }
        if (way == 1)
            pass(*one, *journal);
        checkRows(*journal);
        CHECK(good(journal->projections().butterfly(id.text())));
        CHECK_FALSE(good(journal->projections().sheet(id.text())));
        dumps.push_back(good(journal->projections().dump()));
    }
    CHECK(difference(dumps[0], dumps[1]) == "");
}

TEST_CASE("A forked line beyond the end of its chain can be corrected and withdrawn", "[storage]") {
    Desk desk;
    const auto journal = desk.open("a", 1);
    JournalMaker maker(*journal, 1);
    maker.started();
    // A device that went two ways after its first line: one more here, four more there.
    LooseChain here(7);
    LooseChain there(7);
    const auto started =
        good(journal::encodeLine(maker.line("device.started", {}, {{"name", "copied phone"}})));
    here.add(started);
    there.add(started);
    here.add(good(journal::encodeLine(maker.noteLine("RKD 010"))));
    std::vector<Uuid> butterflies;
    std::vector<Uuid> lines;
    for (int i = 0; i < 4; ++i) {
        const auto line = maker.noteLine("RKD 02" + std::to_string(i));
        butterflies.push_back(maker.subject());
        lines.push_back(line.id);
        there.add(good(journal::encodeLine(line)));
    }
    auto correction =
        maker.line("entry.corrected", {},
                   {{"of", lines[3].text()}, {"set", {{"sex", "male"}}}, {"over", json::array()}});
    there.add(good(journal::encodeLine(correction)));
    there.add(good(journal::encodeLine(maker.line("entry.withdrawn", {}, {{"act", lines[0].text()}}))));
    (void)good(journal->receive(here.delivery(1, 2)));
    const auto receipt = good(journal->receive(there.delivery(1, 7)));
    CHECK(receipt.forked == 6);
    CHECK(receipt.known == 1);
    CHECK(receipt.head.seq == 2);
    CHECK_FALSE(good(journal->projections().butterfly(butterflies[0].text())));
    CHECK(good(journal->projections().butterfly(butterflies[3].text()))->sex == "male");
    CHECK(good(journal->projections().butterflyCount()) == 4);
    checkRows(*journal);
    CHECK(good(journal->file().verify()).isSound());
    // The other branch again, in pieces: known, and nothing changes.
    const std::string dump = good(journal->projections().dump());
    (void)good(journal->receive(there.delivery(3, 6)));
    (void)good(journal->receive(here.delivery(2, 2)));
    CHECK(difference(good(journal->projections().dump()), dump) == "");
    checkRows(*journal);
}

TEST_CASE("Three branches at one place are one doubt with all of them", "[storage]") {
    Desk desk;
    std::vector<std::string> dumps;
    for (int way = 0; way < 2; ++way) {
        const auto journal = desk.open("a" + std::to_string(way), 1);
        JournalMaker maker(*journal, 1);
        const auto started = good(journal::encodeLine(maker.line("device.started", {}, {{"name", "phone"}})));
        std::vector<LooseChain> branches;
        std::vector<Uuid> lines;
        for (int i = 0; i < 3; ++i) {
            branches.emplace_back(7);
            branches.back().add(started);
            const auto line = maker.noteLine("RKD 02" + std::to_string(i));
            lines.push_back(line.id);
            branches.back().add(good(journal::encodeLine(line)));
        }
        (void)good(journal->receive(branches[0].delivery(1, 2)));
        (void)good(journal->receive(branches[way == 0 ? 1 : 2].delivery(1, 2)));
        (void)good(journal->receive(branches[way == 0 ? 2 : 1].delivery(1, 2)));
        for (const auto& doubt : good(journal->projections().doubts()))
            if (doubt.doubt.rule == "chain.forked")
                CHECK((doubt.doubt.evidence == std::vector<Uuid>{lines[1], lines[2]}));
        checkRows(*journal);
        dumps.push_back(good(journal->projections().dump()));
    }
    CHECK(difference(dumps[0], dumps[1]) == "");
}

TEST_CASE("A head without lines counts only if it stands on our chain", "[storage]") {
    Desk desk;
    const auto journal = desk.open("a", 1);
    JournalMaker maker(*journal, 1);
    maker.started();
    LooseChain here(7);
    LooseChain there(7);
    for (int i = 0; i < 3; ++i) {
        here.add(good(journal::encodeLine(maker.noteLine("RKD 01" + std::to_string(i)))));
        there.add(good(journal::encodeLine(maker.noteLine("RKD 02" + std::to_string(i)))));
    }
    (void)good(journal->receive(here.delivery(1, 3)));
    const auto same = good(journal->receive(here.delivery(4, 3)));
    CHECK(same.fresh + same.known + same.forked == 0);
    const auto other = journal->receive(there.delivery(4, 3));
    REQUIRE_FALSE(other);
    CHECK(other.error().code == Code::Forked);
    const auto ahead = journal->receive([&] {
        there.add(good(journal::encodeLine(maker.noteLine("RKD 024"))));
        return there.delivery(5, 4);
    }());
    REQUIRE_FALSE(ahead);
    CHECK(ahead.error().code == Code::Gap);
    // Were the other branch's signature kept, the next opening would call the journal damaged.
    CHECK(good(journal->file().verify()).isSound());
    CHECK(good(journal->file().chain(here.device())).value().signedHead == here.delivery(1, 3).head);
}

TEST_CASE("A delivery that is wrong anywhere stores nothing", "[storage]") {
    Desk desk;
    const auto journal = desk.open("a", 1);
    JournalMaker maker(*journal, 1);
    maker.started();
    LooseChain chain(7);
    for (int i = 0; i < 6; ++i)
        chain.add(good(journal::encodeLine(maker.noteLine("RKD 01" + std::to_string(i)))));
    (void)good(journal->receive(chain.delivery(1, 2)));
    const auto before = linesOf(journal->file());
    const auto dump = good(journal->projections().dump());
    const auto check = [&](storage::Delivery d, Code code) {
        const auto received = journal->receive(d);
        REQUIRE_FALSE(received);
        CHECK(static_cast<int>(received.error().code) == static_cast<int>(code));
        CHECK(difference(linesOf(journal->file()), before) == "");
        CHECK(difference(good(journal->projections().dump()), dump) == "");
    };
    const auto intact = chain.delivery(3, 5);
    auto d = intact;
    d.lines[1][20] = static_cast<char>(d.lines[1][20] ^ 1);
    check(d, Code::BrokenChain);
    d = intact;
    d.lines.pop_back();
    check(d, Code::BrokenChain);
    d = intact;
    std::swap(d.lines[0], d.lines[1]);
    check(d, Code::BrokenChain);
    d = intact;
    d.prev[0] ^= 1;
    check(d, Code::BrokenChain);
    d = intact;
    d.head.seq = 6;
    check(d, Code::BadSignature);
    d = intact;
    d.head.hash[3] ^= 1;
    check(d, Code::BadSignature);
    d = intact;
    d.jws.clear();
    check(d, Code::BadSignature);
    d = intact;
    d.jws = chain.delivery(3, 4).jws;
    check(d, Code::BadSignature);
    d = intact;
    d.publicKey = LooseChain(8).key().publicKey;
    check(d, Code::WrongDevice);
    d = intact;
    d.device = LooseChain(8).device();
    check(d, Code::WrongDevice);
    check(chain.delivery(4, 5), Code::Gap);
    d = intact;
    d.from = 0;
    check(d, Code::BrokenChain);
    d = intact;
    d.blobs.push_back(good(storage::makeBlob({}, "text")));
    d.blobs.back().bytes += "!";
    check(d, Code::Corrupt);
    // A line feed inside a line would shift every later one on the wire.
    LooseChain odd(9);
    odd.add("{\n}");
    check(odd.delivery(1, 1), Code::BrokenChain);
    LooseChain tooShort(10);
    tooShort.add("x");
    check(tooShort.delivery(1, 1), Code::BrokenChain);
    CHECK(good(journal->receive(intact)).fresh == 3);
}
