#include "catch_compat.hpp"
#include "desk.h"
#include "services/sample/generate.h"
#include "services/sample/replay.h"

#include <cmath>
#include <map>

using namespace discal;
using namespace discal::tests;
using namespace discal::services::sample;

namespace {

struct Generated {
    GenerateReport report;
    std::string lines;
};

Generated generated(std::int64_t releases, std::uint64_t seed,
                    const std::function<void(storage::Journal&)>& look = {}) {
    TemporaryFolder folder;
    std::int64_t saved = 0;
    Generated out;
    out.report = need(
        generate({releases, seed, folder.path() / "s.discal", [&](const services::SavedLine&) { ++saved; }}));
    CHECK(saved == out.report.lines);
    const auto journal = need(storage::Journal::openForReading(storage::Place(folder.path() / "s.discal")));
    out.lines = need(journalAsNdjson(*journal));
    if (look)
        look(*journal);
    return out;
}

} // namespace

TEST_CASE("A generated season has as many releases as were asked for, and the same bytes each time",
          "[sample][generate]") {
    const auto one = generated(150, 7);
    CHECK(one.report.released == 150);
    CHECK((one.lines == generated(150, 7).lines));
    CHECK((one.lines != generated(150, 8).lines));
    CHECK(generated(0, 7).report.released == 0);
    CHECK(generated(1, 7).report.released == 1);
}

TEST_CASE("A generated season looks like one", "[sample][generate]") {
    generated(1'000, 7, [](storage::Journal& j) {
        std::map<std::string, int> fates;
        std::map<std::string, int> months;
        int wild = 0;
        int female = 0;
        int sexed = 0;
        int noted = 0;
        int positions = 0;
        const auto sessions = need(j.projections().records(journal::RecordType::Session));
        for (const auto& session : sessions) {
            const auto there = need(j.projections().butterfliesOfSession(session.key));
            CHECK(there.size() <= 60);
            for (const auto& b : there) {
                ++fates[std::string(textOf(b.fate))];
                if (b.noteLine.empty())
                    continue;
                ++noted;
                ++months[b.notedAt.substr(0, 7)];
                if (b.origin != "wild")
                    continue;
                ++wild;
                sexed += b.sex == "unknown" ? 0 : 1;
                female += b.sex == "female" ? 1 : 0;
                positions += b.taken.contains("position") ? 1 : 0;
            }
        }
        CHECK(fates["released"] == 1'000);
        CHECK(fates["noted"] == 0);
        CHECK(fates["held"] == 0);
        CHECK(fates["escaped"] > 0);
        CHECK(months.begin()->first == "2026-08");
        CHECK(months.rbegin()->first <= "2026-10");
        // Four standard errors of a share in about 1000, and in about 750.
        CHECK(std::abs(wild - 0.75 * noted) < 4 * std::sqrt(0.75 * 0.25 * noted));
        CHECK(std::abs(female - 0.28 * sexed) < 4 * std::sqrt(0.28 * 0.72 * sexed) + 0.02 * sexed);
        CHECK(positions > wild * 8 / 10);
        int doubts = 0;
        for (const auto& d : need(j.projections().doubts()))
            doubts += d.settled ? 0 : 1;
        CHECK(doubts == 0);
        CHECK(need(j.file().verify()).isSound());
    });
}

TEST_CASE("A generated season overwrites nothing and has limits", "[sample][generate]") {
    TemporaryFolder folder;
    const auto path = folder.path() / "s.discal";
    CHECK(generate({-1, 1, path, {}}).error().code == Code::OutOfRange);
    CHECK(generate({5'000'001, 1, path, {}}).error().code == Code::OutOfRange);
    need(generate({3, 1, path, {}}));
    const auto again = generate({3, 1, path, {}});
    REQUIRE_FALSE(again);
    CHECK(again.error().code == Code::Exists);
}
