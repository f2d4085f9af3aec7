#pragma once

#include "core/result.h"
#include "core/tag/run.h"

#include <cstdint>
#include <string>
#include <string_view>

namespace discal::tag {

/// What a sheet's label says was printed: nothing about who holds it.
struct SheetLabel {
    Scheme scheme;
    Code first;           ///< one of the scheme's
    std::uint32_t count;  ///< 1 to kMaxRunLength; 0 where the label names a single code, so that nobody knows
    int perRow{0};        ///< tags in a printed row, at most kMostPerRow; 0 not said

    /// The codes. OutOfRange "count" while their number isn't known, and as makeRun.
    [[nodiscard]] Result<Run> run() const;

    friend bool operator==(const SheetLabel&, const SheetLabel&) = default;
};

inline constexpr int kMostPerRow = 1'000;
/// Longer texts are no labels. Our choice: several times what two codes with words between them need.
inline constexpr std::size_t kMostLabelBytes = 128;

/// What goes into the QR code of a label (*never change*: it is on paper):
///
///     DISCAL SHEET 1 PATTERN FIRST COUNT[ PERROW]
///     DISCAL SHEET 1 AAA000-IO RKD001 25 5
///
/// single blanks; the 1 is the version of this form; the pattern as Scheme::pattern, the first code as Code::compact,
/// numbers without leading zeros. All of it is in the alphanumeric alphabet of QR codes (ISO/IEC 18004, table 5), which
/// keeps the code small: the example fits version 3 at level M. With an unknown count: the code's text alone.
[[nodiscard]] std::string labelText(const SheetLabel& label);

/// Reads our own text, in the one spelling that labelText gives, and those of other makers that are nothing but the
/// first and last code of a run, in order and of one shape ("RKD 001 - RKD 025", "RKD001/RKD025", "RKD 001 to 025"), or
/// one code. The scheme of those allows every letter; no look-alike is repaired.
/// NewerFile, with the version in `number`, for a later form of ours; OutOfRange as makeRun for a run that is too long
/// or goes backwards; BadInput, with what is expected in `detail`, for all else. Takes any bytes.
[[nodiscard]] Result<SheetLabel> readLabel(std::string_view text);

} // namespace discal::tag
