// Nobody changes a line, with whatever statement: not with our connection, not with a careless other one.

#include "storage/journal_maker.h"

#include "catch_compat.hpp"
#include "reference.h"

#include <SQLiteCpp/SQLiteCpp.h>
#include <algorithm>

using namespace discal;
using namespace discal::tests;
using storage::Place;

namespace {

const std::vector<std::string> kAttacks{
    "UPDATE entry SET line = x'7B7D'",
    "UPDATE entry SET hash = zeroblob(32) WHERE seq = 2",
    "UPDATE OR REPLACE entry SET seq = 1 WHERE seq = 2",
    "UPDATE entry SET seq = seq + 10",
    "DELETE FROM entry",
    "DELETE FROM entry WHERE seq = 3",
    "INSERT OR REPLACE INTO entry SELECT device, seq, x'7B7D', hash FROM entry WHERE seq = 2",
    "REPLACE INTO entry SELECT device, seq, x'7B7D', hash FROM entry",
    "INSERT INTO entry SELECT device, seq, x'7B7D', hash FROM entry WHERE seq = 2 "
    "ON CONFLICT DO UPDATE SET line = excluded.line",
    "UPDATE fork SET line = x'7B7D'",
    "DELETE FROM fork",
    "INSERT OR REPLACE INTO fork SELECT device, seq, hash, x'7B7D' FROM fork",
    "DELETE FROM device",
    "INSERT OR REPLACE INTO device SELECT id, zeroblob(32), 0, zeroblob(32), NULL FROM device",
};

/// A journal with own lines and, in the fork table, lines of another chain that went two ways.
void fill(storage::Journal& journal) {
    JournalMaker maker(journal, 1);
    maker.started();
    maker.note("RKD 014");
    maker.note("RKD 015");
    LooseChain one(7);
    LooseChain other(7);
    const auto first = good(journal::encodeLine(maker.line("device.started", {}, {})));
    one.add(first);
    other.add(first);
    one.add(good(journal::encodeLine(maker.line("site.set", {maker.newId()}, {{"name", "one"}}))));
    other.add(good(journal::encodeLine(maker.line("site.set", {maker.newId()}, {{"name", "other"}}))));
    (void)good(journal.receive(one.delivery(1, 2)));
    CHECK(good(journal.receive(other.delivery(1, 2))).forked == 1);
}

} // namespace

TEST_CASE("Triggers withstand every statement that would change or take a line", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    const auto journal = openWriter(place, 1);
    fill(*journal);
    const auto before = linesOf(journal->file());
    REQUIRE(before.size() == 6);

    SECTION("through our own connection") {
        for (const std::string& attack : kAttacks) {
            INFO(attack);
            CHECK_THROWS_AS(journal->file().database().exec(attack), SQLite::Exception);
            CHECK(difference(linesOf(journal->file()), before) == "");
        }
    }
    SECTION("through another one with recursive_triggers as we set it") {
        SQLite::Database db(place.database.string(), SQLite::OPEN_READWRITE);
        db.exec("PRAGMA recursive_triggers = ON");
        for (const std::string& attack : kAttacks) {
            INFO(attack);
            CHECK_THROWS_AS(db.exec(attack), SQLite::Exception);
            CHECK(difference(linesOf(journal->file()), before) == "");
        }
    }
    CHECK(good(journal->file().verify()).isSound());
}

// What the setting is for: SQLite fires DELETE triggers for REPLACE only with recursive_triggers on
// (lang_conflict.html). A stranger's connection without it can replace a line. It can't hide that: the chain
// no longer verifies.
TEST_CASE("Without recursive_triggers REPLACE passes the triggers, and the chain tells", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    const auto journal = openWriter(place, 1);
    fill(*journal);
    {
        SQLite::Database db(place.database.string(), SQLite::OPEN_READWRITE);
        for (const std::string& attack : kAttacks) {
            if (attack.find("REPLACE") != std::string::npos)
                continue;
            INFO(attack);
            CHECK_THROWS_AS(db.exec(attack), SQLite::Exception);
        }
        db.exec("INSERT OR REPLACE INTO entry SELECT device, seq, x'7B7D', hash FROM entry WHERE seq = 2");
    }
    const auto report = good(journal->file().verify());
    REQUIRE_FALSE(report.isSound());
    CHECK(report.faults.front().code == Code::BrokenChain);
    CHECK(report.faults.front().seq == 2);
    const auto backup = journal->backup(folder.path() / "copy.discal");
    REQUIRE_FALSE(backup);
    CHECK(backup.error().code == Code::Corrupt);
}

TEST_CASE("Lines of a chain that went two ways are both kept, and count", "[storage]") {
    const TemporaryFolder folder;
    const auto journal = openWriter(Place(folder.path() / "a.discal"), 1);
    fill(*journal);
    const auto forks = good(journal->file().forks());
    REQUIRE(forks.size() == 1);
    CHECK(forks.front().seq == 2);
    std::vector<std::string> names;
    for (const auto& site : good(journal->projections().records(journal::RecordType::Site)))
        names.emplace_back(site.members.at("name").as_string());
    std::sort(names.begin(), names.end());
    CHECK(names == std::vector<std::string>{"one", "other"});
    const auto doubts = good(journal->projections().doubts());
    CHECK(std::any_of(doubts.begin(), doubts.end(),
                      [](const auto& d) { return d.doubt.rule == "chain.forked"; }));
    const auto dump = good(journal->projections().dump());
    good(journal->projections().rebuild());
    CHECK(difference(good(journal->projections().dump()), dump) == "");
    CHECK(good(journal->file().verify()).isSound());
}
