#include "core/tag/glyphs.h"

#include "core/tag/code.h"

#include <array>

namespace discal::tag {

namespace {

constexpr std::size_t kMaxBytes = 64;

enum class Separator : std::uint8_t { Blank, Dash, Dot };

struct Spelling {
    std::string_view bytes;
    Separator kind;
};

/// What phone keyboards, spreadsheets and word processors put where a person meant a space or a hyphen.
constexpr std::array kSpellings{
    Spelling{" ", Separator::Blank},
    Spelling{"\t", Separator::Blank},
    Spelling{"\n", Separator::Blank},
    Spelling{"\r", Separator::Blank},
    Spelling{"-", Separator::Dash},
    Spelling{".", Separator::Dot},
    Spelling{"\xC2\xA0", Separator::Blank},     // U+00A0 no-break space
    Spelling{"\xE2\x80\x87", Separator::Blank}, // U+2007 figure space
    Spelling{"\xE2\x80\x89", Separator::Blank}, // U+2009 thin space
    Spelling{"\xE2\x80\xAF", Separator::Blank}, // U+202F narrow no-break space
    Spelling{"\xE2\x80\x90", Separator::Dash},  // U+2010 hyphen
    Spelling{"\xE2\x80\x91", Separator::Dash},  // U+2011 non-breaking hyphen
    Spelling{"\xE2\x80\x92", Separator::Dash},  // U+2012 figure dash
    Spelling{"\xE2\x80\x93", Separator::Dash},  // U+2013 en dash
    Spelling{"\xE2\x80\x94", Separator::Dash},  // U+2014 em dash
    Spelling{"\xE2\x88\x92", Separator::Dash},  // U+2212 minus
};

const Spelling* separatorAt(std::string_view rest) {
    for (const Spelling& s : kSpellings) {
        if (rest.starts_with(s.bytes))
            return &s;
    }
    return nullptr;
}

char capitalOf(char c) {
    return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
}

bool isGlyph(char c) {
    return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
}

} // namespace

std::optional<Glyphs> scanGlyphs(std::string_view typed) {
    if (typed.size() > kMaxBytes)
        return std::nullopt;
    Glyphs out;
    bool blank = false;
    bool dash = false;
    bool dot = false;
    while (!typed.empty()) {
        if (const char c = capitalOf(typed.front()); isGlyph(c)) {
            if (out.text.empty() ? (dash || dot) : out.text.size() == kMaxLetters + kMaxDigits)
                return std::nullopt;
            const std::uint32_t here = out.text.empty() ? 0U : std::uint32_t{1} << out.text.size();
            if (blank)
                out.blanks |= here;
            if (dash || dot)
                out.dashes |= here;
            blank = dash = dot = false;
            out.text += c;
            typed.remove_prefix(1);
            continue;
        }
        const Spelling* separator = separatorAt(typed);
        if (separator == nullptr)
            return std::nullopt;
        blank = blank || separator->kind == Separator::Blank;
        dash = dash || separator->kind == Separator::Dash;
        dot = dot || separator->kind == Separator::Dot;
        typed.remove_prefix(separator->bytes.size());
    }
    // A trailing dot is what keyboards make of two spaces; a trailing hyphen is the start of something cut
    // off.
    if (out.text.empty() || dash)
        return std::nullopt;
    return out;
}

} // namespace discal::tag
