// A real disk that runs full: four megabytes of memory, mounted for the test. Needs the right to mount.

#include "storage/journal_maker.h"

#include "catch_compat.hpp"
#include "reference.h"

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <sys/mount.h>

using namespace discal;
using namespace discal::tests;
using storage::Journal;
using storage::Place;
using storage::Warning;

namespace {

class SmallDisk {
public:
    SmallDisk() : m_isMounted(::mount("tmpfs", m_folder.path().c_str(), "tmpfs", 0, "size=4m") == 0) {
        if (!m_isMounted)
            WARN("skipped: no right to mount a small disk (" << std::strerror(errno) << ")");
    }
    ~SmallDisk() {
        if (m_isMounted)
            ::umount2(m_folder.path().c_str(), MNT_DETACH);
    }
    SmallDisk(const SmallDisk&) = delete;
    SmallDisk& operator=(const SmallDisk&) = delete;
    [[nodiscard]] bool isMounted() const { return m_isMounted; }
    [[nodiscard]] const std::filesystem::path& path() const { return m_folder.path(); }

private:
    TemporaryFolder m_folder;
    bool m_isMounted;
};

bool hasWarning(const Journal& journal, Warning warning) {
    const auto all = journal.warnings();
    return std::find(all.begin(), all.end(), warning) != all.end();
}

std::string codeOf(int n) {
    const std::string digits = std::to_string(n);
    return "RKD " + std::string(5 - digits.size(), '0') + digits;
}

} // namespace

TEST_CASE("A full disk loses no line that was told to be saved, and the day goes on when there is room",
          "[crash]") {
    const SmallDisk disk;
    if (!disk.isMounted())
        return;
    const Place place(disk.path() / "a.discal");
    std::ofstream(disk.path() / "music") << std::string(1'000'000, 'x');
    std::size_t saved = 0;
    int n = 0;
    {
        const auto journal = openWriter(place, 1);
        JournalMaker maker(*journal, 1);
        maker.started();
        maker.sheetReceived("RKD 00001", 9000);
        saved = 2;
        REQUIRE(hasWarning(*journal, Warning::DiskNearlyFull));
        REQUIRE_FALSE(hasWarning(*journal, Warning::ReserveUsed));
        bool wasWarnedOfReserve = false;
        for (; n < 20'000; ++n) {
            const auto appended = maker.tryAppend(maker.noteLine(codeOf(n)));
            if (!appended) {
                CHECK(appended.error().code == Code::DiskFull);
                break;
            }
            ++saved;
            wasWarnedOfReserve = hasWarning(*journal, Warning::ReserveUsed);
        }
        REQUIRE(n < 20'000);
        CHECK(wasWarnedOfReserve); // before the first line that could not be saved
        CHECK(linesOf(journal->file()).size() == saved);
        CHECK(journal->head().seq == static_cast<std::int64_t>(saved));
        CHECK(good(journal->projections().butterflyCount()) == static_cast<std::int64_t>(saved) - 2);

        // Still full, and still honest.
        CHECK_FALSE(maker.tryAppend(maker.noteLine(codeOf(n))));
        CHECK(linesOf(journal->file()).size() == saved);

        std::filesystem::remove(disk.path() / "music");
        for (int i = 0; i < 5; ++i, ++saved)
            maker.note(codeOf(++n));
        CHECK(linesOf(journal->file()).size() == saved);
        good(journal->idle());
    }
    // Some thousand, since a full disk makes the journal keep its -wal short; a plain -wal held under 300.
    CHECK(saved > 1000);
    const auto journal = openWriter(place, 2);
    CHECK_FALSE(journal->newChain());
    CHECK(linesOf(journal->file()).size() == saved);
    CHECK(good(journal->file().verify()).isSound());
    const auto fresh = good(storage::Projections::openInMemory(journal->file()));
    CHECK(difference(good(journal->projections().dump()), good(fresh->dump())) == "");
}

TEST_CASE("A journal on a disk that is full already can be opened and read, and says so", "[crash]") {
    const SmallDisk disk;
    if (!disk.isMounted())
        return;
    const Place place(disk.path() / "a.discal");
    {
        const auto journal = openWriter(place, 1);
        JournalMaker maker(*journal, 1);
        maker.started();
        for (int i = 0; i < 20; ++i)
            maker.note(codeOf(i));
    }
    std::filesystem::remove(place.state());
    REQUIRE(std::filesystem::exists(place.reserve()));
    {
        std::ofstream fill(disk.path() / "music");
        for (int i = 0; i < 4096 && fill.good(); ++i)
            fill << std::string(1024, 'x') << std::flush;
    }
    const auto journal = openWriter(place, 2);
    CHECK_FALSE(journal->newChain());
    CHECK(good(journal->projections().butterflyCount()) == 20);
    CHECK(hasWarning(*journal, Warning::DiskNearlyFull));
    CHECK(hasWarning(*journal, Warning::ReserveUsed)); // SQLite needs a -shm file even to read
    JournalMaker maker(*journal, 2);
    maker.note(codeOf(50));
    // Now really full, reserve and all.
    {
        std::ofstream fill(disk.path() / "more music");
        for (int i = 0; i < 4096 && fill.good(); ++i)
            fill << std::string(1024, 'x') << std::flush;
    }
    const auto backup = journal->backup(disk.path() / "copy.discal");
    CHECK_FALSE(backup);
    CHECK_FALSE(std::filesystem::exists(disk.path() / "copy.discal"));
    CHECK_FALSE(std::filesystem::exists(disk.path() / "copy.discal.part"));
    std::filesystem::remove(disk.path() / "music");
    maker.note(codeOf(51));
    CHECK(good(journal->projections().butterfliesWith(codeOf(51))).size() == 1);
    CHECK(good(journal->file().verify()).isSound());
    good(journal->backup(disk.path() / "copy.discal"));
}
