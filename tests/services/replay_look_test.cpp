#include "catch_compat.hpp"
#include "desk.h"
#include "services/sample/replay.h"

#include <algorithm>
#include <fstream>

using namespace discal;
using namespace discal::tests;
using namespace discal::services::sample;
using services::Frame;
using services::Reading;
using services::Refusal;
using services::Verdict;
using services::Wanted;

namespace {

/// What a frame of this width shows to the reader below: files are as wide as they are long.
constexpr int kBlurred = 1;
constexpr int kTag = 2;
constexpr int kLabel = 3;
constexpr int kOtherLabel = 4;

/// Reads RKD 002 where it is among the codes wanted, and a sheet's label.
class SetReader final : public services::CodeReader {
public:
    explicit SetReader(std::vector<std::string>& heard) : m_heard(heard) {}

    void expect(Wanted wanted) override {
        m_wanted = std::move(wanted);
        m_heard.push_back(std::string(m_wanted.hasTags ? "tags" : "no tags") +
                          (m_wanted.hasBarcodes ? ", barcodes" : "") + ", " + std::to_string(m_wanted.codes.size()) + " codes, " +
                          std::to_string(m_wanted.schemes.size()) + " schemes");
    }
    Reading look(const Frame& frame) override {
        m_heard.push_back("frame " + std::to_string(frame.width));
        Reading out;
        out.why = Refusal::Blurred;
        out.confidence = 0.5;
        if (frame.width == kLabel && m_wanted.hasBarcodes)
            out.barcodes = {{services::Symbology::QrCode, "https://example.org"},
                            {services::Symbology::QrCode, "DISCAL SHEET 1 AAA000-IO RKD001 25 5"}};
        if (frame.width == kOtherLabel && m_wanted.hasBarcodes)
            out.barcodes = {{services::Symbology::QrCode, "https://example.org"}};
        if (frame.width == kTag && m_wanted.hasTags) {
            out.code = need(tag::Code::fromText("RKD 002"));
            out.text = out.code->text();
            out.confidence = 0.99;
            const bool isListed =
                std::find(m_wanted.codes.begin(), m_wanted.codes.end(), *out.code) != m_wanted.codes.end();
            out.verdict = isListed ? Verdict::Accepted : Verdict::Unlisted;
        }
        return out;
    }

private:
    Wanted m_wanted;
    std::vector<std::string>& m_heard;
};

/// A day with one sheet and two tags used, and then these acts.
class Day {
public:
    explicit Day(const std::string& acts) {
        std::ofstream(m_folder.path() / "session.jsonl", std::ios::binary)
            << R"({"session":"s","seed":1,"start":"2026-09-05T08:00:00-05:00"})"
            << "\n"
            << R"({"at":"08:01","do":"sheet","first":"RKD 001","count":25})"
            << "\n"
            << R"({"at":"08:02","do":"note","sex":"male","origin":"wild"})"
            << "\n"
            << R"({"at":"08:03","do":"note","sex":"male"})"
            << "\n"
            << acts;
        std::filesystem::create_directories(m_folder.path() / "frames");
        for (const int width : {kBlurred, kTag, kLabel, kOtherLabel})
            std::ofstream(m_folder.path() / "frames" / (std::to_string(width) + ".jpg"))
                << std::string(static_cast<std::size_t>(width), 'x');
        options.folder = m_folder.path();
        options.journal = m_folder.path() / "j.discal";
        options.eyes.makeReader = [this]() -> Result<std::unique_ptr<services::CodeReader>> {
            heard.push_back("made");
            return std::make_unique<SetReader>(heard);
        };
        options.eyes.load = [](const std::filesystem::path& file) -> Result<Frame> {
            const std::string bytes = readFile(file);
            if (bytes.empty())
                return fail(Code::NotFound, file.filename().string());
            return Frame{static_cast<int>(bytes.size()), 1, std::vector<std::uint8_t>(3 * bytes.size())};
        };
        options.onSight = [this](const Sight& sight) { sights.push_back(sight); };
        options.onFinished = [this](const std::string&, storage::Journal& j) { lines = need(journalAsNdjson(j)); };
    }
    ReplayOptions options;
    std::vector<std::string> heard; ///< by the reader
    std::vector<Sight> sights;
    std::string lines;

private:
    TemporaryFolder m_folder;
};

std::string look(const char* frames, const char* purpose, const char* expect) {
    return R"({"at":"08:05","do":"read","frames":[)" + std::string(frames) + R"(],"for":")" + purpose +
           R"(","expect":)" + expect + "}\n";
}

std::string stopped(const std::string& acts) {
    Day day(acts);
    const auto done = replay(day.options);
    REQUIRE_FALSE(done);
    CHECK(done.error().number == 5);
    return done.error().detail;
}

} // namespace

TEST_CASE("A look reads frames until one decides it, and writes no line", "[sample][replay]") {
    Day day(look(R"("1.jpg","2.jpg","3.jpg")", "recapture", R"({"verdict":"accepted","code":"RKD 002","lines":0})"));
    const auto report = need(replay(day.options));
    CHECK(report.passedOver == 0);
    CHECK(day.heard == std::vector<std::string>{"made", "tags, 25 codes, 1 schemes", "frame 1", "frame 2"});
    REQUIRE(day.sights.size() == 1);
    CHECK(day.sights[0].frame == "2.jpg");
    CHECK(day.sights[0].reading->confidence == 0.99);
    Day without("");
    need(replay(without.options));
    CHECK(without.heard.empty());
    CHECK((day.lines == without.lines));
}

TEST_CASE("A look for a new tag takes only what is free", "[sample][replay]") {
    Day day(look(R"("2.jpg")", "new", R"({"verdict":"unlisted","code":"RKD 002"})"));
    need(replay(day.options));
    CHECK(day.heard.at(1) == "tags, 23 codes, 1 schemes");
}

TEST_CASE("A look that is refused says why, and the reader is made once", "[sample][replay]") {
    Day day(look(R"("1.jpg")", "recapture", R"({"verdict":"refused","why":"blurred"})") +
            look(R"("2.jpg")", "recapture", R"({"verdict":"accepted"})"));
    need(replay(day.options));
    CHECK(std::count(day.heard.begin(), day.heard.end(), "made") == 1);
    REQUIRE(day.sights.size() == 2);
    CHECK(day.sights[0].verdict() == Verdict::Refused);
    CHECK(day.sights[1].verdict() == Verdict::Accepted);
}

TEST_CASE("A look for a label reads what the sheet says", "[sample][replay]") {
    Day day(look(R"("4.jpg","3.jpg")", "label", R"({"first":"RKD 001","count":25})") +
            look(R"("4.jpg")", "label", R"({"verdict":"refused"})"));
    need(replay(day.options));
    CHECK(day.heard.at(1) == "no tags, barcodes, 0 codes, 0 schemes");
    REQUIRE(day.sights.size() == 2);
    CHECK(day.sights[0].label->perRow == 5);
    CHECK_FALSE(day.sights[1].label);
}

TEST_CASE("A look that gives something else than expected stops the replay", "[sample][replay]") {
    CHECK(stopped(look(R"("1.jpg")", "recapture", R"({"verdict":"accepted"})")) ==
          "session.jsonl:5: verdict expected accepted, found refused, blurred");
    CHECK(stopped(look(R"("2.jpg")", "recapture", R"({"verdict":"refused"})")) ==
          "session.jsonl:5: verdict expected refused, found accepted");
    CHECK(stopped(look(R"("1.jpg")", "recapture", R"({"verdict":"refused","why":"glare"})")) ==
          "session.jsonl:5: why expected glare, found blurred");
    CHECK(stopped(look(R"("2.jpg")", "recapture", R"({"verdict":"accepted","code":"RKD 003"})")) ==
          "session.jsonl:5: code expected RKD 003, found RKD 002");
    CHECK(stopped(look(R"("3.jpg")", "label", R"({"first":"RKD 026"})")) ==
          "session.jsonl:5: first expected RKD 026, found RKD 001");
    CHECK(stopped(look(R"("3.jpg")", "label", R"({"first":"RKD 001","count":50})")) ==
          "session.jsonl:5: count expected 50, found 25");
    CHECK(stopped(look(R"("4.jpg")", "label", R"({"first":"RKD 001"})")) ==
          "session.jsonl:5: first expected RKD 001, found none");
    CHECK(stopped(look(R"("5.jpg")", "recapture", R"({"verdict":"refused"})")) ==
          "session.jsonl:5: frames/5.jpg: 5.jpg");
}

TEST_CASE("A look without a reader is passed over, and that is told", "[sample][replay]") {
    const std::string acts = look(R"("1.jpg")", "recapture", R"({"verdict":"accepted"})");
    const auto isPassedOver = [](Day& day) {
        const auto report = need(replay(day.options));
        CHECK(report.passedOver == 1);
        REQUIRE(day.sights.size() == 1);
        CHECK(day.sights[0].isPassedOver());
        CHECK(day.sights[0].frame == "1.jpg");
    };
    Day blind(acts);
    blind.options.eyes = {};
    isPassedOver(blind);
    Day illiterate(acts);
    illiterate.options.eyes.makeReader = []() -> Result<std::unique_ptr<services::CodeReader>> {
        return fail(Code::NotFound, "eng.traineddata");
    };
    isPassedOver(illiterate);
    Day broken(acts);
    broken.options.eyes.makeReader = []() -> Result<std::unique_ptr<services::CodeReader>> {
        return fail(Code::OutOfMemory);
    };
    const auto done = replay(broken.options);
    REQUIRE_FALSE(done);
    CHECK(done.error().code == Code::OutOfMemory);
}
