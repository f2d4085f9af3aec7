#include "catch_compat.hpp"
#include "core/tag/decoder.h"
#include "core/tag/judgement.h"

#include <cmath>
#include <functional>
#include <map>
#include <random>

using namespace discal::tag;

namespace {

std::size_t indexOf(char glyph) { return glyph == '-' ? kBetweenGlyphs : kCodeGlyphs.find(glyph); }

/// A column in which these have these probabilities, and all others share what is left.
GlyphColumn column(const std::map<char, double>& shares) {
    double left = 1;
    for (const auto& [glyph, share] : shares)
        left -= share;
    GlyphColumn made;
    made.fill(static_cast<float>(std::log(std::max(1e-9, left / static_cast<double>(37 - shares.size())))));
    for (const auto& [glyph, share] : shares)
        made[indexOf(glyph)] = static_cast<float>(std::log(share));
    return made;
}

/// Columns that spell a text plainly, each glyph two columns wide.
GlyphColumns plain(const std::string& text, double share = 0.98) {
    GlyphColumns columns{column({{'-', share}})};
    for (const char glyph : text) {
        columns.push_back(column({{glyph, share}}));
        columns.push_back(column({{glyph, share}}));
        columns.push_back(column({{'-', share}}));
    }
    return columns;
}

/// The same with one glyph that might as well be another.
GlyphColumns doubtful(const std::string& text, std::size_t place, char other, double share) {
    auto columns = plain(text);
    for (const std::size_t i : {1 + 3 * place, 2 + 3 * place})
        columns[i] = column({{text[place], 0.98 - share}, {other, share}});
    return columns;
}

Code code(const std::string& text) { return *Code::fromText(text); }

std::vector<Code> run(const std::string& first, std::uint64_t count) {
    const auto scheme = Scheme::of(code(first));
    std::vector<Code> codes;
    for (std::uint64_t i = 0; i < count; ++i)
        codes.push_back(scheme.at(scheme.ordinal(code(first)) + i));
    return codes;
}

std::vector<SeenGlyph> seen(const std::string& text) {
    std::vector<SeenGlyph> glyphs;
    for (const char glyph : text)
        glyphs.push_back({{{glyph, 0.95F}}});
    return glyphs;
}

Decision decided(const Decoder& empty, GlyphColumns columns, const std::string& second = "") {
    Decoder decoder = empty;
    decoder.take({std::move(columns), seen(second), !second.empty()});
    return decoder.decide();
}

} // namespace

// Graves and others 2006 (doi:10.1145/1143844.1143891), equation 3: the probability of a labelling is the sum over all paths
// that become it when repeated labels and then blanks are taken out. Here all paths are listed one by one.
TEST_CASE("The probability of a spelling is the sum over all paths that spell it", "[tag]") {
    std::mt19937 numbers(7);
    std::uniform_real_distribution<double> share(0.05, 1);
    const std::string alphabet = "A1B-";
    for (int round = 0; round < 20; ++round) {
        GlyphColumns columns;
        for (int i = 0; i < 5; ++i) {
            std::map<char, double> shares;
            double sum = 0;
            for (const char glyph : alphabet)
                sum += shares[glyph] = share(numbers);
            for (auto& [glyph, value] : shares)
                value /= sum * 1.0001;
            columns.push_back(column(shares));
        }
        std::map<std::string, double> sums;
        const std::function<void(std::string, double)> walk = [&](const std::string& path, double probability) {
            if (path.size() == columns.size()) {
                std::string text;
                char before = '-';
                for (const char glyph : path) {
                    if (glyph != before && glyph != '-')
                        text += glyph;
                    before = glyph;
                }
                sums[text] += probability;
                return;
            }
            for (const char glyph : alphabet)
                walk(path + glyph, probability * std::exp(static_cast<double>(columns[path.size()][indexOf(glyph)])));
        };
        walk("", 1);
        for (const std::string text : {"A", "A1", "AA", "AB1", "11", "A1A", "BBB"}) {
            CAPTURE(round, text);
            // Floats hold seven digits, logarithms of them six.
            CHECK(std::exp(spellingProbability(columns, text)) == Approx(sums[text]).epsilon(1e-4).margin(1e-9));
        }
    }
}

TEST_CASE("A text with more glyphs than columns, or with none, can't be spelt", "[tag]") {
    const auto columns = plain("A1");
    CHECK(std::isinf(spellingProbability(columns, "")));
    CHECK(std::isinf(spellingProbability({}, "A1")));
    CHECK(std::isinf(spellingProbability(columns, "A1234567")));
    CHECK(std::isinf(spellingProbability(columns, "a1")));
}

TEST_CASE("A code that is plainly printed and listed is certain", "[tag]") {
    const Decoder decoder(run("RKD 001", 100), {});
    const auto decision = decided(decoder, plain("RKD014"), "RKD014");
    CHECK(decision.best == "RKD014");
    CHECK(decision.isListed);
    CHECK(decision.isAgreed);
    const auto judged = judge(decision);
    CHECK(judged.isCertain);
    CHECK(judged.confidence > 0.95);
}

TEST_CASE("Somebody else's tag is not taken for the nearest of ours", "[tag]") {
    const Decoder decoder(run("RKD 001", 100), {});
    const auto decision = decided(decoder, plain("RKB014"), "RKB014");
    CHECK(decision.best == "RKB014");
    CHECK_FALSE(decision.isListed);
    CHECK(judge(decision).isCertain);
}

TEST_CASE("Where two codes of ours are nearly as likely, neither is certain", "[tag]") {
    const Decoder decoder(run("RKD 001", 100), {});
    for (const double share : {0.3, 0.45}) {
        const auto decision = decided(decoder, doubtful("RKD018", 5, '3', share), "");
        CHECK_FALSE(judge(decision).isCertain);
    }
    CHECK(judge(decided(decoder, doubtful("RKD018", 5, '3', 0.001), "RKD018")).isCertain);
}

TEST_CASE("A doubtful glyph is settled neither by the list nor by chance where an unlisted code fits as well", "[tag]") {
    // RKD 018 is ours; RKO 018 would be somebody else's.
    const Decoder decoder(run("RKD 001", 100), {});
    CHECK_FALSE(judge(decided(decoder, doubtful("RKD018", 2, 'O', 0.45), "")).isCertain);
}

TEST_CASE("The two readers must not contradict each other", "[tag]") {
    const Decoder decoder(run("RKD 001", 100), {});
    const auto alone = judge(decided(decoder, doubtful("RKD018", 5, '3', 0.02), ""));
    const auto against = judge(decided(decoder, doubtful("RKD018", 5, '3', 0.02), "RKD013"));
    const auto agreed = judge(decided(decoder, doubtful("RKD018", 5, '3', 0.02), "RKD018"));
    CHECK(against.confidence < alone.confidence);
    CHECK(alone.confidence <= agreed.confidence);
    CHECK_FALSE(against.isCertain);
    CHECK(agreed.isCertain);
}

TEST_CASE("A letter's place takes ink like a digit as its letter", "[tag]") {
    const Decoder decoder(run("ROI 001", 120), {});
    CHECK(decided(decoder, plain("R01O1O"), "R01O1O").best == "ROI010");
}

TEST_CASE("Frames that agree outweigh one that was cut badly", "[tag]") {
    Decoder decoder(run("RKD 001", 100), {});
    decoder.take({doubtful("RKD018", 5, '3', 0.35), {}, false});
    CHECK_FALSE(judge(decoder.decide()).isCertain);
    for (int i = 0; i < 4; ++i)
        decoder.take({plain("RKD018", 0.9), {}, false});
    decoder.take({plain("MMWW9"), {}, false});
    const auto decision = decoder.decide();
    CHECK(decision.best == "RKD018");
    CHECK(decision.frames >= 4);
    CHECK(judge(decision).isCertain);
    decoder.forget();
    CHECK(decoder.decide().best.empty());
}

TEST_CASE("Frames that contradict each other are no reading", "[tag]") {
    Decoder decoder(run("RKD 001", 100), {});
    for (int i = 0; i < 3; ++i) {
        decoder.take({plain("RKD018"), {}, false});
        decoder.take({plain("RKD045"), {}, false});
    }
    CHECK_FALSE(judge(decoder.decide()).isCertain);
}

TEST_CASE("Where ink may be lost, what has less of it is not taken for one code of ours when another has more", "[tag]") {
    const auto frame = [](bool isLost) {
        Evidence evidence{plain("RKD014", 0.9), seen("RKD014"), true};
        evidence.lost.assign(evidence.columns.size(), 0.0F);
        if (isLost) // beside the 1, which may be what is left of a 4
            evidence.lost[13] = evidence.lost[14] = 0.8F;
        return evidence;
    };
    const auto judged = [&](const std::vector<Code>& codes, const std::vector<bool>& frames) {
        Decoder decoder(codes, {});
        for (const bool isLost : frames)
            decoder.take(frame(isLost));
        const auto decision = decoder.decide();
        CHECK(decision.best == "RKD014");
        return judge(decision);
    };
    const std::vector<Code> rivals{code("RKD 014"), code("RKD 044")};
    CHECK(judged(rivals, {false}).isCertain);
    CHECK_FALSE(judged(rivals, {true}).isCertain);
    CHECK(judged(rivals, {true}).isLost);
    CHECK(judged(rivals, {true, false}).isCertain); // seen whole once
    CHECK(judged({code("RKD 014"), code("RKD 034")}, {true}).isCertain); // a 3 leaves no 1
    CHECK_FALSE(judged({code("RKD 015")}, {true}).isCertain); // somebody else's, and perhaps not that one
}

TEST_CASE("A number that is the same on its head has no rival in itself", "[tag]") {
    Decoder decoder(run("601", 300), {});
    Evidence evidence{plain("619"), seen("619"), true};
    evidence.upsideDown = plain("619");
    decoder.take(evidence);
    CHECK(judge(decoder.decide()).isCertain);
    decoder.forget();
    evidence.upsideDown = plain("616"); // 919
    decoder.take(evidence);
    CHECK_FALSE(judge(decoder.decide()).isCertain);
}

TEST_CASE("Only letters that a scheme has can be read at its letters' places", "[tag]") {
    const auto scheme = Scheme::fromPattern("AAA000-O");
    REQUIRE(scheme);
    const Decoder decoder({}, {*scheme});
    for (const auto& spelling : decoder.spellings(doubtful("RKD018", 2, 'O', 0.45), 20))
        CHECK(spelling.text.find('O') == std::string::npos);
}

TEST_CASE("Without codes or schemes any shape of code is spelt, and nothing else", "[tag]") {
    const Decoder decoder({}, {});
    CHECK(decoder.spellings(plain("RKD018"), 1).front().text == "RKD018");
    CHECK(decoder.spellings(plain("123456"), 1).front().text == "123456");
    CHECK(decoder.spellings({}, 5).empty());
    for (const auto& spelling : decoder.spellings(plain("018RKD"), 20))
        CHECK(Decoder::codeOf(spelling.text));
    const auto decision = decided(decoder, plain("RKD018"), "RKD018");
    CHECK_FALSE(decision.isListed);
}

TEST_CASE("Only the latest frames are kept", "[tag]") {
    Decoder decoder(run("RKD 001", 100), {});
    for (std::size_t i = 0; i < 3 * Decoder::kMostFrames; ++i)
        decoder.take({plain("RKD018"), {}, false});
    for (std::size_t i = 0; i < Decoder::kMostFrames; ++i)
        decoder.take({plain("RKD045"), {}, false});
    const auto decision = decoder.decide();
    CHECK(decision.best == "RKD045");
    CHECK(judge(decision).isCertain);
}
