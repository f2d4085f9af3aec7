#pragma once

#include "core/result.h"

#include <compare>
#include <cstddef>
#include <functional>
#include <string>
#include <string_view>

namespace discal::tag {

/// How long a tag code may be. Our choice: wide enough for what fits on a 9 mm disc, narrow enough that every
/// code of a scheme has an ordinal below 2^63 (26^6 x 10^9 is 3.1 x 10^17).
inline constexpr std::size_t kMaxLetters = 6;
inline constexpr std::size_t kMinDigits = 1;
inline constexpr std::size_t kMaxDigits = 9;
inline constexpr std::size_t kMinGlyphs = 3; ///< letters and digits together

class Scheme;

/// What is printed on one tag, in canonical form: capital letters A-Z, one space, digits ("RKD 014"); no
/// space when there are no letters ("123456"). Always well formed within the limits above. Says nothing about
/// whose code it is: codes of other schemes are kept alike.
///
/// Ordered by text: letters first, then digits. Among codes of one scheme this is the order of printing.
/// Not to be confused with discal::Code, which names an error: inside namespace tag write discal::Code for
/// that.
class Code {
public:
    /// Takes canonical text only, as stored: no lower case, no other blanks. NotACode otherwise, with the
    /// legal form in `detail`. For what a person typed see Scheme::parse and parseAny.
    [[nodiscard]] static Result<Code> fromText(std::string_view canonical);

    /// "RKD 014"
    [[nodiscard]] const std::string& text() const noexcept { return m_text; }
    /// "RKD014": for file names, barcodes, and where codes are listed with spaces between them.
    [[nodiscard]] std::string compact() const;

    /// "RKD"; empty for a code of digits only. A view into this code.
    [[nodiscard]] std::string_view letters() const noexcept;
    /// "014". A view into this code.
    [[nodiscard]] std::string_view digits() const noexcept;

    friend auto operator<=>(const Code&, const Code&) = default;

private:
    friend class Scheme;
    Code(std::string_view letters, std::string_view digits);

    std::string m_text;
};

/// Reads any tag code, ours or not, taking its form from the text itself: letters, then digits. Case does not
/// matter; any blanks (space, tab, line end, no-break and thin spaces), hyphens, dashes and dots may stand
/// between letters and digits; blanks around, and dots after, are dropped. Nothing may stand inside a group,
/// lest a range
/// ("RKD 014-015"), a date or a misread letter ("RK0 014") pass for a code of another shape. No look-alike
/// is repaired, as nothing says which glyphs are legal where.
/// NotACode, with a legal form in `detail`, for all else.
[[nodiscard]] Result<Code> parseAny(std::string_view typed);

} // namespace discal::tag

template <>
struct std::hash<discal::tag::Code> {
    std::size_t operator()(const discal::tag::Code& code) const noexcept {
        return std::hash<std::string>{}(code.text());
    }
};
