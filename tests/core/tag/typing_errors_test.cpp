#include "core/tag/run.h"

#include "catch_compat.hpp"

#include <array>
#include <cstdio>
#include <random>
#include <string>

using namespace discal::tag;

// Source of the mix: Verhoeff 1969, as quoted second-hand: of wrong numbers 60-95 % have one wrong digit,
// 10-20 % two neighbours swapped, 10-20 % one missing or extra. Ours: 70, 15 and 15 %. His were digits only;
// here a wrong letter is another letter, a wrong digit another digit, since people know that letters come
// first. An extra glyph is any.

namespace {

enum Kind : std::size_t { WrongGlyph, Swapped, Missing, Extra, KindCount };
constexpr std::array<const char*, KindCount> kNames{"one glyph wrong", "neighbours swapped", "one missing",
                                                    "one extra"};

struct Tally {
    int all = 0;
    int refused = 0;
    int asked = 0;
    int right = 0;         ///< read as the true code after all
    int passed = 0;        ///< read as another legal code
    int passedInStock = 0; ///< of these, on a sheet that the station holds
};

class Typist {
public:
    explicit Typist(std::uint32_t seed) : m_random(seed) {}

    std::size_t below(std::size_t n) { return m_random() % n; } // std distributions differ between libraries

    std::string mistype(std::string glyphs, Kind kind) {
        const std::size_t place = below(glyphs.size());
        switch (kind) {
        case WrongGlyph: {
            const bool digit = glyphs[place] <= '9';
            const char first = digit ? '0' : 'A';
            const std::size_t size = digit ? 10 : 26;
            const auto rank = static_cast<std::size_t>(glyphs[place] - first);
            glyphs[place] = static_cast<char>(first + static_cast<char>((rank + 1 + below(size - 1)) % size));
            break;
        }
        case Swapped: {
            std::size_t at = below(glyphs.size() - 1);
            // Ends: a code of three letters and three digits has two unlike neighbours somewhere.
            while (glyphs[at] == glyphs[at + 1])
                at = (at + 1) % (glyphs.size() - 1);
            std::swap(glyphs[at], glyphs[at + 1]);
            break;
        }
        case Missing:
            glyphs.erase(place, 1);
            break;
        default:
            glyphs.insert(below(glyphs.size() + 1), 1, "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789"[below(36)]);
        }
        return glyphs;
    }

private:
    std::mt19937 m_random;
};

Kind kindOf(std::size_t percent) {
    if (percent < 70)
        return WrongGlyph;
    if (percent < 85)
        return Swapped;
    return percent < 93 ? Missing : Extra;
}

} // namespace

TEST_CASE("A missing or extra glyph never passes silently, and stock catches most of what else does",
          "[tag]") {
    constexpr std::uint32_t kSeed = 1969;
    Typist typist(kSeed);
    const Scheme scheme = Scheme::learn("RKD 014").value();
    std::array<Tally, KindCount> tallies{};
    RunSet stock; // forty sheets of 25, here and there: a thousand codes, each mistyped once
    std::vector<Code> codes;
    while (codes.size() < 1000) {
        const Run sheet = makeRun(scheme, typist.below(scheme.capacity() / 25) * 25, 25).value();
        if (stock.contains(sheet.at(0)))
            continue;
        stock.add(sheet);
        for (std::uint32_t i = 0; i < sheet.count; ++i)
            codes.push_back(sheet.at(i));
    }

    for (std::size_t i = 0; i < codes.size(); ++i) {
        const Kind kind = kindOf(i % 100);
        const std::string typed = typist.mistype(codes[i].compact(), kind);
        INFO(codes[i].text() << " typed as " << typed);
        const auto got = scheme.parse(typed);
        Tally& tally = tallies[kind];
        ++tally.all;
        if (!got) {
            ++(got.error().code == discal::Code::AmbiguousCode ? tally.asked : tally.refused);
        } else if (*got == codes[i]) {
            ++tally.right;
        } else {
            ++tally.passed;
            tally.passedInStock += stock.contains(*got) ? 1 : 0;
        }
        if (kind == Missing || kind == Extra)
            CHECK_FALSE(got);
    }

    std::printf("Typing errors in 1,000 codes of AAA000, seed %u\n", static_cast<unsigned>(kSeed));
    std::printf("%-20s %5s %8s %6s %6s %14s %9s\n", "", "all", "refused", "asked", "right", "another code",
                "in stock");
    for (std::size_t kind = 0; kind < KindCount; ++kind) {
        const Tally& t = tallies[kind];
        std::printf("%-20s %5d %8d %6d %6d %14d %9d\n", kNames[kind], t.all, t.refused, t.asked, t.right,
                    t.passed, t.passedInStock);
    }

    CHECK(tallies[WrongGlyph].all == 700);
    CHECK(tallies[Missing].passed + tallies[Missing].right == 0);
    CHECK(tallies[Extra].passed + tallies[Extra].right == 0);
    // A code has no check character: a wrong glyph of the right class makes another legal code. No parser can
    // tell.
    CHECK(tallies[WrongGlyph].passed == 700);
    // A wrong letter leads to a sheet that nobody here holds.
    CHECK(tallies[WrongGlyph].passedInStock < 700 / 4);
}

TEST_CASE("Letter and digit swapped at the border never pass as another code", "[tag]") {
    const Scheme scheme = Scheme::learn("RKD 014").value();
    for (std::uint64_t o = 0; o < scheme.capacity(); o += 997) {
        const Code code = scheme.at(o);
        std::string typed = code.compact();
        std::swap(typed[2], typed[3]);
        INFO(typed);
        const auto got = scheme.parse(typed);
        REQUIRE_FALSE(got);
        CHECK(scheme.readings(typed).front() == code);
    }
}
