#pragma once

#include "storage/projections.h"

/// What taking lines (projections_take.cpp) and folding them (projections_fold.cpp) share; for these files alone.
namespace discal::storage {

/// The noun that a line's first subject is: butterfly, sheet, or one of the records.
enum class Noun { Butterfly, Sheet, Record, Other };

inline Noun nounOf(std::string_view kind) {
    // A comparison marks the butterflies that others noted; by itself it makes none.
    if (kind == journal::textOf(journal::Kind::TagCompared))
        return Noun::Other;
    if (kind.starts_with("butterfly.") || kind.starts_with("tag."))
        return Noun::Butterfly;
    if (kind.starts_with("sheet."))
        return Noun::Sheet;
    return journal::recordTypeOf(kind) ? Noun::Record : Noun::Other;
}

/// Lines that change how others are read. They are no part of any story themselves, whatever they are about;
/// but of a newer one we don't know that.
inline bool isAmending(journal::Kind kind) {
    return kind == journal::Kind::EntryCorrected || kind == journal::Kind::EntryWithdrawn;
}

/// What one batch of lines has changed so far, and rows that are not yet written back.
struct Projections::Batch {
    std::unordered_map<std::string, butterfly::Butterfly> butterflies;
    std::unordered_map<std::string, std::vector<butterfly::Carried>> carriedBefore;  ///< as the rows have it
    std::set<std::string> changedButterflies;
    std::set<std::string> refold;
    std::set<std::string> codes;
    std::set<std::string> sheets;
    std::set<std::string> doubtKeys;
    bool roles{false};
    bool erasures{false};
};

} // namespace discal::storage
