#pragma once

#include "reading/drawn/chance.h"

#include <cstdint>
#include <string>
#include <vector>

namespace discal::drawn {

/// A code such as makers print, canonical: mostly 2-4 letters with 3-4 digits, at times 0-6 letters with 1-9 digits.
[[nodiscard]] std::string anyCode(Chance& chance);

/// The codes that one phone may meet: what is left of 40-60 sheets of two or three schemes, 300-1500 in all, each sheet
/// a run of consecutive codes with gaps where tags were used out of order. Sorted.
[[nodiscard]] std::vector<std::string> phonesCodes(std::uint64_t seed);

/// One that is not in the list, as somebody else's tag or one of ours that was used: as often a gap in the list or a
/// code near one of its runs, one of the same scheme, and one of any scheme. The list must be sorted.
[[nodiscard]] std::string unlistedCode(const std::vector<std::string>& list, Chance& chance);

/// Every code that differs from this one in one character, letter for letter or digit for digit, without itself: the
/// hardest list for a reader that must not take this one for any of them. Sorted.
[[nodiscard]] std::vector<std::string> neighboursOf(const std::string& code);

} // namespace discal::drawn
