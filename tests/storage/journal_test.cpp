// A journal file from its making to its backup: what was appended is there, and nothing that isn't ours is
// touched.

#include "storage/journal_maker.h"

#include "storage/embedded_sql.h"

#include "catch_compat.hpp"
#include "reference.h"

#include <SQLiteCpp/SQLiteCpp.h>
#include <filesystem>
#include <fstream>

using namespace discal;
using namespace discal::tests;
using storage::Journal;
using storage::Place;

namespace {

void writeFile(const std::filesystem::path& path, std::string_view bytes) {
    std::ofstream(path, std::ios::binary) << bytes;
}

} // namespace

TEST_CASE("A new journal begins a chain whose first line is still to be written", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    const auto journal = openWriter(place, 1);
    REQUIRE(journal->newChain());
    CHECK(journal->newChain()->why == storage::NewChain::FirstStart);
    CHECK(journal->newChain()->device.empty());
    CHECK(journal->newChain()->missing == 0);
    CHECK(journal->head() == journal::Head{0, journal::chainStart(journal->publicKey())});
    CHECK(journal->device() == journal::DeviceId::of(journal->publicKey()));
    CHECK(std::filesystem::status(place.key()).permissions() ==
          (std::filesystem::perms::owner_read | std::filesystem::perms::owner_write));

    JournalMaker maker(*journal, 1);
    maker.started();
    CHECK_FALSE(journal->newChain());
    CHECK(journal->head().seq == 1);
}

TEST_CASE("Appended lines are read back byte for byte, now and after reopening, in one verified chain",
          "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    std::vector<std::string> written;
    journal::DeviceId device;
    journal::Head head;
    {
        const auto journal = openWriter(place, 1);
        device = journal->device();
        JournalMaker maker(*journal, 1);
        maker.started();
        for (int i = 0; i < 20; ++i)
            maker.note("RKD 0" + std::to_string(10 + i));
        maker.named("MK");
        // The longest line there may be, and a line that is no line: the file knows bytes only.
        journal::Line longest = maker.line("site.set", {maker.newId()}, {});
        longest.body["note"] = "";
        const std::size_t bare = good(journal::encodeLine(longest)).size();
        longest.body["note"] = std::string(journal::kLongestLine - bare, 'x');
        REQUIRE(good(journal::encodeLine(longest)).size() == journal::kLongestLine);
        maker.append(longest);
        (void)good(journal->append({std::string("\xFF\0", 2), "{}"}));
        head = journal->head();
        CHECK(head.seq == 25);
        written = linesOf(journal->file());
        REQUIRE(written.size() == 25);
        const auto report = good(journal->file().verify());
        CHECK(report.isSound());
        CHECK(report.lines == 25);
        CHECK(report.blobs == 1);
    }
    const auto journal = openWriter(place, 2);
    CHECK_FALSE(journal->newChain());
    CHECK(journal->device() == device);
    CHECK(journal->head() == head);
    CHECK(difference(linesOf(journal->file()), written) == "");
    CHECK(good(journal->file().verify()).isSound());

    // Recomputed here from the bytes alone, as any other program would (design, section 5).
    journal::Hash h = journal::chainStart(journal->publicKey());
    good(journal->file().visit(device, 1,
                               [&](std::int64_t, std::string_view line, const journal::Hash& stored) {
                                   std::string bytes(reinterpret_cast<const char*>(h.data()), h.size());
                                   h = journal::sha256(bytes.append(line));
                                   CHECK(h == stored);
                                   return true;
                               }));
    CHECK(h == head.hash);
}

TEST_CASE("A line that the schema refuses leaves nothing of its commit behind", "[storage]") {
    const TemporaryFolder folder;
    const auto journal = openWriter(Place(folder.path() / "a.discal"), 1);
    JournalMaker maker(*journal, 1);
    maker.started();
    const auto before = linesOf(journal->file());
    CHECK_FALSE(journal->append({good(journal::encodeLine(maker.noteLine("RKD 014"))), "x"}));
    CHECK_FALSE(journal->append({std::string(journal::kLongestLine + 1, 'x')}));
    CHECK(difference(linesOf(journal->file()), before) == "");
    CHECK(journal->head().seq == 1);
    maker.note("RKD 015");
    CHECK(journal->head().seq == 2);
    CHECK(good(journal->file().verify()).isSound());
}

TEST_CASE("A blob is committed with the line that cites it, 16 random bytes first", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    journal::Hash name{};
    {
        const auto journal = openWriter(place, 1);
        JournalMaker maker(*journal, 1);
        maker.started();
        maker.named("MK");
        name = maker.blob().sha256;
    }
    const auto journal = openReader(place);
    const auto blob = good(journal->file().blob(name));
    REQUIRE(blob);
    CHECK(blob->content() == "MK");
    CHECK(blob->bytes.size() == 18);
    CHECK(journal::sha256(blob->bytes) == name);
    CHECK(storage::makeBlob({}, std::string(storage::kLargestBlobContent, 'x')));
    const auto tooLarge = storage::makeBlob({}, std::string(storage::kLargestBlobContent + 1, 'x'));
    REQUIRE_FALSE(tooLarge);
    CHECK(tooLarge.error().code == Code::OutOfRange);
}

TEST_CASE("Drafts are kept over a restart, can be replaced, and never reach a backup", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    {
        const auto journal = openWriter(place, 1);
        JournalMaker(*journal, 1).started();
        CHECK_FALSE(good(journal->file().draft("tag", "code")));
        good(journal->file().setDraft("tag", "code", "RK"));
        good(journal->file().setDraft("tag", "code", "RKD 0half-typed"));
        good(journal->file().setDraft("tag", "sex", "male"));
    }
    const auto journal = openWriter(place, 1);
    CHECK(good(journal->file().draft("tag", "code")) == "RKD 0half-typed");
    CHECK(good(journal->file().draft("tag", "sex")) == "male");
    const auto copy = folder.path() / "copy.discal";
    good(journal->backup(copy));
    CHECK(readFile(copy).find("half-typed") == std::string::npos);
    CHECK_FALSE(good(openReader(Place(copy))->file().draft("tag", "code")));
}

TEST_CASE("A backup is one file with every line and blob, and never overwrites", "[storage]") {
    const TemporaryFolder folder;
    const auto journal = openWriter(Place(folder.path() / "a.discal"), 1);
    JournalMaker maker(*journal, 1);
    maker.started();
    maker.note("RKD 014");
    maker.named("MK");
    std::filesystem::create_directory(folder.path() / "copies");
    const auto target = folder.path() / "copies" / "a b%#?.discal";
    good(journal->backup(target));
    std::vector<std::filesystem::path> made;
    for (const auto& entry : std::filesystem::directory_iterator(folder.path() / "copies"))
        made.push_back(entry.path());
    CHECK(made == std::vector<std::filesystem::path>{target});
    const std::string bytes = readFile(target);

    const auto again = journal->backup(target);
    REQUIRE_FALSE(again);
    CHECK(again.error().code == Code::Exists);
    CHECK(readFile(target) == bytes);

    const auto copy = openReader(Place(target));
    CHECK(linesOf(copy->file()) == linesOf(journal->file()));
    CHECK(good(copy->file().blob(maker.blob().sha256)));
    CHECK(good(copy->file().verify()).isSound());
}

TEST_CASE("A second writer is told who writes, and can write when the first has gone", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    auto first = good(Journal::openForWriting(place, writeOptions(1, "discal")));
    JournalMaker(*first, 1).started();
    const auto second = Journal::openForWriting(place, writeOptions(2, "discalctl"));
    REQUIRE_FALSE(second);
    CHECK(second.error().code == Code::Busy);
    CHECK(second.error().detail.starts_with("discal ("));
    // The refused one disturbed nothing.
    CHECK(good(first->file().verify()).isSound());
    JournalMaker(*first, 3).note("RKD 014");
    first.reset();
    const auto third = Journal::openForWriting(place, writeOptions(3, "discalctl"));
    REQUIRE(third);
    CHECK((*third)->head().seq == 2);
    CHECK_FALSE((*third)->newChain());
}

TEST_CASE("A journal of a newer Discal is refused and comes out byte for byte the same", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    {
        const auto journal = openWriter(place, 1);
        JournalMaker(*journal, 1).started();
    }
    {
        SQLite::Database db(place.database.string(), SQLite::OPEN_READWRITE);
        db.exec("PRAGMA user_version = " + std::to_string(storage::newestSchema() + 1));
        db.exec("CREATE TABLE novelty (x)");
    }
    const std::string bytes = readFile(place.database);
    const std::string key = readFile(place.key());
    const std::string mark = readFile(place.mark());
    const auto writer = Journal::openForWriting(place, writeOptions(1));
    REQUIRE_FALSE(writer);
    CHECK(writer.error().code == Code::NewerFile);
    CHECK(writer.error().number == storage::newestSchema() + 1);
    const auto reader = Journal::openForReading(place);
    REQUIRE_FALSE(reader);
    CHECK(reader.error().code == Code::NewerFile);
    CHECK(readFile(place.database) == bytes);
    CHECK(readFile(place.key()) == key);
    CHECK(readFile(place.mark()) == mark);
}

TEST_CASE("A newer journal whose last commits are still in its -wal is not checkpointed by looking",
          "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    const Place taken(folder.path() / "taken.discal");
    {
        const auto journal = openWriter(place, 1);
        JournalMaker maker(*journal, 1);
        maker.started();
        journal->file().database().exec("PRAGMA user_version = 99");
        maker.note("RKD 014");
        std::filesystem::copy_file(place.database, taken.database);
        std::filesystem::copy_file(place.database.string() + "-wal", taken.database.string() + "-wal");
    }
    const std::string bytes = readFile(taken.database);
    const std::string wal = readFile(taken.database.string() + "-wal");
    REQUIRE(wal.size() > 4096);
    for (int i = 0; i < 2; ++i) {
        const auto writer = Journal::openForWriting(taken, writeOptions(1));
        REQUIRE_FALSE(writer);
        CHECK(writer.error().code == Code::NewerFile);
        CHECK(readFile(taken.database) == bytes);
        CHECK(readFile(taken.database.string() + "-wal") == wal);
    }
}

TEST_CASE("What is no journal is refused and left as it was", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    SECTION("somebody else's SQLite file") {
        SQLite::Database db(place.database.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
        db.exec("CREATE TABLE song (title TEXT)");
        db.exec("INSERT INTO song VALUES ('La Cucaracha')");
    }
    SECTION("somebody else's SQLite file in WAL mode, with an application id and version 0") {
        SQLite::Database db(place.database.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
        db.exec("PRAGMA journal_mode = WAL");
        db.exec("PRAGMA application_id = 252006673");
        db.exec("CREATE TABLE song (title TEXT)");
    }
    SECTION("text") {
        writeFile(place.database, "this is a shopping list\n");
    }
    SECTION("a long file of zeroes") {
        writeFile(place.database, std::string(20'000, '\0'));
    }
    const std::string bytes = readFile(place.database);
    const auto writer = Journal::openForWriting(place, writeOptions(1));
    REQUIRE_FALSE(writer);
    CHECK(writer.error().code == Code::NotAJournal);
    const auto reader = Journal::openForReading(place);
    REQUIRE_FALSE(reader);
    CHECK(reader.error().code == Code::NotAJournal);
    CHECK(readFile(place.database) == bytes);
    CHECK_FALSE(std::filesystem::exists(place.key()));
    CHECK_FALSE(std::filesystem::exists(place.state()));
}

TEST_CASE("Reading what is not there makes nothing", "[storage]") {
    const TemporaryFolder folder;
    const auto reader = Journal::openForReading(Place(folder.path() / "a.discal"));
    REQUIRE_FALSE(reader);
    CHECK(reader.error().code == Code::NotFound);
    CHECK(std::filesystem::is_empty(folder.path()));
    const auto writer =
        Journal::openForWriting(Place(folder.path() / "no such" / "a.discal"), writeOptions(1));
    REQUIRE_FALSE(writer);
    CHECK(writer.error().code == Code::NotFound);
}

TEST_CASE("Migrations lead from an empty file to the newest schema, numbered from 1 without a gap",
          "[storage]") {
    int expected = 1;
    for (const auto& migration : storage::embedded::migrations())
        CHECK(migration.number == expected++);
    CHECK(storage::newestSchema() == expected - 1);

    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    writeFile(place.database, "");
    {
        const auto journal = openWriter(place, 1);
        JournalMaker(*journal, 1).started();
    }
    SQLite::Database db(place.database.string(), SQLite::OPEN_READONLY);
    CHECK(db.execAndGet("PRAGMA user_version").getInt() == storage::newestSchema());
    CHECK(db.execAndGet("PRAGMA application_id").getInt() == storage::kApplicationId);
    CHECK(db.execAndGet("PRAGMA journal_mode").getString() == "wal");
    CHECK(db.execAndGet("SELECT count(*) FROM entry").getInt() == 1);
    // STRICT throughout (style, section 6).
    CHECK(db.execAndGet("SELECT group_concat(name) FROM pragma_table_list "
                        "WHERE schema = 'main' AND type = 'table' AND strict = 0 AND name NOT LIKE 'sqlite%'")
              .isNull());
}

TEST_CASE("A reader does not migrate", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    writeFile(place.database, "");
    const auto reader = Journal::openForReading(place);
    REQUIRE_FALSE(reader);
    CHECK(reader.error().code == Code::NotFound);
    CHECK(std::filesystem::file_size(place.database) == 0);
}

TEST_CASE("The writer's connection keeps the promises of design section 5", "[storage]") {
    const TemporaryFolder folder;
    const auto journal = openWriter(Place(folder.path() / "a.discal"), 1);
    SQLite::Database& db = journal->file().database();
    CHECK(db.execAndGet("PRAGMA journal_mode").getString() == "wal");
    CHECK(db.execAndGet("PRAGMA synchronous").getInt() == 2);
    CHECK(db.execAndGet("PRAGMA fullfsync").getInt() == 1);
    CHECK(db.execAndGet("PRAGMA checkpoint_fullfsync").getInt() == 1);
    CHECK(db.execAndGet("PRAGMA recursive_triggers").getInt() == 1);
    CHECK(db.execAndGet("PRAGMA temp_store").getInt() == 2);
    CHECK(db.execAndGet("PRAGMA secure_delete").getInt() == 1);
    CHECK(db.execAndGet("PRAGMA foreign_keys").getInt() == 1);
    // Our hook stands where SQLite's own checkpointing would: only length counts, nothing is moved in a
    // commit.
    JournalMaker maker(*journal, 1);
    maker.started();
    CHECK(journal->file().walPages() > 0);
    good(journal->idle());
    CHECK(journal->file().walPages() == 0);
    // The room for a day is made then, so that no tap of it waits for the file to grow.
    const std::filesystem::path wal = folder.path() / "a.discal-wal";
    const auto room = std::filesystem::file_size(wal);
    CHECK(room >= 4U << 20);
    for (int i = 0; i < 100; ++i)
        maker.note("RKD " + std::to_string(100 + i));
    CHECK(journal->file().walPages() > 0);
    CHECK(std::filesystem::file_size(wal) == room);
}
