#include "core/tag/look_alike.h"

#include <algorithm>
#include <array>
#include <string>

namespace discal::tag {

namespace {

/// Sources.
/// Letter and digit: common practice (O 0, I 1, L 1, Z 2 are also what ISMP, "Misidentification of
/// Alphanumeric Symbols", ISMP Medication Safety Alert 2009;14, warns of; S 5, B 8, G 6 and Q 0 are commonly
/// listed with them). Tags are printed in capitals, so only the capitals' shapes count: not g for 9 nor b
/// for 6. D 0 is Weak: D has a corner where 0 has none, and D is as likely a slip for something else. Letter
/// and letter, digit and digit: Q O, J I, G C, 3 8, 0 6 from our own trial of reading drawn tags; the others
/// are our choice, pairs that differ by one stroke. All Weak: within a class the scheme can't tell which is
/// meant.
constexpr std::array kPairs{
    LookAlike{'O', '0', Likeness::Strong}, LookAlike{'Q', '0', Likeness::Strong},
    LookAlike{'D', '0', Likeness::Weak},   LookAlike{'I', '1', Likeness::Strong},
    LookAlike{'L', '1', Likeness::Strong}, LookAlike{'Z', '2', Likeness::Strong},
    LookAlike{'S', '5', Likeness::Strong}, LookAlike{'B', '8', Likeness::Strong},
    LookAlike{'G', '6', Likeness::Strong},

    LookAlike{'Q', 'O', Likeness::Weak},   LookAlike{'D', 'O', Likeness::Weak},
    LookAlike{'J', 'I', Likeness::Weak},   LookAlike{'L', 'I', Likeness::Weak},
    LookAlike{'T', 'I', Likeness::Weak},   LookAlike{'G', 'C', Likeness::Weak},
    LookAlike{'O', 'C', Likeness::Weak},   LookAlike{'Q', 'D', Likeness::Weak},
    LookAlike{'F', 'E', Likeness::Weak},   LookAlike{'R', 'B', Likeness::Weak},
    LookAlike{'R', 'P', Likeness::Weak},   LookAlike{'R', 'K', Likeness::Weak},
    LookAlike{'V', 'U', Likeness::Weak},   LookAlike{'Y', 'V', Likeness::Weak},
    LookAlike{'N', 'M', Likeness::Weak},

    LookAlike{'8', '3', Likeness::Weak},   LookAlike{'6', '0', Likeness::Weak},
    LookAlike{'8', '0', Likeness::Weak},   LookAlike{'7', '1', Likeness::Weak},
    LookAlike{'8', '6', Likeness::Weak},   LookAlike{'6', '5', Likeness::Weak},
    LookAlike{'9', '8', Likeness::Weak},
};

char capitalOf(char c) {
    return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
}

bool isDigit(char c) {
    return c >= '0' && c <= '9';
}

} // namespace

std::span<const LookAlike> lookAlikePairs() noexcept {
    return kPairs;
}

bool looksLike(char a, char b) noexcept {
    a = capitalOf(a);
    b = capitalOf(b);
    return std::any_of(kPairs.begin(), kPairs.end(), [a, b](const LookAlike& pair) {
        return (pair.a == a && pair.b == b) || (pair.a == b && pair.b == a);
    });
}

std::vector<Code> lookAlikes(const Scheme& scheme, const Code& code) {
    std::vector<Code> out;
    if (!scheme.admits(code))
        return out;
    for (std::size_t place = 0; place < code.text().size(); ++place) {
        const char glyph = code.text()[place];
        for (const LookAlike& pair : kPairs) {
            if (pair.a != glyph && pair.b != glyph)
                continue;
            const char other = pair.a == glyph ? pair.b : pair.a;
            if (isDigit(glyph) != isDigit(other))
                continue;
            std::string text = code.text();
            text[place] = other;
            if (const auto neighbour = Code::fromText(text); neighbour && scheme.admits(*neighbour))
                out.push_back(*neighbour);
        }
    }
    std::sort(out.begin(), out.end());
    return out;
}

} // namespace discal::tag
