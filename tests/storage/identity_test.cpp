// Two writers must never share a chain. Whatever happens to the files of a journal, it opens with all it has,
// and goes on under a new device whenever its old chain may have gone on somewhere else.

#include "storage/journal_maker.h"

#include "crash/simulated_disk.h"

#include "catch_compat.hpp"
#include "reference.h"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>

using namespace discal;
using namespace discal::tests;
using storage::Journal;
using storage::NewChain;
using storage::Place;

namespace {

void writeFile(const std::filesystem::path& path, std::string_view bytes) {
    std::ofstream(path, std::ios::binary | std::ios::trunc) << bytes;
}

std::filesystem::path walOf(const Place& place) {
    return place.database.string() + "-wal";
}

/// The database as it lies on disk at this moment, as a person would copy it.
struct FileAndWal {
    std::string file;
    std::string wal;

    static FileAndWal of(const Place& place) { return {readFile(place.database), readFile(walOf(place))}; }
    void putBack(const Place& place) const {
        std::filesystem::remove(place.database.string() + "-shm");
        writeFile(place.database, file);
        std::filesystem::remove(walOf(place));
        if (!wal.empty())
            writeFile(walOf(place), wal);
    }
};

/// Starts the chain and notes until it has `lines` lines.
void write(Journal& journal, std::int64_t lines, std::uint64_t seed) {
    JournalMaker maker(journal, seed);
    if (journal.head().seq == 0)
        maker.started();
    while (journal.head().seq < lines)
        maker.note("RKD " + std::to_string(100 + journal.head().seq));
}

/// Opens after an accident, checks that the old lines are there and that a further line goes to a chain of
/// its own.
void checkGoesOnAnew(const Place& place, const std::vector<std::string>& lines, NewChain why,
                     std::int64_t missing, std::int64_t oldSeq) {
    journal::DeviceId fresh;
    std::optional<Journal::Continuation> told;
    {
        const auto journal = openWriter(place, 77);
        REQUIRE(journal->newChain());
        told = journal->newChain();
        CHECK(storage::textOf(told->why) == storage::textOf(why));
        CHECK(told->missing == missing);
        CHECK(told->head.seq == oldSeq);
        CHECK_FALSE(told->device.empty());
        CHECK(told->device != journal->device().text());
        CHECK(difference(linesOf(journal->file()), lines) == "");
        fresh = journal->device();
    }
    {
        // Still no line: the same is told again, and the device is the same.
        const auto journal = openWriter(place, 78);
        REQUIRE(journal->newChain());
        CHECK(storage::textOf(journal->newChain()->why) == storage::textOf(why));
        CHECK(journal->newChain()->device == told->device);
        CHECK(journal->newChain()->head == told->head);
        CHECK(journal->newChain()->missing == missing);
        CHECK(journal->device() == fresh);
        write(*journal, 2, 9);
        CHECK_FALSE(journal->newChain());
        CHECK(good(journal->file().verify()).isSound());
    }
    const auto journal = openWriter(place, 79);
    CHECK_FALSE(journal->newChain());
    CHECK(journal->device() == fresh);
    CHECK(linesOf(journal->file()).size() == lines.size() + 2);
}

} // namespace

TEST_CASE("A backup restored elsewhere goes on under a new device", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    const Place restored(folder.path() / "elsewhere" / "a.discal");
    std::filesystem::create_directory(folder.path() / "elsewhere");
    const auto journal = openWriter(place, 1);
    write(*journal, 5, 1);
    good(journal->backup(restored.database));
    checkGoesOnAnew(restored, linesOf(journal->file()), NewChain::KeyMissing, 0, 5);
    // The first goes on as it was.
    write(*journal, 6, 2);
    CHECK(journal->head().seq == 6);
}

TEST_CASE("Yesterday's copy put back on the same place is told by the mark", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    FileAndWal yesterday;
    std::vector<std::string> lines;
    {
        const auto journal = openWriter(place, 1);
        write(*journal, 3, 1);
        yesterday = FileAndWal::of(place);
        lines = linesOf(journal->file());
        write(*journal, 7, 2);
    }
    yesterday.putBack(place);
    checkGoesOnAnew(place, lines, NewChain::BehindMark, 4, 3);
}

TEST_CASE("A journal that lost its -wal is told by the mark", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    FileAndWal killed;
    std::vector<std::string> lines;
    {
        const auto journal = openWriter(place, 1);
        write(*journal, 3, 1);
        good(journal->idle());
        lines = linesOf(journal->file());
        write(*journal, 5, 2);
        killed = FileAndWal::of(place);
    }
    REQUIRE_FALSE(killed.wal.empty());
    killed.wal.clear();
    killed.putBack(place);
    checkGoesOnAnew(place, lines, NewChain::BehindMark, 2, 3);
}

TEST_CASE("A journal that is gone while its key and mark are there says how much is missing", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    write(*openWriter(place, 1), 5, 1);
    std::filesystem::remove(place.database);
    checkGoesOnAnew(place, {}, NewChain::BehindMark, 5, 0);
}

TEST_CASE("A journal put back from before a change of key says that later lines are missing", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    FileAndWal yesterday;
    std::vector<std::string> lines;
    {
        const auto journal = openWriter(place, 1);
        write(*journal, 5, 1);
        yesterday = FileAndWal::of(place);
        lines = linesOf(journal->file());
    }
    std::filesystem::remove(place.key());
    write(*openWriter(place, 2), 4, 2);
    yesterday.putBack(place);
    checkGoesOnAnew(place, lines, NewChain::KeyMissing, 4, 5);
}

TEST_CASE("A journal without its key goes on under a new device", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    write(*openWriter(place, 1), 5, 1);
    const auto lines = linesOf(openReader(place)->file());
    std::filesystem::remove(place.key());
    checkGoesOnAnew(place, lines, NewChain::KeyMissing, 0, 5);
}

TEST_CASE("A copied folder is a new device; the original stays what it was", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "original" / "a.discal");
    const Place copy(folder.path() / "copy" / "a.discal");
    std::filesystem::create_directory(folder.path() / "original");
    write(*openWriter(place, 1), 5, 1);
    std::filesystem::copy(folder.path() / "original", folder.path() / "copy");
    const auto lines = linesOf(openReader(place)->file());
    checkGoesOnAnew(copy, lines, NewChain::Copied, 0, 5);
    const auto journal = openWriter(place, 2);
    CHECK_FALSE(journal->newChain());
    CHECK(journal->head().seq == 5);
}

TEST_CASE("A key made on another machine is not used", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    write(*openWriter(place, 1), 5, 1);
    const auto lines = linesOf(openReader(place)->file());
    std::string key = readFile(place.key());
    const std::string machine = storage::machineId();
    if (machine.empty()) {
        WARN("skipped: no /etc/machine-id here");
        return;
    }
    key.replace(key.find(machine), machine.size(), std::string(machine.size(), '7'));
    writeFile(place.key(), key);
    checkGoesOnAnew(place, lines, NewChain::OtherMachine, 0, 5);
}

TEST_CASE("A key file damaged anywhere never stops a day, and never makes another key pass for ours",
          "[storage]") {
    const SideFolder folder;
    const Place place(folder.path() / "a.discal");
    write(*openWriter(place, 1), 3, 1);
    const auto lines = linesOf(openReader(place)->file());
    const auto device = openReader(place)->device();
    const auto intact = FileAndWal::of(place);
    const std::string key = readFile(place.key());
    for (std::size_t i = 0; i < 2 * key.size(); i += 11) {
        std::string damaged = key;
        if (i < key.size())
            damaged[i] = static_cast<char>(damaged[i] ^ 0x10);
        else
            damaged.resize(i - key.size());
        INFO("key file: " << damaged);
        intact.putBack(place);
        writeFile(place.key(), damaged);
        const auto journal = openWriter(place, 100 + i);
        CHECK(difference(linesOf(journal->file()), lines) == "");
        if (journal->newChain())
            CHECK(journal->device() != device);
        else
            CHECK(journal->publicKey() == journal::KeyPair::fromSeed(Choices(1).bytes<32>()).publicKey);
        write(*journal, 2, i);
        CHECK(good(journal->file().verify()).isSound());
    }
}

TEST_CASE("A mark that is torn, missing or older is a weaker guard, not a wrong one", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    std::string older;
    {
        const auto journal = openWriter(place, 1);
        write(*journal, 3, 1);
        older = readFile(place.mark());
        write(*journal, 5, 2);
    }
    const std::string mark = readFile(place.mark());
    REQUIRE(mark.size() == older.size());
    REQUIRE(mark != older);
    SECTION("missing") {
        std::filesystem::remove(place.mark());
    }
    SECTION("empty") {
        writeFile(place.mark(), "");
    }
    SECTION("cut") {
        writeFile(place.mark(), mark.substr(0, 60));
    }
    SECTION("full of zeroes") {
        writeFile(place.mark(), std::string(mark.size(), '\0'));
    }
    SECTION("older") {
        writeFile(place.mark(), older);
    }
    SECTION("of another device") {
        std::string other = mark;
        other.replace(0, 26, std::string(26, 'a'));
        writeFile(place.mark(), other);
    }
    const auto journal = openWriter(place, 2);
    CHECK_FALSE(journal->newChain());
    CHECK(journal->head().seq == 5);
    CHECK(readFile(place.mark()) == mark);
}

TEST_CASE("A line that is not the one the mark remembers ends the chain", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    write(*openWriter(place, 1), 5, 1);
    const auto lines = linesOf(openReader(place)->file());
    std::string mark = readFile(place.mark());
    mark[50] = mark[50] == '0' ? '1' : '0';
    writeFile(place.mark(), mark);
    checkGoesOnAnew(place, lines, NewChain::OffMark, 0, 5);
}

TEST_CASE("A new chain says in its first line what it goes on from", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    write(*openWriter(place, 1), 5, 1);
    const auto before = openReader(place)->head();
    const auto device = openReader(place)->device();
    std::filesystem::remove(place.key());
    const auto journal = openWriter(place, 2);
    JournalMaker(*journal, 2).started();
    const auto entry =
        journal::makeEntry(journal->device(), 1, good(journal->file().line(journal->device(), 1)).value());
    REQUIRE(entry.line);
    const auto* continues = journal::objectIn(entry.line->body, "continues");
    REQUIRE(continues != nullptr);
    CHECK(journal::textIn(*continues, "device") == device.text());
    CHECK(journal::numberIn(*continues, "seq") == 5);
    CHECK(journal::textIn(*continues, "hash") == journal::hexOf(before.hash));
    CHECK(journal::textIn(*continues, "why") == "key missing");
}

TEST_CASE("Lines of our own chain that come from elsewhere end it: ahead of us, or beside us", "[storage]") {
    // The one accident that nothing here can tell: a disk image set back as a whole. Made with a disk in
    // memory.
    const SideFolder folder;
    SimulatedDisk disk;
    const Place place("/disk/a.discal", folder.path() / "a", disk.name());
    std::vector<std::uint8_t> image;
    std::string mark;
    storage::Delivery ahead;
    {
        const auto journal = openWriter(place, 1);
        write(*journal, 3, 1);
        good(journal->idle());
        image = disk.bytes("/disk/a.discal");
        mark = readFile(place.mark());
        write(*journal, 6, 2);
        ahead = delivery(*journal, journal->device());
    }
    disk.setBytes("/disk/a.discal", image);
    disk.remove("/disk/a.discal-wal");
    writeFile(place.mark(), mark);
    auto journal = openWriter(place, 2);
    REQUIRE_FALSE(journal->newChain());
    const auto device = journal->device();
    std::int64_t ownLines = 3;
    std::int64_t fresh = 3;
    std::int64_t forked = 0;
    SECTION("ahead") {}
    SECTION("beside") {
        write(*journal, 4, 3);
        ownLines = 4;
        fresh = 0;
        forked = 3;
    }
    const auto receipt = good(journal->receive(ahead));
    CHECK(receipt.fresh == fresh);
    CHECK(receipt.forked == forked);
    CHECK(receipt.startedNewChain);
    CHECK(journal->device() != device);
    REQUIRE(journal->newChain());
    CHECK(journal->newChain()->why == NewChain::AheadElsewhere);
    CHECK(journal->newChain()->device == device.text());
    CHECK(journal->newChain()->head.seq == ownLines + fresh);
    write(*journal, 2, 4);
    CHECK(good(journal->file().verify()).isSound());
    CHECK(linesOf(journal->file()).size() == static_cast<std::size_t>(ownLines + fresh + forked + 2));
    const auto dump = good(journal->projections().dump());
    good(journal->projections().rebuild());
    CHECK(difference(good(journal->projections().dump()), dump) == "");
    // Told again it changes nothing.
    const auto again = good(journal->receive(ahead));
    CHECK(again.fresh == 0);
    CHECK_FALSE(again.startedNewChain);
    CHECK_FALSE(journal->newChain());
}

TEST_CASE("Power lost while our chain comes back from elsewhere leaves no device that could go on with it",
          "[storage]") {
    std::vector<std::uint8_t> image;
    storage::Delivery ahead;
    {
        const SideFolder folder;
        SimulatedDisk disk;
        const auto journal = openWriter(Place("/disk/a.discal", folder.path() / "a", disk.name()), 1);
        write(*journal, 3, 1);
        good(journal->idle());
        image = disk.bytes("/disk/a.discal");
        write(*journal, 6, 2);
        ahead = delivery(*journal, journal->device());
    }
    bool isThrough = false;
    for (std::uint64_t point = 1; !isThrough; ++point) {
        REQUIRE(point < 200);
        INFO("write point " << point);
        const SideFolder folder;
        SimulatedDisk disk;
        const Place place("/disk/a.discal", folder.path() / "a", disk.name());
        openWriter(place, 1).reset(); // makes the same key
        disk.setBytes("/disk/a.discal", image);
        std::filesystem::remove(place.mark());
        {
            const auto journal = openWriter(place, 2);
            REQUIRE(journal->head().seq == 3);
            disk.resetCounters();
            disk.crashAt(point, point);
            (void)journal->receive(ahead);
            isThrough = !disk.isFrozen();
        }
        disk.crash(point);
        const auto journal = openWriter(place, 3);
        const bool hasMore = good(journal->file().chain(ahead.device)).value().head.seq > 3;
        CHECK(!(hasMore && journal->device() == ahead.device));
        if (isThrough)
            CHECK(hasMore);
    }
}

namespace {

/// Folders with a journal each, accidents that happen to them, and every line ever made in any of them.
class Accidents {
public:
    explicit Accidents(std::uint64_t seed) : m_choices(seed), m_seed(seed) { newSite(); }

    void live() {
        for (int round = 0; round < 7; ++round) {
            std::size_t at = m_choices.below(m_sites.size());
            happen(at);
            work(at);
        }
    }

private:
    struct Image {
        std::vector<std::uint8_t> file;
        std::vector<std::uint8_t> wal;
    };
    struct Site {
        Place place;
        std::vector<Image> images; ///< copies of the database that somebody took
        bool wasKilled{false};
    };

    std::size_t newSite() {
        const std::string name = "site" + std::to_string(m_sites.size());
        std::filesystem::create_directory(m_folder.path() / name);
        m_sites.push_back({Place("/" + name + "/a.discal", m_folder.path() / name / "a", m_disk.name()), {}});
        return m_sites.size() - 1;
    }

    [[nodiscard]] static std::string fileOf(const Site& site) { return site.place.database.string(); }
    [[nodiscard]] static std::string walOf(const Site& site) { return fileOf(site) + "-wal"; }

    void put(Site& site, const Image& image) {
        m_disk.setBytes(fileOf(site), image.file);
        m_disk.remove(walOf(site));
        if (!image.wal.empty())
            m_disk.setBytes(walOf(site), image.wal);
    }

    /// One accident a round. Two at once can hide each other: yesterday's copy put back *and* the mark lost
    /// can't be told from a good journal by anybody but another device, nor can a disk set back as a whole.
    void happen(std::size_t& at) {
        Site& site = m_sites[at];
        const auto key = site.place.key();
        const auto mark = site.place.mark();
        switch (m_choices.below(10)) {
        case 0:
            if (!site.images.empty())
                put(site, m_choices.of(site.images));
            break;
        case 1:
            m_disk.remove(walOf(site));
            break;
        case 2:
            std::filesystem::remove(key);
            break;
        case 3: {
            std::string bytes = readFile(key);
            if (!bytes.empty()) {
                const std::size_t i = m_choices.below(bytes.size());
                bytes[i] = static_cast<char>(bytes[i] ^ (1 << m_choices.below(7)));
                writeFile(key, bytes);
            }
            break;
        }
        case 4:
            std::filesystem::remove(mark);
            break;
        case 5: {
            const std::string bytes = readFile(mark);
            writeFile(mark, bytes.substr(0, m_choices.below(bytes.size() + 1)));
            break;
        }
        case 6:
        case 7: {
            // The whole folder, copied; either may be used from now on.
            const Image image{m_disk.bytes(fileOf(site)), m_disk.bytes(walOf(site))};
            const auto from = site.place.side.parent_path();
            const std::size_t copy = newSite();
            put(m_sites[copy], image);
            for (const auto& entry : std::filesystem::directory_iterator(from))
                std::filesystem::copy(entry.path(),
                                      m_sites[copy].place.side.parent_path() / entry.path().filename());
            m_disk.copyTo(m_sites[at].place.state().string(), m_sites[copy].place.state().string());
            if (m_choices.chance(1, 2))
                at = copy;
            break;
        }
        case 8: {
            // Only the database, elsewhere: a restored backup.
            if (!site.images.empty()) {
                const Image image = m_choices.of(site.images);
                at = newSite();
                put(m_sites[at], image);
            }
            break;
        }
        default:
            break;
        }
    }

    void work(std::size_t at) {
        Site& site = m_sites[at];
        INFO("seed " << m_seed << ", site " << at);
        {
            const auto journal = openWriter(site.place, m_choices.number());
            collect(*journal);
            REQUIRE(good(journal->file().verify()).isSound());
            CHECK(journal->newChain().has_value() == (journal->head().seq == 0));
            JournalMaker maker(*journal, m_choices.number());
            if (journal->newChain() && m_choices.chance(9, 10))
                maker.started();
            const std::size_t lines = m_choices.below(4);
            for (std::size_t i = 0; i < lines && !journal->newChain(); ++i) {
                maker.note("RKD " + std::to_string(100 + m_choices.below(900)));
                if (m_choices.chance(1, 3))
                    good(journal->idle());
                if (m_choices.chance(1, 3))
                    take(site);
            }
            collect(*journal);
            take(site);
        }
        // Killed rather than closed: the -wal stays.
        if (m_choices.chance(1, 2))
            put(site, site.images.back());
    }

    void take(Site& site) { site.images.push_back({m_disk.bytes(fileOf(site)), m_disk.bytes(walOf(site))}); }

    void collect(Journal& journal) {
        for (const storage::Chain& chain : good(journal.file().chains()))
            good(journal.file().visit(
                chain.device, 1, [&](std::int64_t seq, std::string_view line, const auto&) {
                    const auto [there, isNew] =
                        m_lines.try_emplace({chain.device.text(), seq}, std::string(line));
                    CHECK(there->second == line);
                    return true;
                }));
    }

    SideFolder m_folder;
    SimulatedDisk m_disk;
    Choices m_choices;
    std::uint64_t m_seed;
    std::vector<Site> m_sites;
    std::map<std::pair<std::string, std::int64_t>, std::string> m_lines;
};

} // namespace

TEST_CASE("Over random accidents no two different lines ever share a device and a seq", "[storage]") {
    for (std::uint64_t seed = 1; seed <= 200; ++seed) {
        INFO("seed " << seed);
        Accidents(seed).live();
    }
}

TEST_CASE("Over very many random accidents no two different lines ever share a device and a seq",
          "[.long][storage]") {
    for (std::uint64_t seed = 1001; seed <= 6000; ++seed) {
        INFO("seed " << seed);
        Accidents(seed).live();
    }
}
