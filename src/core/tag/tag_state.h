#pragma once

#include "core/butterfly/butterfly.h"
#include "core/tag/sheet.h"

#include <string>
#include <vector>

/// One tag's fate, from everything that names its code.
namespace discal::tag {

/// Exactly one at a time (design section 2, stock).
enum class Fate { Free, OnButterfly, Spoiled, Paper, Missing, Given };
[[nodiscard]] std::string_view textOf(Fate fate);

/// What names a code: the sheets that contain it, the butterflies that carry or carried it, and the lines about the
/// tag itself (tag.spoiled without a butterfly, tag.paper, tag.missing, tag.given), withdrawn ones left out.
struct TagEvidence {
    std::vector<Sheet> sheets;
    std::vector<butterfly::Butterfly> butterflies;
    std::vector<journal::Amended> lines;  ///< in order
    /// A line that names it, of whatever kind, was amended in words of a newer Discal: it may be on a wing or
    /// not.
    bool needsNewer{false};
};

struct TagState {
    std::string code;
    Fate fate{Fate::Free};
    bool isInStock{false};
    std::string holder;  ///< the one device that may offer it; empty: nobody
    bool needsNewer{false};
    std::vector<journal::Uuid> butterflies;  ///< that carry it, each once

    /// A butterfly that was read with it at a recapture only.
    struct Seen {
        journal::Uuid butterfly;
        journal::Uuid line; ///< the first recapture
        bool operator==(const Seen&) const = default;
    };
    std::vector<Seen> seen;

    /// By which lines it has each fate other than free; more than one fate is a doubt.
    struct Claim {
        Fate fate;
        journal::Uuid line;
        std::string device;
        std::string butterfly;
    };
    std::vector<Claim> claims;
    std::vector<std::string> everHeldBy;

    /// Free, in stock, understood, and `device` is its holder.
    [[nodiscard]] bool isOfferedBy(std::string_view device) const {
        return fate == Fate::Free && isInStock && !needsNewer && !holder.empty() && holder == device;
    }
};

/// Where several fates are claimed, what has been seen on a wing wins, then spoiled, paper, given away, missing.
[[nodiscard]] TagState tagState(const Code& code, const TagEvidence& evidence);

} // namespace discal::tag
