// What a screen asks for while somebody tags: of this session, and of today.

#include "storage/journal_maker.h"

#include "crash/simulated_disk.h"

#include "catch_compat.hpp"

using namespace discal;
using namespace discal::tests;
using journal::Uuid;
using storage::Journal;
using storage::Place;

namespace {

/// A journal whose butterflies are noted in sessions at times that the test says.
class Field {
public:
    Field() { maker.started(); }

    Uuid note(const Uuid& session, const std::string& code, const std::string& utc) {
        const Uuid id = maker.newId();
        auto line = maker.line("butterfly.noted", {id}, {{"code", code}, {"session", session.text()}});
        line.at = good(time::parseUtc(utc));
        maker.append(line);
        return id;
    }
    std::vector<Uuid> newest(const Uuid& session, std::size_t limit) {
        std::vector<Uuid> out;
        for (const auto& b : good(projections.newestOfSession(session.text(), limit)))
            out.push_back(b.id);
        return out;
    }
    std::int64_t count(const Uuid& session) { return good(projections.countOfSession(session.text())); }
    std::int64_t releasedSince(const std::string& utc) { return good(projections.countReleasedSince(utc)); }

private:
    SideFolder m_folder;
    SimulatedDisk m_disk;

public:
    std::unique_ptr<Journal> journal =
        openWriter(Place("/disk/a.discal", m_folder.path() / "a", m_disk.name()), 1);
    storage::Projections& projections = journal->projections();
    JournalMaker maker{*journal, 1};
};

using Ids = std::vector<Uuid>;

} // namespace

TEST_CASE("The newest of a session come first, as many as are asked for", "[storage]") {
    Field field;
    const Uuid morning = field.maker.newId();
    const Uuid noon = field.maker.newId();
    CHECK(field.count(morning) == 0);
    CHECK(field.newest(morning, 3).empty());
    const Uuid second = field.note(morning, "RKD 002", "2025-08-30T08:02:00.000Z");
    const Uuid other = field.note(noon, "RKD 003", "2025-08-30T12:00:00.000Z");
    // Typed in from paper afterwards: when it was noted counts, not when the line was written.
    const Uuid first = field.note(morning, "RKD 001", "2025-08-30T08:01:00.000Z");
    const Uuid third = field.note(morning, "RKD 004", "2025-08-30T08:03:00.000Z");
    CHECK(field.count(morning) == 3);
    CHECK(field.count(noon) == 1);
    CHECK(field.newest(morning, 2) == Ids{third, second});
    CHECK(field.newest(morning, 9) == Ids{third, second, first});
    CHECK(field.newest(morning, 0).empty());
    CHECK(field.newest(noon, 9) == Ids{other});

    // Somebody else's tag read there has a session, but was never noted.
    const Uuid foreign = field.maker.newId();
    field.maker.happened("butterfly.recaptured", foreign, {{"code", "QXZ 881"}, {"session", morning.text()}});
    CHECK(field.count(morning) == 4);
    CHECK(field.newest(morning, 9) == Ids{third, second, first, foreign});
}

TEST_CASE("Released ones are counted from a time on, in all sessions", "[storage]") {
    Field field;
    CHECK(field.releasedSince("2025-08-30T00:00:00.000Z") == 0);
    const Uuid morning = field.maker.newId();
    const Uuid noon = field.maker.newId();
    const Uuid yesterday = field.note(morning, "RKD 001", "2025-08-29T23:59:59.999Z");
    const Uuid midnight = field.note(morning, "RKD 002", "2025-08-30T00:00:00.000Z");
    const Uuid later = field.note(noon, "RKD 003", "2025-08-30T12:00:00.000Z");
    const Uuid held = field.note(noon, "RKD 004", "2025-08-30T12:01:00.000Z");
    const Uuid dead = field.note(noon, "RKD 005", "2025-08-30T12:02:00.000Z");
    field.maker.note("RKD 006"); // in no session, at some time on the 30th
    const Uuid withoutSession = field.maker.subject();
    CHECK(field.releasedSince("2025-08-30T00:00:00.000Z") == 0);
    for (const Uuid& id : {yesterday, midnight, later, withoutSession})
        field.maker.released(id);
    field.maker.held(held);
    field.maker.happened("butterfly.died", dead, {{"tag", "on"}});
    CHECK(field.releasedSince("2025-08-30T00:00:00.000Z") == 3);
    CHECK(field.releasedSince("2025-08-29T00:00:00.000Z") == 4);
    CHECK(field.releasedSince("2025-08-30T12:00:00.000Z") == 1);
    CHECK(field.releasedSince("2025-08-30T12:00:00.001Z") == 0);
}
