#include "catch_compat.hpp"
#include "desk.h"
#include "services/sample/replay.h"
#include "services/system/own_gazetteer.h"

#include <fstream>
#include <map>

using namespace discal;
using namespace discal::tests;
using namespace discal::services::sample;
using butterfly::Fate;

namespace {

struct Replayed {
    ReplayReport report;
    std::map<std::string, std::string> lines; ///< phone -> all lines of its file
    std::vector<std::string> saved;
};

using Look = std::function<void(const std::string& phone, storage::Journal& journal)>;

Replayed replayed(const std::filesystem::path& folder, const std::filesystem::path& journal,
                  const Look& look = {}) {
    Replayed out;
    const auto gazetteer = need(services::openOwn());
    ReplayOptions options;
    options.names = &gazetteer.names;
    options.folder = folder;
    options.journal = journal;
    options.exchange = [](storage::Journal& from, storage::Journal& to) { return tests::exchange(from, to); };
    options.onSaved = [&](const std::string& phone, const services::SavedLine& line) {
        out.saved.push_back(phone + " " + std::to_string(line.seq) + " " + line.kind);
    };
    options.onFinished = [&](const std::string& phone, storage::Journal& j) {
        out.lines[phone] = need(journalAsNdjson(j));
        if (look)
            look(phone, j);
    };
    out.report = need(replay(options));
    return out;
}

/// Two replays give the same bytes, which are those that a person has read.
void isAsReviewed(const std::string& session, const Look& look) {
    TemporaryFolder folder;
    const auto first = replayed(sampleSession(session), folder.path() / "one.discal", look);
    const auto second = replayed(sampleSession(session), folder.path() / "two.discal");
    CHECK(first.lines == second.lines);
    CHECK(first.saved == second.saved);
    CHECK(static_cast<std::int64_t>(first.saved.size()) == first.report.lines);
    const std::string expected = readFile(sampleSession(session) / "expected" / "journal.ndjson");
    REQUIRE_FALSE(expected.empty());
    CHECK((first.lines.at(first.report.phones[0].name) == expected));
}

std::map<std::string, int> fates(storage::Journal& journal) {
    std::map<std::string, int> out;
    const auto sessions = need(journal.projections().records(journal::RecordType::Session));
    for (const auto& session : sessions)
        for (const auto& b : need(journal.projections().butterfliesOfSession(session.key)))
            ++out[std::string(textOf(b.fate))];
    return out;
}

butterfly::Butterfly carrier(storage::Journal& journal, const std::string& code) {
    for (const auto& b : need(journal.projections().butterfliesWith(code)))
        if (b.currentCode() == code)
            return b;
    throw std::runtime_error("nobody carries " + code);
}

int openDoubts(storage::Journal& journal) {
    int open = 0;
    for (const auto& d : need(journal.projections().doubts()))
        open += d.settled ? 0 : 1;
    return open;
}

tag::TagState tagState(storage::Journal& journal, const std::string& code) {
    return need(journal.projections().tag(need(tag::Code::fromText(code))));
}

/// A folder with this session.jsonl, replayed into a new file: the error.
Error stopped(const std::string& script) {
    TemporaryFolder folder;
    std::ofstream(folder.path() / "session.jsonl", std::ios::binary) << script;
    ReplayOptions options;
    options.folder = folder.path();
    options.journal = folder.path() / "j.discal";
    const auto done = replay(options);
    REQUIRE_FALSE(done);
    return done.error();
}

const std::string kHeader =
    R"({"session":"s","seed":1,"start":"2026-09-05T08:00:00-05:00","phones":["A","B"]})";

} // namespace

TEST_CASE("Meadow morning", "[sample][replay]") {
    isAsReviewed("meadow-morning", [](const std::string&, storage::Journal& j) {
        // 15 let go or flown with a tag, one that slipped away, one worn, one of somebody else's.
        CHECK(fates(j) ==
              std::map<std::string, int>{{"escaped", 1}, {"released", 14}, {"seen", 1}, {"untagged", 1}});
        CHECK(openDoubts(j) == 0);
        CHECK(carrier(j, "RKD 003").isInferred);
        CHECK(carrier(j, "RKD 002").recaptures == 1);
        CHECK(carrier(j, "RKD 010").sex == "female");
        CHECK(tagState(j, "RKD 005").fate == tag::Fate::Spoiled);
        CHECK(carrier(j, "RKD 006").codes.size() == 2);
        // Position lost: an old one with its age, then the site alone; poor: the fix beside the site.
        const auto lost = carrier(j, "RKD 008");
        CHECK(journal::numberIn(*journal::objectIn(lost.taken, "position"), "age_ms") == 45'000);
        CHECK_FALSE(lost.released.contains("position"));
        CHECK(lost.released.at("words").as_string().starts_with("Ridge meadow, Viroqua"));
        CHECK(lost.released.contains("site"));
        const auto first = carrier(j, "RKD 001");
        CHECK(journal::objectIn(first.released, "position") != nullptr);
        CHECK(need(j.file().verify()).isSound());
    });
}

TEST_CASE("Hatch day", "[sample][replay]") {
    isAsReviewed("hatch-day", [](const std::string&, storage::Journal& j) {
        CHECK(fates(j) == std::map<std::string, int>{{"died", 1}, {"held", 1}, {"released", 10}});
        CHECK(openDoubts(j) == 0);
        std::string field;
        for (const auto& site : need(j.projections().records(journal::RecordType::Site)))
            if (journal::textIn(site.members, "name") == "Goldenrod field")
                field = site.key;
        std::map<std::string, int> acts;
        int withdrawn = 0;
        for (std::int64_t seq = 1; seq <= j.head().seq; ++seq) {
            const auto entry = journal::makeEntry(j.device(), seq, *need(j.file().line(j.device(), seq)));
            if (entry.line->kind != "butterfly.released")
                continue;
            const auto amended = need(j.projections().amendedLine(entry));
            if (amended.isWithdrawn) {
                ++withdrawn;
                continue;
            }
            ++acts[entry.line->act.text()];
            CHECK(journal::textIn(*journal::objectIn(entry.line->body, "place"), "site") == field);
        }
        // One undo took the first attempt back; then ten went in one act, elsewhere.
        CHECK(withdrawn == 10);
        REQUIRE(acts.size() == 1);
        CHECK(acts.begin()->second == 10);
        // The tag that lay on the cage floor.
        CHECK(tagState(j, "RKE 004").fate == tag::Fate::Spoiled);
        CHECK(carrier(j, "RKE 013").fate == Fate::Released);
        CHECK(carrier(j, "RKE 010").fate == Fate::Died);
        CHECK(carrier(j, "RKE 003").fate == Fate::Held);
    });
}

TEST_CASE("Visitors' day", "[sample][replay]") {
    isAsReviewed("visitors-day", [](const std::string& phone, storage::Journal& j) {
        INFO(phone);
        // Five tags went from B to C; four are on butterflies, and one that the code was corrected to.
        int handed = 0;
        for (int n = 21; n <= 25; ++n)
            handed += tagState(j, "RKG 0" + std::to_string(n)).fate == tag::Fate::OnButterfly ? 1 : 0;
        CHECK(handed == 5);
        CHECK(openDoubts(j) == 0);
        CHECK(tagState(j, "RKG 003").butterflies.size() == 1);
        CHECK(carrier(j, "RKG 021").sex == "male");
        CHECK(j.projections().roles().station().size() == 36);
        int visitors = 0;
        for (const auto& person : need(j.projections().records(journal::RecordType::Person)))
            visitors += person.members.contains("visitor") ? 1 : 0;
        CHECK(visitors == 4);
    });
}

TEST_CASE("A doubled code is seen by both phones when parcels have passed", "[sample][replay]") {
    // The day up to the office's correction.
    const std::string whole = readFile(sampleSession("visitors-day") / "session.jsonl");
    const std::string cut = whole.substr(0, whole.find("{\"at\":\"11:10:00\""));
    REQUIRE(cut.size() < whole.size());
    TemporaryFolder folder;
    std::ofstream(folder.path() / "session.jsonl", std::ios::binary) << cut;
    std::map<std::string, std::size_t> marked;
    replayed(folder.path(), folder.path() / "j.discal", [&](const std::string& phone, storage::Journal& j) {
        for (const auto& d : need(j.projections().doubts()))
            if (d.doubt.key() == "code.used-twice code RKG 003")
                marked[phone] = d.doubt.evidence.size();
    });
    CHECK(marked == std::map<std::string, std::size_t>{{"B", 2}, {"C", 2}});
}

TEST_CASE("A replay overwrites nothing", "[sample][replay]") {
    TemporaryFolder folder;
    for (const char* name : {"j.discal", "j.discal.key", "j-B.discal-wal", "j-C.discal.state"}) {
        const auto there = folder.path() / name;
        std::ofstream(there) << "x";
        ReplayOptions options;
        options.folder = sampleSession("visitors-day");
        options.journal = folder.path() / "j.discal";
        const auto done = replay(options);
        REQUIRE_FALSE(done);
        CHECK(done.error().code == Code::Exists);
        CHECK(done.error().detail == there.string());
        CHECK(readFile(there) == "x");
        std::filesystem::remove(there);
        CHECK(std::filesystem::is_empty(folder.path()));
    }
    CHECK(journalOf("/x/meadow.discal", "B") == "/x/meadow-B.discal");
}

TEST_CASE("An act that a service refuses stops the replay with its line", "[sample][replay]") {
    const auto refused = stopped(kHeader + "\n" + R"({"at":"08:01","do":"note"})");
    CHECK(refused.code == Code::NotFound);
    CHECK(refused.number == 2);
    CHECK(refused.detail == "session.jsonl:2: a free tag on this device");
    const auto unrefused =
        stopped(kHeader + "\n" + R"({"at":"08:01","do":"person","initials":"MH","refused":true})");
    CHECK(unrefused.detail == "session.jsonl:2: person was not refused");
    const auto unmet = stopped(
        kHeader + "\n" + R"({"at":"08:01","do":"sheet","first":"RKD 001","expect":{"next":"RKD 002"}})");
    CHECK(unmet.detail == "session.jsonl:2: next expected RKD 002, found RKD 001");
    const auto unread = stopped(kHeader + "\n" + R"({"at":"08:01","do":"flap"})");
    CHECK(unread.detail.starts_with("session.jsonl:2: do: one of"));
    const auto parcel = stopped(kHeader + "\n" + R"({"at":"08:01","do":"parcel","to":"B"})");
    CHECK(parcel.code == Code::NotAllowed);

    TemporaryFolder folder;
    ReplayOptions options;
    options.folder = folder.path();
    options.journal = folder.path() / "j.discal";
    const auto empty = replay(options);
    REQUIRE_FALSE(empty);
    CHECK(empty.error().code == Code::NotFound);
    std::ofstream(folder.path() / "session.jsonl") << kHeader;
    std::ofstream(folder.path() / "fixes-B.csv") << "time,lat\n";
    const auto track = replay(options);
    REQUIRE_FALSE(track);
    CHECK(track.error().detail.starts_with("fixes-B.csv:1: the header"));
    CHECK_FALSE(std::filesystem::exists(options.journal));
}

TEST_CASE("Clocks that are wrong, phones that start anew and zones are lived through", "[sample][replay]") {
    const std::string script = kHeader + R"(
{"at":"08:00","do":"recorder","initials":"MH"}
{"at":"08:01","do":"sheet","first":"RKD 001"}
{"at":"08:02","do":"clock","skew_s":-86400}
{"at":"08:03","do":"note","sex":"male","origin":"wild","as":"first","expect":{"fate":"noted"}}
{"at":"08:04","do":"reboot"}
{"at":"08:05","do":"note","sex":"female","expect":{"butterfly":"@first","fate":"released","next":"RKD 003"}}
{"at":"08:06","do":"zone","offset":"-06:00","zone":"America/Denver"}
{"at":"08:07","do":"spoiled","code":"RKD 003","expect":{"next":"RKD 004"}}
{"at":"08:08","do":"missing","first":"RKD 004","count":2,"expect":{"next":"RKD 006"}}
{"at":"08:09","do":"paper","first":"RKD 006"}
{"at":"08:10","do":"give-away","first":"RKD 007","to":"a school","expect":{"next":"RKD 008"}}
{"at":"08:11","do":"withdraw","what":"@first","why":"not ours","expect":{"next":"RKD 008"}}
{"at":"08:12","do":"erase-person","initials":"MH"}
{"at":"08:13","do":"take","phone":"B","first":"RKD 020","count":6,"expect":{"next":"RKD 020"}}
{"at":"08:14","do":"measured","forewing_mm":"50.5","expect":{"code":"RKD 002"}}
{"at":"08:15","do":"retagged","expect":{"code":"RKD 008"}}
)";
    TemporaryFolder folder;
    std::ofstream(folder.path() / "session.jsonl", std::ios::binary) << script;
    const auto done = replayed(
        folder.path(), folder.path() / "j.discal", [](const std::string& phone, storage::Journal& j) {
            if (phone != "A")
                return;
            CHECK(need(j.projections().records(journal::RecordType::Session)).size() == 1);
            const auto b = carrier(j, "RKD 008");
            // A day behind, and not at the start of the phone's second boot.
            CHECK(b.notedAt == "2026-09-04T13:05:00.000Z");
            const auto last = need(journal::parseLine(*need(j.file().line(j.device(), j.head().seq))));
            CHECK(last.boot == "A-2");
            CHECK(last.upMs == 11 * 60'000);
            CHECK(last.offset == std::chrono::hours(-6));
            CHECK(last.zone == "America/Denver");
            CHECK(need(j.file().blobNames()).empty());
        });
    CHECK(done.report.acts == 16);
    CHECK(done.report.phones[1].lines == 2);
}

TEST_CASE("A comparison in a script doubts the butterflies that it names", "[sample][replay]") {
    TemporaryFolder folder;
    std::ofstream(folder.path() / "session.jsonl", std::ios::binary)
        << kHeader << "\n"
        << R"({"at":"08:01","do":"sheet","first":"RKD 001","count":10})"
        << "\n"
        << R"({"at":"08:02","do":"note","sex":"male","as":"one"})"
        << "\n"
        << R"({"at":"08:03","do":"note","sex":"male"})"
        << "\n"
        << R"({"at":"08:04","do":"compared","offered":"RKD 003","says":"RKD 003","butterflies":["@one"],"refused":true})"
        << "\n"
        << R"({"at":"08:04","do":"compared","offered":"RKD 003","says":"RKD 005","butterflies":["@one","RKD 002"],)"
        << R"("expect":{"doubts":2,"lines":1,"next":"RKD 005"}})"
        << "\n"
        << R"({"at":"08:05","do":"undo","expect":{"doubts":0,"next":"RKD 003"}})"
        << "\n";
    CHECK(replayed(folder.path(), folder.path() / "j.discal").report.acts == 6);
}
