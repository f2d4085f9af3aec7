#pragma once

#include "core/tag/decoder.h"

namespace discal::tag {

/// Whether a decision may be relied on.
struct Judgement {
    bool isCertain{false}; ///< offer it: as ours where it is listed, as somebody else's where it isn't
    bool isClear{false};   ///< not certain, though each glyph is well seen: two codes are too much alike
    bool isLost{false};    ///< not certain, since ink that would make another code of it may be lost
    double confidence{0};  ///< 0 to 1: how probable it is that the text is what is printed
};

/// Accepting a wrong code is the worst that can happen, so a code is certain only when it leads the next possible one, listed or
/// not, by far, when no glyph of it might as well be another or what is left of another, and when the second reader says the same, or the network's lead is
/// beyond doubt. Thresholds: our choice, by drawn frames (tests/reading).
[[nodiscard]] Judgement judge(const Decision& decision);

} // namespace discal::tag
