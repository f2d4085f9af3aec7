// What the lines say is a function of their set: no order of arrival, no repetition, no rebuilding changes a
// row.

#include "storage/journal_maker.h"

#include "crash/simulated_disk.h"

#include "catch_compat.hpp"
#include "reference.h"

#include <algorithm>
#include <filesystem>
#include <fstream>

using namespace discal;
using namespace discal::tests;
using journal::Uuid;
using storage::Journal;
using storage::Place;
using storage::Projections;

namespace {

namespace json = boost::json;

constexpr std::uint64_t kDevices = 3;

/// Three phones that write a random day, now and then hearing of each other, and their chains at its end.
class Day {
public:
    Day(std::uint64_t seed, std::size_t lines) : m_choices(seed) {
        for (std::uint64_t d = 0; d < kDevices; ++d) {
            const std::uint64_t keySeed = seed * 10 + d;
            Phone phone;
            phone.journal = openWriter(Place("/disk/" + std::to_string(d) + ".discal",
                                             m_folder.path() / std::to_string(d), m_disk.name()),
                                       keySeed);
            phone.maker = std::make_unique<JournalMaker>(*phone.journal, keySeed + 5);
            phone.maker->started("phone " + std::to_string(d));
            m_phones.push_back(std::move(phone));
        }
        for (std::size_t i = 0; i < lines; ++i) {
            Phone& phone = m_phones[m_choices.below(m_phones.size())];
            if (m_choices.chance(1, 8))
                hear(phone);
            act(phone);
        }
        for (std::uint64_t d = 0; d < kDevices; ++d)
            chains.emplace_back(seed * 10 + d, *m_phones[d].journal);
    }

    std::vector<LooseChain> chains;

private:
    /// What a phone knows of, to go on from.
    struct Known {
        std::vector<Uuid> butterflies, sheets, things, lines, corrections;
        std::vector<journal::Hash> blobs;

        void learn(const Known& other) {
            const auto merge = [](auto& mine, const auto& theirs) {
                for (const auto& id : theirs)
                    if (std::find(mine.begin(), mine.end(), id) == mine.end())
                        mine.push_back(id);
            };
            merge(butterflies, other.butterflies);
            merge(sheets, other.sheets);
            merge(things, other.things);
            merge(lines, other.lines);
            merge(corrections, other.corrections);
            merge(blobs, other.blobs);
        }
    };
    struct Phone {
        std::unique_ptr<Journal> journal;
        std::unique_ptr<JournalMaker> maker;
        Known known;
    };

    void hear(Phone& phone) {
        Phone& other = m_phones[m_choices.below(m_phones.size())];
        if (&other == &phone)
            return;
        (void)good(phone.journal->receive(delivery(*other.journal, other.journal->device())));
        phone.known.learn(other.known);
    }

    std::string code() { return "RKD 0" + std::to_string(10 + m_choices.below(25)); }

    /// Most often something that the phone has heard of; sometimes what it can't know yet, as a broken phone
    /// would.
    Uuid one(Phone& phone, std::vector<Uuid> Known::*list) {
        const std::vector<Uuid>* from = &(phone.known.*list);
        if (m_choices.chance(1, 12))
            from = &(m_choices.of(m_phones).known.*list);
        if (from->empty() || m_choices.chance(1, 40))
            return phone.maker->newId();
        return m_choices.of(*from);
    }

    const journal::DeviceId& someDevice() { return m_phones[m_choices.below(kDevices)].journal->device(); }

    json::object correction() {
        switch (m_choices.below(12)) {
        case 0:
            return {{"sex", m_choices.chance(1, 2) ? "male" : "unknown"}};
        case 1:
        case 2:
            return {{"code", code()}};
        case 3:
            return {{"at", "2025-08-29T11:00:00.000Z"}, {"offset_min", 60}};
        case 4:
            return {{"first", code()}, {"count", static_cast<std::int64_t>(1 + m_choices.below(8))}};
        case 5:
            return {{"count", static_cast<std::int64_t>(1 + m_choices.below(8))}};
        case 6:
            return {{"to", someDevice().text()}};
        case 7:
            return {{"role", m_choices.chance(1, 2) ? "office" : "recorder"},
                    {"device", someDevice().text()}};
        case 8:
            return {{"next", code()}};
        case 9:
            return {{"cage", "cage 2"}, {"name", "better name"}};
        case 10:
            return {{"code", nullptr}};
        default:
            return {{"choice", "left as it is"}, {"tag", "off"}, {"says", code()}};
        }
    }

    void act(Phone& phone) {
        JournalMaker& maker = *phone.maker;
        Known& known = phone.known;
        const auto note = [&] {
            const Uuid id = maker.note(code(), m_choices.chance(1, 2) ? "female" : "male");
            known.butterflies.push_back(maker.subject());
            return id;
        };
        Uuid line;
        const auto butterfly = [&] { return one(phone, &Known::butterflies); };
        const auto sheet = [&] { return one(phone, &Known::sheets); };
        const auto thing = [&] { return one(phone, &Known::things); };
        const auto count = [&] { return static_cast<int>(1 + m_choices.below(10)); };
        switch (m_choices.below(38)) {
        case 0:
            line = maker.held(butterfly());
            break;
        case 1:
        case 2:
            line = maker.released(butterfly());
            break;
        case 3:
            line = maker.happened("butterfly.died", butterfly(),
                                  {{"tag", m_choices.chance(1, 2) ? "off" : "on"}});
            break;
        case 4:
            line = maker.happened("butterfly.escaped", butterfly(),
                                  {{"tag", m_choices.chance(1, 2) ? "off" : "on"}});
            break;
        case 5:
            line = maker.happened("butterfly.untagged", butterfly(), {{"sex", "female"}});
            break;
        case 6:
            line = maker.retagged(butterfly(), code());
            break;
        case 7:
            line = maker.recaptured(code(), butterfly());
            break;
        case 8:
            line = maker.spoiled(butterfly(), code(), code());
            break;
        case 9:
            line = maker.tagLine(m_choices.of(std::vector<std::string>{"tag.paper", "tag.missing",
                                                                       "tag.given", "tag.spoiled"}),
                                 code(), count());
            break;
        case 10:
        case 11:
            if (m_choices.chance(1, 3)) {
                line = maker.sheetReceivedAs(sheet(), code(), count() + 5);
            } else {
                line = maker.sheetReceived(code(), count() + 5);
                known.sheets.push_back(maker.subject());
            }
            break;
        case 12:
            line = maker.handed(sheet(), code(), count(), someDevice());
            break;
        case 13:
            line = maker.taken(sheet(), code(), count());
            break;
        case 14:
        case 15:
        case 16:
        case 17: {
            const Uuid of = one(phone, &Known::lines);
            std::vector<Uuid> over;
            if (m_choices.chance(1, 3) && !known.corrections.empty())
                over.push_back(m_choices.of(known.corrections));
            std::vector<Uuid> about;
            if (m_choices.chance(1, 6))
                about.push_back(butterfly());
            json::object body{
                {"of", of.text()}, {"set", correction()}, {"over", journal::idsToJson(over)}, {"why", "x"}};
            const int version = m_choices.chance(1, 6) ? 2 : 1;
            if (version == 2 && m_choices.chance(1, 3))
                body["code"] = code();
            line = maker.append(maker.line("entry.corrected", about, std::move(body), version));
            known.corrections.push_back(line);
            break;
        }
        case 18:
        case 19:
            line = maker.append(maker.line(
                "entry.withdrawn", {}, {{"act", one(phone, &Known::lines).text()}, {"over", json::array()}},
                m_choices.chance(1, 6) ? 2 : 1));
            break;
        case 20:
            line = maker.founded();
            break;
        case 21:
        case 22:
            line = maker.enrolled(someDevice(), m_choices.of(std::vector<std::string>{"office", "recorder",
                                                                                      "visitor", "none"}));
            break;
        case 23:
        case 24: {
            const auto doubts = good(phone.journal->projections().doubts());
            if (doubts.empty()) {
                line = maker.settled("code.used-twice code RKD 014", {}, "right");
            } else {
                const auto& doubt = m_choices.of(doubts).doubt;
                auto evidence = doubt.evidence;
                if (m_choices.chance(1, 4) && !evidence.empty())
                    evidence.pop_back();
                line =
                    maker.settled(doubt.key(), evidence, m_choices.chance(1, 2) ? "right" : "typing error");
            }
            break;
        }
        case 25:
            line = maker.unknown(
                m_choices.of(std::vector<std::string>{"butterfly.glued", "sheet.torn", "moth.seen",
                                                      "tag.bent", "session.paused", "device.lost"}),
                1 + static_cast<int>(m_choices.below(2)),
                {m_choices.chance(1, 2)   ? butterfly()
                 : m_choices.chance(1, 2) ? sheet()
                                          : thing()},
                m_choices.chance(1, 2) ? json::object{{"code", code()}} : json::object{});
            break;
        case 26:
            line = maker.unknown(
                m_choices.of(std::vector<std::string>{"butterfly.noted", "sheet.received", "sheet.handed",
                                                      "doubt.settled", "session.opened", "tag.paper"}),
                2, {m_choices.chance(2, 3) ? butterfly() : sheet()}, {{"code", code()}});
            break;
        case 27:
            line = maker.named("somebody");
            known.things.push_back(maker.subject());
            known.blobs.push_back(maker.blob().sha256);
            break;
        case 28:
            line = maker.eraseBlob(known.blobs.empty() ? journal::Hash{} : m_choices.of(known.blobs));
            break;
        case 29: {
            const Uuid session = m_choices.chance(1, 2) ? maker.newId() : thing();
            known.things.push_back(session);
            line = maker.append(maker.line(
                m_choices.of(std::vector<std::string>{"session.opened", "session.closed", "site.set",
                                                      "lot.started", "lot.counted", "weather.read"}),
                {session}, {{"name", "thing " + std::to_string(m_choices.below(9))}, {"count", count()}}));
            break;
        }
        case 30: {
            std::vector<Uuid> together;
            for (int i = count(); i > 0; i -= 3)
                together.push_back(butterfly());
            line = maker.releasedTogether(together);
            break;
        }
        case 31:
            (void)good(phone.journal->append({m_choices.of(std::vector<std::string>{
                "{}", "not even JSON", R"({"id":"019a0000-0000-7000-8000-000000000001","kind":"x"})"})}));
            return;
        case 32:
        case 33: {
            std::vector<Uuid> since;
            for (int i = count(); i > 0; i -= 3)
                since.push_back(butterfly());
            line = maker.compared(since, code(), code());
            break;
        }
        default:
            line = note();
            break;
        }
        known.lines.push_back(line);
    }

    SideFolder m_folder;
    SimulatedDisk m_disk;
    Choices m_choices;
    std::vector<Phone> m_phones;
};

std::string freshDump(Journal& journal) {
    return good(good(Projections::openInMemory(journal.file()))->dump());
}

/// Delivers all chains in random pieces, with repetitions. Now and then the rows are compared with a fresh
/// reading.
void deliver(const std::vector<LooseChain>& chains, Journal& to, Choices& choices, std::size_t compareEvery) {
    std::vector<std::size_t> done(chains.size(), 0);
    for (;;) {
        std::vector<std::size_t> open;
        for (std::size_t i = 0; i < chains.size(); ++i)
            if (done[i] < chains[i].size())
                open.push_back(i);
        if (open.empty())
            return;
        const std::size_t i = choices.of(open);
        const std::size_t left = chains[i].size() - done[i];
        const std::size_t piece =
            1 + choices.below(choices.chance(1, 3) ? left : std::min<std::size_t>(left, 4));
        const std::size_t again = choices.chance(1, 4) ? choices.below(done[i] + 1) : 0;
        const auto receipt = good(to.receive(chains[i].delivery(done[i] + 1 - again, done[i] + piece)));
        REQUIRE(receipt.fresh == static_cast<std::int64_t>(piece));
        REQUIRE(receipt.known == static_cast<std::int64_t>(again));
        done[i] += piece;
        if (choices.chance(1, compareEvery))
            REQUIRE(difference(good(to.projections().dump()), freshDump(to)) == "");
    }
}

void checkOneDay(std::uint64_t seed, std::size_t interleavings, std::size_t compareEvery) {
    INFO("seed " << seed);
    Choices choices(seed + 500'000);
    const Day day(seed, 30 + choices.below(60));
    std::string first;
    for (std::size_t i = 0; i < interleavings; ++i) {
        INFO("interleaving " << i);
        const SideFolder folder;
        SimulatedDisk disk;
        const auto journal = openWriter(Place("/disk/a.discal", folder.path() / "a", disk.name()), 3);
        deliver(day.chains, *journal, choices, compareEvery);
        const std::string dump = good(journal->projections().dump());
        REQUIRE(difference(dump, freshDump(*journal)) == "");
        good(journal->projections().rebuild());
        REQUIRE(difference(dump, good(journal->projections().dump())) == "");
        if (i == 0)
            first = dump;
        else
            REQUIRE(difference(first, dump) == "");
        REQUIRE(good(journal->file().verify()).isSound());
    }
}

} // namespace

TEST_CASE("No interleaving of three chains changes what they say", "[storage]") {
    for (std::uint64_t seed = 1; seed <= 40; ++seed)
        checkOneDay(seed, 2, 15);
}

TEST_CASE("No interleaving of three chains changes what they say, over a thousand days", "[.long][storage]") {
    for (std::uint64_t seed = 10'001; seed <= 11'000; ++seed)
        checkOneDay(seed, 3, 6);
}

namespace {

/// A closed journal with a day in it, made once.
struct Closed {
    TemporaryFolder folder;
    Place place{folder.path() / "a.discal"};
    std::string file;
    std::string state;
    std::string dump;

    Closed() {
        const Day day(7, 100);
        Choices choices(7);
        {
            const auto journal = openWriter(place, 1);
            JournalMaker(*journal, 1).started();
            deliver(day.chains, *journal, choices, 1000);
            dump = good(journal->projections().dump());
        }
        file = readFile(place.database);
        state = readFile(place.state());
    }

    static void put(const std::filesystem::path& path, const std::string& bytes) {
        for (const char* suffix : {"", "-wal", "-shm"})
            std::filesystem::remove(path.string() + suffix);
        std::ofstream(path, std::ios::binary) << bytes;
    }
};

} // namespace

TEST_CASE("The state file can be deleted, cut, garbled or exchanged: what it says is made again",
          "[storage]") {
    static const Closed closed;
    const Place& place = closed.place;
    const std::string& dump = closed.dump;
    const std::string& intact = closed.state;
    Choices choices(7);
    Closed::put(place.database, closed.file);
    Closed::put(place.state(), intact);
    std::filesystem::remove(place.mark());
    REQUIRE(intact.size() > 3 * 4096);
    const auto put = [&](const std::string& bytes) { Closed::put(place.state(), bytes); };
    std::string damaged = intact;
    SECTION("untouched") {
        put(intact);
    }
    SECTION("deleted") {
        std::filesystem::remove(place.state());
    }
    SECTION("empty") {
        put("");
    }
    SECTION("cut to a part of a page") {
        put(intact.substr(0, 1000));
    }
    SECTION("cut in the middle") {
        put(intact.substr(0, intact.size() / 2));
    }
    SECTION("text") {
        put(std::string(10'000, 'x'));
    }
    SECTION("zeroes after the first page") {
        std::fill(damaged.begin() + 4096, damaged.end(), '\0');
        put(damaged);
    }
    SECTION("garbage after the first page") {
        for (std::size_t i = 4096; i < damaged.size(); ++i)
            damaged[i] = static_cast<char>(choices.number());
        put(damaged);
    }
    SECTION("of another journal") {
        const TemporaryFolder folder;
        const Place other(folder.path() / "other.discal");
        {
            const auto journal = openWriter(other, 2);
            JournalMaker maker(*journal, 2);
            maker.started();
            maker.note("ABC 001");
        }
        put(readFile(other.state()));
    }
    SECTION("of an older program") {
        put(intact);
        const std::string name = "projection_version";
        const std::size_t at = damaged.find(name + std::to_string(storage::kProjectionVersion));
        REQUIRE(at != std::string::npos);
        damaged[at + name.size()] = '0';
        put(damaged);
    }
    SECTION("with a lamport that is no number") {
        const std::size_t at = damaged.find("greatest_lamport");
        REQUIRE(at != std::string::npos);
        damaged[at + std::string("greatest_lamport").size()] = 'x';
        put(damaged);
    }
    {
        const auto reader = openReader(place);
        CHECK(difference(good(reader->projections().dump()), dump) == "");
    }
    {
        const auto journal = openWriter(place, 1);
        CHECK(difference(good(journal->projections().dump()), dump) == "");
        CHECK(std::none_of(journal->warnings().begin(), journal->warnings().end(),
                           [](auto w) { return w == storage::Warning::ProjectionsAside; }));
        JournalMaker maker(*journal, 9);
        maker.note("RKD 099");
        CHECK(difference(good(journal->projections().dump()), freshDump(*journal)) == "");
    }
    const auto journal = openWriter(place, 1);
    CHECK(journal->warnings().empty());
    CHECK(difference(good(journal->projections().dump()), freshDump(*journal)) == "");
}

TEST_CASE("A state file that is behind or ahead of its journal is brought to it", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    std::string early;
    std::string late;
    std::string earlyJournal;
    {
        const auto journal = openWriter(place, 1);
        JournalMaker maker(*journal, 1);
        maker.started();
        maker.sheetReceived("RKD 001", 30);
        maker.note("RKD 014");
        good(journal->idle());
        early = readFile(place.state());
        earlyJournal = readFile(place.database);
        for (int i = 10; i < 30; ++i)
            maker.note("RKD 0" + std::to_string(i));
    }
    late = readFile(place.state());
    const std::string lateJournal = readFile(place.database);
    const auto check = [&](const std::string& journalBytes, const std::string& stateBytes) {
        std::ofstream(place.database, std::ios::binary | std::ios::trunc) << journalBytes;
        std::ofstream(place.state(), std::ios::binary | std::ios::trunc) << stateBytes;
        const auto journal = openWriter(place, 2);
        CHECK(difference(good(journal->projections().dump()), freshDump(*journal)) == "");
        const auto reader = openReader(place);
        CHECK(difference(good(reader->projections().dump()), freshDump(*journal)) == "");
    };
    SECTION("behind") {
        check(lateJournal, early);
    }
    SECTION("ahead") {
        check(earlyJournal, late);
    }
}

TEST_CASE("Lines that arrive twice, or all at once, or one by one, say the same", "[storage]") {
    const Day day(3, 60);
    std::vector<std::string> dumps;
    for (int way = 0; way < 3; ++way) {
        const SideFolder folder;
        SimulatedDisk disk;
        const auto journal = openWriter(Place("/disk/a.discal", folder.path() / "a", disk.name()), 3);
        for (const LooseChain& chain : day.chains) {
            if (way == 0)
                (void)good(journal->receive(chain.delivery(1, chain.size())));
            for (std::size_t seq = 1; way > 0 && seq <= chain.size(); ++seq)
                (void)good(journal->receive(chain.delivery(way == 1 ? seq : 1, seq)));
        }
        dumps.push_back(good(journal->projections().dump()));
    }
    CHECK(difference(dumps[0], dumps[1]) == "");
    CHECK(difference(dumps[0], dumps[2]) == "");
}

TEST_CASE("Where offer and paper ran apart each butterfly since is doubted, until that is taken back",
          "[storage]") {
    const SideFolder folder;
    SimulatedDisk disk;
    const auto journal = openWriter(Place("/disk/a.discal", folder.path() / "a", disk.name()), 1);
    Projections& projections = journal->projections();
    JournalMaker maker(*journal, 1);
    maker.started();
    maker.sheetReceived("RKD 001", 25);
    std::vector<Uuid> butterflies;
    std::vector<Uuid> notes;
    for (const char* code : {"RKD 001", "RKD 002", "RKD 003"}) {
        notes.push_back(maker.note(code));
        butterflies.push_back(maker.subject());
    }
    const std::vector<Uuid> since(butterflies.begin() + 1, butterflies.end());
    const auto doubted = [&] {
        std::vector<std::string> out;
        for (const auto& d : good(projections.doubts()))
            out.push_back(d.doubt.key());
        return out;
    };
    const auto checkRows = [&] { REQUIRE(difference(good(projections.dump()), freshDump(*journal)) == ""); };
    std::vector<std::string> both;
    for (const Uuid& id : since)
        both.push_back("tag.out-of-step " + id.text());
    std::sort(both.begin(), both.end());
    const std::string before = good(projections.dump());

    const Uuid compared = maker.compared(since, "RKD 004", "RKD 006");
    checkRows();
    CHECK(good(projections.butterfly(butterflies[0].text()))->comparedApart.empty());
    for (const Uuid& id : since)
        CHECK(good(projections.butterfly(id.text()))->comparedApart == std::vector<Uuid>{compared});
    CHECK(doubted() == both);
    CHECK(good(projections.marksOf(compared)) == both);
    CHECK(good(projections.marksOf(notes[1])) ==
          std::vector<std::string>{"tag.out-of-step " + since[0].text()});
    CHECK(good(projections.marksOf(notes[0])).empty());
    // It says nothing of the tags themselves.
    for (const char* code : {"RKD 004", "RKD 006"})
        CHECK(good(projections.isOfferedBy(good(tag::Code::fromText(code)), journal->device())));

    SECTION("one that is let go afterwards stays marked") {
        maker.released(since[1]);
        checkRows();
        CHECK(doubted() == both);
    }
    SECTION("corrected to equal codes it says nothing") {
        maker.correct(compared, "says", "RKD 004");
        checkRows();
        CHECK(doubted().empty());
    }
    SECTION("taken back it says nothing, and then it does again") {
        const Uuid undo = maker.withdraw(compared);
        checkRows();
        CHECK(doubted().empty());
        for (const Uuid& id : since)
            CHECK(good(projections.butterfly(id.text()))->comparedApart.empty());
        maker.withdraw(undo);
        checkRows();
        CHECK(doubted() == both);
    }
    SECTION("of one whose noting is taken back nothing is left") {
        for (const Uuid& note : {notes[1], notes[2]}) {
            maker.withdraw(note);
            checkRows();
        }
        CHECK(doubted().empty());
        CHECK_FALSE(good(projections.butterfly(since[0].text())));
        CHECK(good(projections.butterflyCount()) == 1);
    }
}

TEST_CASE("A comparison that arrives before its butterflies makes none, and marks them when they come",
          "[storage]") {
    const SideFolder folder;
    SimulatedDisk disk;
    const auto open = [&](const std::string& name, std::uint64_t seed) {
        return openWriter(Place("/disk/" + name + ".discal", folder.path() / name, disk.name()), seed);
    };
    const auto tagger = open("tagger", 1);
    const auto helper = open("helper", 2);
    const auto office = open("office", 3);
    JournalMaker noting(*tagger, 1);
    noting.started();
    std::vector<Uuid> butterflies;
    for (const char* code : {"RKD 001", "RKD 002"}) {
        noting.note(code);
        butterflies.push_back(noting.subject());
    }
    (void)good(helper->receive(delivery(*tagger, tagger->device())));
    JournalMaker comparing(*helper, 2);
    comparing.started();
    const Uuid compared = comparing.compared(butterflies, "RKD 003", "RKD 004");

    (void)good(office->receive(delivery(*helper, helper->device())));
    CHECK(good(office->projections().butterflyCount()) == 0);
    CHECK(difference(good(office->projections().dump()), freshDump(*office)) == "");
    (void)good(office->receive(delivery(*tagger, tagger->device())));
    CHECK(difference(good(office->projections().dump()), freshDump(*office)) == "");
    for (const Uuid& id : butterflies)
        CHECK(good(office->projections().butterfly(id.text()))->comparedApart == std::vector<Uuid>{compared});
}
