#pragma once

#include "reading/drawn/tag_frame.h"

#include <array>
#include <cstdint>
#include <functional>
#include <string>
#include <vector>

namespace discal::drawn {

/// Which codes a reader is told that it may meet.
enum class List : std::uint8_t {
    Listed,     ///< what one phone may meet (phonesCodes), the tag's own among them
    Unlisted,   ///< the same, without it: somebody else's tag, or one of ours that was used
    Neighbours, ///< every code that differs from the tag's in one character, without it
    Hindered,   ///< as Listed, but each frame is drawn so that it has to be refused
};

/// Tags that were drawn and read, so many frames of each, all alike in how they are drawn.
struct Round {
    Tier tier{Tier::Field};
    List list{List::Listed};
    int tags{0};
    int frames{1};
    std::uint64_t seed{1};
    TypefaceSet typefaces{TypefaceSet::Judging};
};

/// What came of it: tags.
struct Tally {
    int tags{0};
    int accepted{0};   ///< as one of the list, rightly
    int misread{0};    ///< as one of the list, which it isn't: must be 0
    int unlisted{0};   ///< read as none of ours, the text right
    int unlistedWrong{0}; ///< read as none of ours, the text wrong
    int refused{0};
    int rightReason{0}; ///< refused for the reason that was drawn
    std::vector<double> milliseconds; ///< of the processor, a frame
    std::vector<std::string> misreads; ///< "seed printed read"
};

/// Draws and reads; each tag is a look of its own. `each`: after each tag, for progress; may be empty.
[[nodiscard]] Tally play(const Round& round, services::CodeReader& reader, const std::function<void()>& each = {});

/// The upper bound of a share of which `seen` of `tried` were seen, with 95 % confidence (Clopper and Pearson 1934,
/// doi:10.1093/biomet/26.4.404): 3 / tried, nearly, where none was seen.
[[nodiscard]] double upperBound(int seen, int tried);

} // namespace discal::drawn
