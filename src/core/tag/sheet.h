#pragma once

#include "core/journal/amending.h"
#include "core/tag/run.h"

#include <boost/json.hpp>
#include <map>
#include <optional>
#include <string>
#include <vector>

/// A sheet of tags and who may offer its codes.
namespace discal::tag {

/// A person said "this run is in my hand", but the holder's chain has not (yet) said that it handed it over.
struct Take {
    RunSet runs;       ///< what is still not agreed
    std::string by;    ///< device
    std::string from;  ///< device that held it, or empty when nobody did
    journal::Uuid line;
    bool operator==(const Take&) const = default;
};

/// A hand-over that stands: said by the giver, or by a taker (see Take).
struct Handing {
    RunSet runs;      ///< what has not come back since
    std::string from; ///< device
    std::string to;   ///< device
    bool operator==(const Handing&) const = default;
};

/// A pure function of the set of the sheet's lines in their order: fold `step` over them from a default value.
///
/// A code may be offered by the one device that `holders` names for it, and by nobody while it is in `contested`.
/// Only the holder can hand a run on. Who takes without being handed holds from then on, with a doubt until the one
/// it was taken from agrees by handing that run to the taker. What two take from each other without any agreement,
/// and what two devices say they received, is contested.
struct Sheet {
    journal::Uuid id;
    std::optional<Run> run;            ///< as printed; none while only later lines have arrived
    int perRow{0};                     ///< tags in a printed row; 0 not said
    std::vector<std::string> receivers;
    std::map<std::string, RunSet> holders;  ///< device -> what it may offer
    std::map<std::string, RunSet> ever;     ///< device -> what it held at any time
    RunSet contested;
    std::vector<Take> takes;
    /// In their order. What comes back to a device that had it, from whomever, is back with it: neither that
    /// hand-over nor those since it gave the run away stand any more. So no code passes a device twice in
    /// them.
    std::vector<Handing> handings;
    std::vector<journal::Uuid> receivedLines;
    std::vector<journal::Uuid> handedByOther;  ///< handings by somebody who did not hold all of it
    bool needsNewer{false};
    std::vector<journal::Uuid> lines;
    journal::Order last;

    /// The one device that may offer `code`; empty when nobody may.
    [[nodiscard]] std::string holderOf(const Code& code) const;
    [[nodiscard]] bool contains(const Code& code) const;
    /// In an unagreed take?
    [[nodiscard]] bool isTaken(const Code& code) const;
    /// Which of `runs` were handed to `device`, by whom: the last hand-over that stands. What it received
    /// itself, or took where nobody held it, is with nobody here.
    [[nodiscard]] std::map<std::string, RunSet> giversOf(const RunSet& runs, const std::string& device) const;
};

/// Withdrawn lines are left out by the caller, but for those with `needsNewer`: they only mark it.
void step(Sheet& sheet, const journal::Amended& event);

/// Lossless, for the projection row.
[[nodiscard]] boost::json::object toJson(const Sheet& sheet);
[[nodiscard]] Sheet sheetFromJson(const boost::json::object& story);

/// `first` and `count` (default 1) of a body, with its `scheme` pattern where given. NotACode or BadInput.
[[nodiscard]] Result<Run> runIn(const boost::json::object& body);

} // namespace discal::tag
