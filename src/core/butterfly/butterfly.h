#pragma once

#include "core/journal/amending.h"
#include "core/journal/id.h"

#include <boost/json.hpp>
#include <optional>
#include <string>
#include <vector>

/// One individual, from the moment it is written down.
namespace discal::butterfly {

/// What is known of an individual now. Text forms are part of the projections.
enum class Fate {
    Noted,     ///< written down, tag not yet on: still in hand
    Held,      ///< tagged, in a cage
    Released,  ///< let go, or flew with its tag on
    Escaped,   ///< flew without a tag
    Died,
    Untagged,  ///< hurt or worn: counted, no code
    Seen,      ///< recaptured here, never noted in any line we hold
    Unclear,   ///< only later lines of its story have arrived
};
[[nodiscard]] std::string_view textOf(Fate fate);
[[nodiscard]] Fate fateOf(std::string_view text);

/// A code and what it is to this butterfly.
struct Carried {
    enum class Bond {
        On,       ///< on its wing; a retagged one has several
        Spoiled,  ///< meant for it, ruined
        Free,     ///< came off unused, may be offered again
        Seen,     ///< read at a recapture, not put on by a line that we hold
    };
    std::string code;  ///< canonical text
    Bond bond{Bond::On};
    journal::Uuid line;  ///< the line that said so
    bool operator==(const Carried&) const = default;
};

[[nodiscard]] std::string_view textOf(Carried::Bond bond);

/// A pure function of the set of the butterfly's lines in their order: fold `step` over them from a default value.
struct Butterfly {
    journal::Uuid id;
    Fate fate{Fate::Unclear};
    std::vector<Carried> codes;
    std::string sex{"unknown"};  ///< female, male, unknown
    std::string origin;          ///< wild, reared
    std::string session;         ///< id, or empty
    std::string cage;            ///< while held
    std::string notedAt;         ///< UTC
    std::string heldSince;       ///< where it was inferred, the earliest that it can have been
    std::string releasedAt;      ///< the same
    std::int64_t offsetMin{0};   ///< of the last of these times
    /// How the last change of fate is known: seen by the recorder, or inferred between two times.
    bool isInferred{false};
    std::string earliest;
    std::string latest;
    std::string device;
    std::string recorder;  ///< person id, or empty
    std::string tagger;
    std::string lot;
    boost::json::object taken;     ///< place, as in the line
    boost::json::object released;  ///< place, as in the line
    boost::json::object measures;  ///< forewing_um, wear, wear_scale, mated, parasite_sample, note
    int recaptures{0};
    bool needsNewer{false};
    /// Lines that can't follow from what went before (let go after it died ...): kept, a doubt.
    std::vector<journal::Uuid> contradictions;
    /// Lines by which the paper had run apart from the codes offered: another tag than written may be on it.
    std::vector<journal::Uuid> comparedApart;
    std::vector<journal::Uuid> lines;  ///< all that were folded, in order
    std::string noteLine;              ///< id of the line that noted it
    journal::Order last;               ///< of the last line folded

    [[nodiscard]] std::optional<std::string> currentCode() const;
    [[nodiscard]] bool isOpen() const { return fate == Fate::Noted; }
};

/// Takes one more line of its story, in order. Withdrawn lines must be left out by the caller, but for those
/// with `needsNewer`: they only mark it.
void step(Butterfly& butterfly, const journal::Amended& event);

/// Lossless, for the projection row: fromJson(toJson(b)) continues as b does.
[[nodiscard]] boost::json::object toJson(const Butterfly& butterfly);
[[nodiscard]] Butterfly fromJson(const boost::json::object& story);

} // namespace discal::butterfly
