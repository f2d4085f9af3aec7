#include "event_loop.h"
#include "phone.h"
#include "viewmodels/rest.h"

#include "catch_compat.hpp"

#include <QCoreApplication>
#include <csignal>
#include <filesystem>
#include <fstream>
#include <sys/resource.h>

using namespace discal;
using namespace discal::tests;
using namespace std::chrono_literals;
using viewmodels::Rest;

namespace {

/// Enough lines that a copy is due.
void letGoMany(TestPhone& phone) {
    for (int i = 0; i < 25; ++i) {
        phone.note();
        need(phone.phone().tagging.release(std::nullopt));
        phone.wait(20s);
    }
    phone.tell();
}

int copiesIn(const Rest& rest) {
    std::error_code ec;
    int count = 0;
    for (std::filesystem::directory_iterator entry(rest.copies().folder(), ec), end; !ec && entry != end;
         entry.increment(ec))
        count += entry->path().extension() == ".discal" ? 1 : 0;
    return count;
}

std::uintmax_t commitsAside(const TestPhone& phone) {
    std::error_code ec;
    return std::filesystem::file_size(phone.folder() / "j.discal-wal", ec);
}

/// No file takes more than a page, as where a disk is full.
class FilesStaySmall {
public:
    FilesStaySmall() {
        std::signal(SIGXFSZ, SIG_IGN);
        getrlimit(RLIMIT_FSIZE, &m_was);
        rlimit small = m_was;
        small.rlim_cur = 4096;
        setrlimit(RLIMIT_FSIZE, &small);
    }
    ~FilesStaySmall() { setrlimit(RLIMIT_FSIZE, &m_was); }
    FilesStaySmall(const FilesStaySmall&) = delete;
    FilesStaySmall& operator=(const FilesStaySmall&) = delete;

private:
    rlimit m_was{};
};

struct Rests {
    explicit Rests(Rest& rest) {
        QObject::connect(&rest, &Rest::rested, [this] { ++count; });
    }
    int count{0};
};

} // namespace

TEST_CASE("A copy is made when nothing was touched for twenty seconds, and not before", "[rest]") {
    application();
    TestPhone phone(40);
    Rest rest(phone.phone());
    Rests rests(rest);
    letGoMany(phone);
    rest.touchBegan();
    rest.touchEnded();
    phone.wait(Rest::kQuiet - 1ms);
    rest.look();
    CHECK(rests.count == 0);
    CHECK(copiesIn(rest) == 0);
    CHECK(rest.timer().isActive());
    CHECK(rest.timer().intervalAsDuration() == 1ms);
    phone.wait(1ms);
    rest.look();
    CHECK(rests.count == 1);
    CHECK(copiesIn(rest) == 1);
    CHECK(rest.copyTrouble().isEmpty());
    // Nothing further was written: nothing further to do.
    phone.wait(1h);
    rest.look();
    CHECK(rests.count == 1);
}

TEST_CASE("The first rest comes two seconds after the first frame", "[rest]") {
    application();
    TestPhone phone;
    Rest rest(phone.phone());
    Rests rests(rest);
    CHECK_FALSE(rest.timer().isActive());
    rest.begin();
    CHECK(rest.timer().intervalAsDuration() == Rest::kAfterFirstFrame);
    phone.wait(Rest::kAfterFirstFrame);
    rest.look();
    CHECK(rests.count == 1);
}

TEST_CASE("It never rests while a finger is down", "[rest]") {
    application();
    TestPhone phone(40);
    Rest rest(phone.phone());
    Rests rests(rest);
    rest.touchBegan();
    letGoMany(phone);
    phone.wait(1h);
    rest.look();
    CHECK(rests.count == 0);
    CHECK_FALSE(rest.timer().isActive());
    rest.touchEnded();
    CHECK(rest.timer().isActive());
    phone.wait(Rest::kQuiet);
    rest.look();
    CHECK(rests.count == 1);
}

TEST_CASE("With one in hand it waits longer, but not for ever", "[rest]") {
    application();
    TestPhone phone;
    Rest rest(phone.phone());
    Rests rests(rest);
    rest.touchBegan();
    phone.note();
    phone.tell();
    rest.touchEnded();
    phone.wait(Rest::kQuiet);
    rest.look();
    CHECK(rests.count == 0);
    phone.wait(Rest::kQuietInHand - Rest::kQuiet);
    rest.look();
    CHECK(rests.count == 1);
}

TEST_CASE("Sent to the background it rests at once, but not inside the tap that sent it there", "[rest]") {
    application();
    TestPhone phone(40);
    Rest rest(phone.phone());
    Rests rests(rest);
    letGoMany(phone);
    rest.touchBegan();
    const auto state = GENERATE(Qt::ApplicationInactive, Qt::ApplicationSuspended, Qt::ApplicationHidden);
    rest.applicationStateChanged(state);
    CHECK(rests.count == 0);
    QCoreApplication::processEvents();
    CHECK(rests.count == 1);
    CHECK(copiesIn(rest) == 1);
}

TEST_CASE("At rest commits have moved into the file", "[rest]") {
    application();
    TestPhone phone;
    Rest rest(phone.phone());
    phone.note();
    need(phone.phone().tagging.release(std::nullopt));
    phone.tell();
    phone.wait(Rest::kQuiet);
    rest.look();
    // The room of the -wal stays (it is made beforehand): that none of it is left to be moved is seen without it.
    REQUIRE(commitsAside(phone) > 0);
    const auto alone = phone.folder() / "alone";
    std::filesystem::create_directory(alone);
    std::filesystem::copy_file(phone.folder() / "j.discal", alone / "j.discal");
    const auto file = need(storage::JournalFile::open(storage::Place(alone / "j.discal"),
                                                      storage::JournalFile::Access::Write));
    CHECK(need(file->line(phone.phone().journal().device(), phone.phone().journal().head().seq)).has_value());
}

TEST_CASE("A session's end is copied, though few lines have come", "[rest]") {
    application();
    TestPhone phone;
    Rest rest(phone.phone());
    phone.note();
    need(phone.phone().tagging.release(std::nullopt));
    phone.tell();
    phone.wait(Rest::kQuiet);
    rest.look();
    CHECK(copiesIn(rest) == 0);
    need(phone.phone().session.close({}));
    phone.tell();
    phone.wait(Rest::kQuiet);
    rest.look();
    CHECK(copiesIn(rest) == 1);
}

TEST_CASE("A copy that fails is said with the time of the last one, until one is made", "[rest]") {
    application();
    TestPhone phone(80);
    Rest rest(phone.phone());
    letGoMany(phone);
    const auto folder = rest.copies().folder();
    const auto look = [&] {
        phone.tell();
        phone.wait(Rest::kQuiet);
        rest.look();
    };
    std::ofstream(folder) << "in the way";
    look();
    CHECK(rest.copyTrouble() == "No safe copy yet.");
    CHECK(rest.copyAdvice().startsWith("All butterflies are saved, but copying them failed."));
    std::filesystem::remove(folder);
    look();
    CHECK(rest.copyTrouble().isEmpty());
    REQUIRE(copiesIn(rest) == 1);
    const auto kept = std::filesystem::directory_iterator(folder)->path();
    letGoMany(phone);
    letGoMany(phone);
    {
        const FilesStaySmall full;
        look();
    }
    CHECK(rest.copyTrouble().startsWith("No safe copy since 5 Sep, 10:"));
    CHECK(std::filesystem::exists(kept));
    look();
    CHECK(rest.copyTrouble().isEmpty());
    CHECK(copiesIn(rest) == 2);
}
