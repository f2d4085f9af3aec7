// Readers: beside a writer they see every line that it was told is saved; in a folder that can't be written
// they change nothing.

#include "storage/journal_maker.h"

#include "catch_compat.hpp"
#include "reference.h"

#include <filesystem>
#include <iostream>
#include <map>
#include <sys/wait.h>
#include <unistd.h>

using namespace discal;
using namespace discal::tests;
using storage::Journal;
using storage::Place;

namespace {

std::map<std::string, std::string> filesIn(const std::filesystem::path& folder) {
    std::map<std::string, std::string> out;
    for (const auto& entry : std::filesystem::directory_iterator(folder))
        out[entry.path().filename().string()] = readFile(entry.path());
    return out;
}

void setPermissions(const std::filesystem::path& folder, bool canWrite) {
    using std::filesystem::perms;
    const perms open = perms::owner_read | perms::owner_exec | perms::group_read | perms::group_exec |
                       perms::others_read | perms::others_exec;
    for (const auto& entry : std::filesystem::directory_iterator(folder))
        std::filesystem::permissions(entry.path(), canWrite ? open | perms::owner_write : open);
    std::filesystem::permissions(folder, canWrite ? open | perms::owner_write : open);
}

/// Runs `work` in a child that may not write the folder, even when we are root. True if it returned true.
template <class Work>
bool asNobody(Work&& work) {
    std::cout.flush();
    const pid_t child = ::fork();
    if (child == 0) {
        bool isFine = ::geteuid() != 0 || (::setgid(65534) == 0 && ::setuid(65534) == 0);
        try {
            isFine = isFine && work();
        } catch (const std::exception& e) {
            std::cerr << e.what() << "\n";
            isFine = false;
        }
        ::_exit(isFine ? 0 : 1);
    }
    int status = 0;
    return ::waitpid(child, &status, 0) == child && WIFEXITED(status) && WEXITSTATUS(status) == 0;
}

} // namespace

TEST_CASE("A reader beside a writer sees every line at once after append returned", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    const auto writer = openWriter(place, 1);
    JournalMaker maker(*writer, 1);
    maker.started();
    maker.sheetReceived("RKD 001", 100);
    // More lines than projections take between two commits (50), so that both a lagging and a fresh file are
    // met.
    for (int i = 1; i <= 60; ++i) {
        const std::string code = "RKD 0" + std::to_string(10 + i);
        maker.note(code);
        if (i % 9 == 0)
            good(writer->projections().flush());
        if (i % 4 != 0 && i < 45)
            continue;
        INFO("line " << i);
        const auto reader = openReader(place);
        CHECK(reader->head() == writer->head());
        CHECK(good(reader->projections().butterflyCount()) == i);
        CHECK(good(reader->projections().butterfliesWith(code)).size() == 1);
        CHECK_FALSE(
            good(reader->projections().isOfferedBy(good(tag::Code::fromText(code)), writer->device())));
        CHECK(good(reader->projections().greatestLamport()) == good(writer->projections().greatestLamport()));
        CHECK(linesOf(reader->file()).size() == static_cast<std::size_t>(writer->head().seq));
    }
    const auto reader = openReader(place);
    CHECK(difference(good(reader->projections().dump()), good(writer->projections().dump())) == "");
}

TEST_CASE("A reader that stays keeps its view, and hinders neither writing nor checkpointing", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    const auto writer = openWriter(place, 1);
    JournalMaker maker(*writer, 1);
    maker.started();
    maker.note("RKD 014");
    good(writer->idle());
    const auto reader = openReader(place);
    CHECK(good(reader->projections().butterflyCount()) == 1);
    for (int i = 0; i < 120; ++i)
        maker.note("RKD " + std::to_string(100 + i));
    good(writer->idle());
    CHECK(good(reader->projections().butterflyCount()) == 1);
    CHECK(good(openReader(place)->projections().butterflyCount()) == 121);
}

TEST_CASE("A reader can do nothing but read", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    {
        const auto writer = openWriter(place, 1);
        JournalMaker(*writer, 1).started();
    }
    const auto before = readFile(place.database);
    {
        const auto reader = openReader(place);
        const auto appended = reader->append({"{}"});
        REQUIRE_FALSE(appended);
        CHECK(appended.error().code == Code::ReadOnly);
        const auto received = reader->receive({});
        REQUIRE_FALSE(received);
        CHECK(received.error().code == Code::ReadOnly);
        CHECK_FALSE(reader->signedChain());
        CHECK_FALSE(reader->file().setDraft("tag", "code", "x"));
    }
    CHECK(readFile(place.database) == before);
}

TEST_CASE("A journal in a folder that can't be written is read, and no file is changed or added",
          "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    std::vector<std::string> lines;
    std::string dump;
    {
        const auto writer = openWriter(place, 1);
        JournalMaker maker(*writer, 1);
        maker.started();
        maker.sheetReceived("RKD 001", 100);
        for (int i = 10; i < 70; ++i)
            maker.note("RKD 0" + std::to_string(i));
        lines = linesOf(writer->file());
        dump = good(writer->projections().dump());
    }
    bool hasState = true;
    SECTION("with its projections") {}
    SECTION("without them") {
        std::filesystem::remove(place.state());
        hasState = false;
    }
    SECTION("with an empty -wal that a reader left") {
        openReader(place).reset();
        std::filesystem::remove(place.database.string() + "-shm");
        std::filesystem::remove(place.state().string() + "-shm");
    }
    const auto before = filesIn(folder.path());
    CHECK(before.contains("a.discal.state") == hasState);
    setPermissions(folder.path(), false);
    const bool isRead = asNobody([&] {
        if (::access(folder.path().c_str(), W_OK) == 0) {
            std::cerr << "the folder can be written after all\n";
            return false;
        }
        const auto reader = openReader(place);
        const std::string differs = difference(good(reader->projections().dump()), dump);
        std::cerr << differs;
        return linesOf(reader->file()) == lines && differs.empty() &&
               good(reader->projections().butterflyCount()) == 60;
    });
    const bool isRefused = asNobody([&] {
        const auto writer = Journal::openForWriting(place, writeOptions(1));
        return !writer && writer.error().code == Code::ReadOnly;
    });
    setPermissions(folder.path(), true);
    CHECK(isRead);
    CHECK(isRefused);
    CHECK(filesIn(folder.path()) == before);
}
