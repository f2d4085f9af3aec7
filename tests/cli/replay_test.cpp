#include "catch_compat.hpp"
#include "cli/program.h"

#include <filesystem>
#include <fstream>
#include <sstream>

using namespace discal::tests;

namespace {

/// A small day on two phones.
std::string writeSession(const Desk& desk) {
    const auto folder = desk.folder() / "morning";
    std::filesystem::create_directories(folder);
    std::ofstream(folder / "session.jsonl")
        << R"({"session":"morning","seed":7,"start":"2026-09-05T07:30:00-05:00","zone":"America/Chicago","phones":["A","B"]})"
           "\n"
           R"({"at":"07:31:00","do":"sheet","first":"RKD 001","count":10})"
           "\n"
           R"({"at":"07:32:00","do":"hand","first":"RKD 006","count":5,"to":"B"})"
           "\n"
           R"({"at":"07:33:00","do":"parcel","to":"B"})"
           "\n"
           R"({"at":"07:40:00","do":"note","sex":"female","origin":"wild"})"
           "\n"
           R"({"at":"07:41:00","do":"release"})"
           "\n"
           R"({"at":"07:42:00","do":"note","phone":"B","sex":"male","origin":"wild","expect":{"code":"RKD 006"}})"
           "\n";
    return folder.string();
}

} // namespace

TEST_CASE("A replay prints each line as seq, id and kind, and gives the same bytes each time", "[cli]") {
    const Desk desk;
    const std::string folder = writeSession(desk);
    const Ran first = desk.run({"replay", folder});
    INFO(first.err);
    REQUIRE(first.exit == 0);
    std::istringstream lines(first.out);
    for (std::string line; std::getline(lines, line);) {
        std::istringstream columns(line);
        std::int64_t seq = 0;
        std::string id;
        std::string kind;
        std::string more;
        columns >> seq >> id >> kind;
        INFO(line);
        CHECK(seq > 0);
        CHECK(id.size() == 36);
        CHECK(has(kind, "."));
        CHECK_FALSE(columns >> more);
    }
    CHECK(has(first.err, desk.journal()));
    CHECK(has(first.err, desk.path("meadow-B.discal")));

    const Ran again = desk.bare({"replay", folder, "--journal", desk.path("again.discal"), "--json"});
    CHECK(again.exit == 0);
    bool hasSecondPhone = false;
    std::string asPlain;
    for (const auto& line : Desk::objects(again.out)) {
        hasSecondPhone = hasSecondPhone || line.at("phone").as_string() == "B";
        asPlain += std::to_string(line.at("seq").as_int64()) + " " + std::string(line.at("id").as_string()) +
                   " " + std::string(line.at("kind").as_string()) + "\n";
    }
    CHECK(hasSecondPhone);
    CHECK(asPlain == first.out);
    CHECK(desk.bare({"journal", "list", "--raw", "--journal", desk.path("again.discal")}).out ==
          desk.done({"journal", "list", "--raw"}));
    CHECK(has(desk.done({"journal", "status"}), "A sample journal: morning"));

    const Ran there = desk.run({"replay", folder});
    CHECK(there.exit == 1);
    CHECK(has(there.err, "not touched"));
}

TEST_CASE("A replay is compared with the lines that are expected, and the first that differs is told",
          "[cli]") {
    const Desk desk;
    const std::string folder = writeSession(desk);
    (void)desk.done({"replay", folder});
    const std::string lines = desk.done({"journal", "list", "--raw"});
    std::filesystem::create_directories(desk.path("morning/expected"));
    std::ofstream(desk.path("morning/expected/journal.ndjson"), std::ios::binary) << lines;
    const Ran same = desk.bare({"replay", folder, "--journal", desk.path("same.discal")});
    INFO(same.err);
    CHECK(same.exit == 0);
    CHECK(has(same.err, "The lines are those of "));

    std::string changed = lines;
    changed.replace(changed.find("female"), 6, "Female");
    std::ofstream(desk.path("morning/expected/journal.ndjson"), std::ios::binary) << changed;
    const Ran differs = desk.bare({"replay", folder, "--journal", desk.path("differs.discal")});
    CHECK(differs.exit == 1);
    CHECK(has(differs.err, " differs."));
    CHECK(has(differs.err, "Female"));
}

TEST_CASE("A replay tells what it sees in frames, on stderr", "[cli]") {
    const Desk desk;
    const auto folder = desk.folder() / "look";
    std::filesystem::create_directories(folder / "frames");
    std::ofstream(folder / "frames" / "blank.pgm", std::ios::binary)
        << "P5 320 240 255\n" << std::string(320 * 240, 'z');
    const auto script = [&](const std::string& expect) {
        std::ofstream(folder / "session.jsonl")
            << R"({"session":"look","seed":7,"start":"2026-09-05T07:30:00-05:00"})"
            << "\n"
            << R"({"at":"07:31:00","do":"read","frames":["blank.pgm"],"for":"label","expect":)" << expect << "}\n";
    };
    script(R"({"verdict":"refused"})");
    const Ran ran = desk.run({"replay", folder.string()});
    INFO(ran.err);
    CHECK(ran.exit == 0);
    CHECK(has(ran.err, "refused: no sheet's label seen (blank.pgm)"));
    CHECK_FALSE(has(ran.out, "blank"));

    script(R"({"first":"RKD 001"})");
    const Ran unmet = desk.bare({"replay", folder.string(), "--journal", desk.path("unmet.discal")});
    CHECK(unmet.exit == 1);
    CHECK(has(unmet.err, "session.jsonl:2: first expected RKD 001, found none"));
}

TEST_CASE("The three sample days give their lines, and what their frames show is read", "[cli]") {
    struct Day {
        const char* folder;
        std::vector<std::string> seen;
    };
    const Day days[] = {
        {"meadow-morning", {"refused: blurred (blurred.jpg)\n", "read RKD 002 from recaptured.jpg ("}},
        {"hatch-day", {"read a sheet's label from label.jpg: RKE 001, 25 tags\n"}},
        {"visitors-day", {}},
    };
    const auto sessions = std::filesystem::path(__FILE__).parent_path().parent_path().parent_path() / "sample-sessions";
    for (const Day& day : days) {
        const Desk desk;
        const Ran ran = desk.run({"replay", (sessions / day.folder).string()});
        INFO(ran.err);
        CHECK(ran.exit == 0);
        CHECK(has(ran.err, "The lines are those of "));
        CHECK_FALSE(has(ran.err, "passed over"));
        for (const std::string& seen : day.seen)
            CHECK(has(ran.err, seen));
    }
}

TEST_CASE("A replay and a generated season go to a temporary file unless one is named", "[cli]") {
    const Desk desk;
    const std::vector<std::string> environment{"TMPDIR=" + desk.folder().string(),
                                               "HOME=" + desk.path("home")};
    const Ran ran = desk.bare({"generate", "--releases", "1", "--seed", "1"}, environment);
    CHECK(ran.exit == 0);
    CHECK(has(ran.err, "Writing to " + desk.folder().string()));
    CHECK_FALSE(std::filesystem::exists(desk.path("home")));
}

TEST_CASE("Where the paper ran apart from the codes offered, lists and doubts say so", "[cli]") {
    const Desk desk;
    const auto folder = desk.folder() / "apart";
    std::filesystem::create_directories(folder);
    std::ofstream(folder / "session.jsonl")
        << R"({"session":"apart","seed":7,"start":"2026-09-05T07:30:00-05:00"})"
           "\n"
           R"({"at":"07:31:00","do":"sheet","first":"RKD 001","count":20})"
           "\n"
           R"({"at":"07:40:00","do":"note","code":"RKD 013","sex":"female","origin":"wild"})"
           "\n"
           R"({"at":"07:41:00","do":"compared","offered":"RKD 014","says":"RKD 016","butterflies":["RKD 013"]})"
           "\n";
    (void)desk.done({"replay", folder.string()});
    CHECK(has(desk.done({"journal", "list"}), "compared: RKD 016 on the paper, RKD 014 offered"));
    CHECK(has(desk.done({"doubts"}),
              "RKD 013 may carry another code: the paper ran apart from the codes offered"));
    CHECK(desk.done({"stock", "next"}) == "RKD 016\n");
}

TEST_CASE("A replay prints the words of each place", "[cli]") {
    const Desk desk;
    const std::string folder = writeSession(desk);
    std::ofstream(desk.path("morning/fixes.csv"))
        << "time,lat,lon,accuracy_m\n2026-09-05T12:40:58Z,43.5657,-90.8780,3\n";
    const std::string printed = desk.done({"replay", folder});
    CHECK(has(printed, " butterfly.released 1.3 km NE of Viroqua, Vernon County, Wisconsin\n"));
    const Ran json = desk.bare({"replay", folder, "--journal", desk.path("again.discal"), "--json"});
    bool isTold = false;
    for (const auto& line : Desk::objects(json.out))
        isTold = isTold || (line.at("kind").as_string() == "butterfly.released" && line.contains("words") &&
                            has(std::string(line.at("words").as_string()), "Vernon County"));
    CHECK(isTold);
}
