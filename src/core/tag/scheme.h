#pragma once

#include "core/result.h"
#include "core/tag/code.h"

#include <compare>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace discal::tag {

/// A code read from typed text.
struct Parsed {
    Code code;
    bool repaired = false; ///< a look-alike glyph was replaced: show the code before relying on it

    friend bool operator==(const Parsed&, const Parsed&) = default;
};

/// How the codes of one maker are built and counted on: 0 to 6 letters, then 1 to 9 digits, 3 glyphs or more
/// in all (see code.h). Some letters may never occur, commonly I and O; that changes both counting and what a
/// look-alike can stand for. A value; comparable; ordered only so that it can be a key.
class Scheme {
public:
    /// From one example, in any form that parseAny accepts: "RKD 014" gives three letters, three digits,
    /// every letter A-Z possible. NotACode with a legal form in `detail`.
    [[nodiscard]] static Result<Scheme> learn(std::string_view example);

    /// The scheme of the same shape as this code, with every letter A-Z possible.
    [[nodiscard]] static Scheme of(const Code& code);

    /// From the stored form: "AAA000", or "AAA000-IO" where I and O never occur. Excluded letters are
    /// capitals, in any order. BadInput, with an example in `detail`, for anything else.
    [[nodiscard]] static Result<Scheme> fromPattern(std::string_view pattern);

    /// The form to store; excluded letters in alphabetical order. fromPattern(pattern()) gives this scheme.
    [[nodiscard]] std::string pattern() const;

    /// For a message that asks for a code: the shape and an example, "AAA 000 (RKD 014)". The example is
    /// legal.
    [[nodiscard]] std::string legalForm() const;

    /// This scheme, where these letters too never occur. Case does not matter; repeats do no harm. A scheme
    /// without letters stays as it is. BadInput if a character is no letter A-Z, or no letter would be left.
    [[nodiscard]] Result<Scheme> withoutLetters(std::string_view letters) const;
    /// The same shape with every letter A-Z possible.
    [[nodiscard]] Scheme withAllLetters() const noexcept;

    [[nodiscard]] std::size_t letterCount() const noexcept { return m_letters; }
    [[nodiscard]] std::size_t digitCount() const noexcept { return m_digits; }
    /// Whether this capital letter can occur at a letter place. False for anything but A-Z.
    [[nodiscard]] bool allowsLetter(char letter) const noexcept;
    /// Capitals in alphabetical order; empty by default.
    [[nodiscard]] std::string excludedLetters() const;
    [[nodiscard]] bool hasShapeOf(const Scheme& other) const noexcept;
    /// Whether the code is one of this scheme's.
    [[nodiscard]] bool admits(const Code& code) const noexcept;

    /// How many codes there are: 17,576,000 for "AAA000". At least 10, below 2^63.
    [[nodiscard]] std::uint64_t capacity() const noexcept;
    /// The code's place in the order of counting, from 0 ("AAA 000"). For a code that this scheme does not
    /// admit: capacity(), which is no code's ordinal.
    [[nodiscard]] std::uint64_t ordinal(const Code& code) const noexcept;
    /// The code at this place. The ordinal must be below capacity(); in a release build a greater one gives
    /// the last code.
    [[nodiscard]] Code at(std::uint64_t ordinal) const;
    /// Counts on: digits first, then letters from the right, skipping excluded ones. After 999 comes 000 (our
    /// choice: every printable number is counted, so that no tag in hand falls outside a run; a maker who
    /// starts at 001 has sheets that start at 001). Absent after the last code ("ZZZ 999") and for a code
    /// that this scheme does not admit. Counting on by 0 gives the code itself.
    [[nodiscard]] std::optional<Code> next(const Code& code, std::uint64_t count = 1) const;

    /// Reads what a person typed as a code of this scheme. Case does not matter; blanks (see parseAny) are
    /// ignored everywhere, hyphens, dashes and dots between letters and digits; blanks around, and dots
    /// after, are dropped.
    ///
    /// - A letter at a digit place, or a digit at a letter place, is repaired if the table of look-alikes
    ///   (look_alike.h) leaves one reading that the scheme allows: "RKD O14" is RKD 014, "2KD 014" is ZKD
    ///   014.
    /// - AmbiguousCode, with the readings in `detail` (compact form, space separated, best first; at most
    /// 16), if
    ///   several fit ("RK0 014" may be RKO, RKQ, RKD), and also where one reading fits but we had to assume:
    ///   a weak likeness (D for 0); an excluded letter; letter and digit swapped at the border ("RK0D14"); a
    ///   whole group repaired, which may be somebody else's code ("586 014"); leading zeros not written
    ///   ("RKD 14": people write so on paper, but it may as well be a digit left out).
    /// - NotACode, with legalForm() in `detail`, for all else; above all, any other number of glyphs.
    [[nodiscard]] Result<Code> parse(std::string_view typed) const;
    /// As parse, and says whether a glyph was repaired.
    [[nodiscard]] Result<Parsed> parseTyped(std::string_view typed) const;
    /// What the text may mean, best first: one code if parse succeeds, those of `detail` if it would ask,
    /// else none.
    [[nodiscard]] std::vector<Code> readings(std::string_view typed) const;

    friend auto operator<=>(const Scheme&, const Scheme&) = default;

private:
    Scheme(std::size_t letters, std::size_t digits, std::uint32_t excluded) noexcept;

    std::uint8_t m_letters;
    std::uint8_t m_digits;
    std::uint32_t m_excluded; ///< bit 0 is A; 0 when there are no letters
};

} // namespace discal::tag
