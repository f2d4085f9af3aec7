#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace discal::tag {

/// Typed text taken apart: capitals and digits, and where something stood between them. Used only to
/// parse codes and runs.
struct Glyphs {
    std::string text;         ///< A-Z and 0-9 only, never more than a code can have
    std::uint32_t blanks = 0; ///< bit i: a blank stood before glyph i (never for the first)
    std::uint32_t dashes = 0; ///< bit i: a hyphen, dash or dot stood before glyph i (never for the first)

    /// Whether hyphens, dashes and dots (or blanks) stood nowhere but before glyph `border`.
    [[nodiscard]] bool dashesOnlyAt(std::size_t border) const noexcept {
        return (dashes & ~(std::uint32_t{1} << border)) == 0;
    }
    [[nodiscard]] bool blanksOnlyAt(std::size_t border) const noexcept {
        return (blanks & ~(std::uint32_t{1} << border)) == 0;
    }
};

/// Absent if the text holds anything but letters A-Z of either case, digits, blanks, hyphens, dashes and
/// dots; if a hyphen or dash leads or trails, or a dot leads; if it has no glyph or more than a code can
/// have; or if it is longer than 64 bytes (our choice: no code with its blanks needs more). Takes any bytes.
[[nodiscard]] std::optional<Glyphs> scanGlyphs(std::string_view typed);

} // namespace discal::tag
