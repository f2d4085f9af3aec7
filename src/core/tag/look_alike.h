#pragma once

#include "core/tag/code.h"
#include "core/tag/scheme.h"

#include <cstdint>
#include <span>
#include <vector>

namespace discal::tag {

/// What we do with a letter typed for a digit, or a digit for a letter, when this pair would explain it.
enum class Likeness : std::uint8_t {
    Strong, ///< may be repaired where the scheme leaves one reading
    Weak,   ///< only ever offered as a reading
};

/// Two printed glyphs (capitals or digits) that are mistaken for each other.
struct LookAlike {
    char a;
    char b;
    Likeness likeness;
};

/// Every pair, once. Best first among the pairs of one glyph. Sources: see look_alike.cpp.
[[nodiscard]] std::span<const LookAlike> lookAlikePairs() noexcept;

/// Whether the two glyphs are a pair of the table, in either order. Case does not matter, as codes have
/// capitals only. A glyph does not look like itself; anything but A-Z and 0-9 looks like nothing.
[[nodiscard]] bool looksLike(char a, char b) noexcept;

/// All codes of the scheme that differ from this one in a single look-alike glyph, in order. Letters meet
/// letters and digits digits, since the scheme settles the rest. Empty if the scheme does not admit the code.
[[nodiscard]] std::vector<Code> lookAlikes(const Scheme& scheme, const Code& code);

} // namespace discal::tag
