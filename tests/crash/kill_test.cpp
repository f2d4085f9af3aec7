#include "catch_compat.hpp"
#include "cli/program.h"
#include "storage/journal_file.h"

#include <chrono>
#include <fstream>
#include <random>
#include <set>
#include <thread>

// The process is killed at any moment. Whatever it had printed was saved: each printed line is in the
// journal.

using namespace discal;
using namespace discal::tests;
using storage::JournalFile;

namespace {

/// Whole lines of what was printed; the last one may be cut.
std::vector<std::string> printedLines(const std::string& text) {
    std::vector<std::string> out;
    for (std::size_t at = 0; text.find('\n', at) != std::string::npos;) {
        const auto end = text.find('\n', at);
        out.push_back(text.substr(at, end - at));
        at = end + 1;
    }
    return out;
}

struct Kept {
    std::set<std::string> ids;
    std::int64_t lines{0};
};

/// Checks that the chains are whole and have no gap; returns the ids of all lines.
Kept check(const std::string& path) {
    Kept kept;
    if (!std::filesystem::exists(path))
        return kept;
    const auto file = JournalFile::open(storage::Place(path), JournalFile::Access::Read);
    if (!file && file.error().code == Code::NotFound)
        return kept; // killed before the first table was made
    REQUIRE(file.has_value());
    const auto report = (*file)->verify();
    REQUIRE(report.has_value());
    CHECK(report->isSound());
    const auto chains = (*file)->chains();
    REQUIRE(chains.has_value());
    for (const auto& chain : *chains) {
        std::int64_t expected = 0;
        const auto visited = (*file)->visit(
            chain.device, 1, [&](std::int64_t seq, std::string_view bytes, const journal::Hash&) {
                CHECK(seq == ++expected);
                const auto line = journal::parseLine(bytes);
                CHECK(line.has_value());
                if (line)
                    kept.ids.insert(line->id.text());
                ++kept.lines;
                return true;
            });
        REQUIRE(visited.has_value());
        CHECK(expected == chain.head.seq);
    }
    return kept;
}

/// How long the program takes until it begins: with sanitizers and all its libraries a second, without them a tenth.
std::chrono::microseconds startTime(const Desk& desk) {
    auto least = std::chrono::microseconds::max();
    for (int i = 0; i < 3; ++i) {
        const auto began = std::chrono::steady_clock::now();
        Program program(desk.folder(), {"--version"});
        static_cast<void>(program.wait());
        least = std::min(least, std::chrono::duration_cast<std::chrono::microseconds>(std::chrono::steady_clock::now() - began));
    }
    return least;
}

/// Some time from when the program is about to begin until it has written for a while.
std::chrono::microseconds someTime(std::mt19937& random, std::chrono::microseconds start) {
    return start * 9 / 10 + std::chrono::microseconds(std::uniform_int_distribution<int>(0, 600'000)(random));
}

std::int64_t killOnce(const std::vector<std::string>& words, std::chrono::microseconds after,
                      const std::vector<std::string>& journals, const Desk& desk) {
    Program program(desk.folder(), words);
    std::this_thread::sleep_for(after);
    program.kill();
    const Ran ran = program.wait();
    INFO("killed after " << after.count() << " us, exit " << ran.exit << " " << ran.err);
    CHECK((ran.exit == 128 + SIGKILL || ran.exit == 0));
    Kept kept;
    for (const auto& journal : journals) {
        const Kept one = check(journal);
        kept.ids.insert(one.ids.begin(), one.ids.end());
        kept.lines += one.lines;
    }
    const auto printed = printedLines(ran.out);
    for (const std::string& line : printed) {
        const auto id = line.find(' ') + 1;
        INFO("printed: " << line);
        CHECK(kept.ids.contains(line.substr(id, 36)));
    }
    // A commit that returned unseen may leave lines that were not printed, never the other way round.
    CHECK(static_cast<std::int64_t>(printed.size()) <= kept.lines);
    // Whoever comes next can go on in it: nothing has to be repaired first. A sample's key is not kept for
    // others.
    if (kept.lines > 0) {
        const Ran next = desk.bare({"station", "person", "KLM", "--journal", journals.front()});
        INFO(next.err);
        CHECK(next.exit == 0);
    }
    return static_cast<std::int64_t>(printed.size());
}

void killGenerate(int rounds, std::uint32_t seed) {
    std::mt19937 random(seed);
    INFO("seed " << seed);
    std::int64_t printed = 0;
    const auto start = startTime(Desk());
    for (int round = 0; round < rounds; ++round) {
        const Desk desk;
        const auto after = someTime(random, start);
        printed += killOnce({"generate", "--releases", "100000", "--seed", std::to_string(round), "--journal",
                             desk.journal()},
                            after, {desk.journal()}, desk);
    }
    // Else the test has only killed programs that had not begun.
    CHECK(printed > rounds);
}

/// A day that is long enough to be killed in: many butterflies on two phones, with parcels between them.
std::string longDay(const Desk& desk) {
    const auto folder = desk.folder() / "long-day";
    std::filesystem::create_directories(folder);
    std::ofstream out(folder / "session.jsonl");
    out << R"({"session":"long-day","seed":3,"start":"2026-09-05T07:00:00-05:00","phones":["A","B"]})"
           "\n"
           R"({"at":"07:00:10","do":"sheet","first":"RKD 001","count":900})"
           "\n"
           R"({"at":"07:00:20","do":"hand","first":"RKD 501","count":400,"to":"B"})"
           "\n"
           R"({"at":"07:00:30","do":"parcel","to":"B"})"
           "\n";
    for (int i = 0; i < 400; ++i) {
        const std::string minute = std::to_string(i % 60);
        const std::string at = (8 + i / 60 < 10 ? "0" : "") + std::to_string(8 + i / 60) + ":" +
                               (minute.size() < 2 ? "0" : "") + minute;
        const std::string phone = i % 3 == 0 ? R"(,"phone":"B")" : "";
        out << R"({"at":")" << at << R"(:01","do":"note","sex":"male","origin":"wild")" << phone << "}\n"
            << R"({"at":")" << at << R"(:02","do":"release")" << phone << "}\n";
        if (i % 50 == 49)
            out << R"({"at":")" << at << R"(:03","do":"parcel","to":"A","phone":"B"})"
                << "\n";
    }
    return folder.string();
}

void killReplay(int rounds, std::uint32_t seed) {
    std::mt19937 random(seed);
    INFO("seed " << seed);
    std::int64_t printed = 0;
    const Desk script;
    const std::string folder = longDay(script);
    const auto start = startTime(script);
    for (int round = 0; round < rounds; ++round) {
        const Desk desk;
        const auto after = someTime(random, start);
        printed += killOnce({"replay", folder, "--journal", desk.journal()}, after,
                            {desk.journal(), desk.path("meadow-B.discal")}, desk);
    }
    CHECK(printed > rounds);
}

} // namespace

TEST_CASE("Every line that generate printed before it was killed is in the journal", "[crash]") {
    killGenerate(50, 20261);
}

TEST_CASE("Every line that replay printed before it was killed is in a journal", "[crash]") {
    killReplay(50, 20262);
}

TEST_CASE("Every line that generate printed before it was killed is in the journal, a thousand times",
          "[.long][crash]") {
    killGenerate(1000, std::random_device()());
}

TEST_CASE("Every line that replay printed before it was killed is in a journal, a thousand times",
          "[.long][crash]") {
    killReplay(1000, std::random_device()());
}
