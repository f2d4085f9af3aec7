#pragma once

#include <cstdint>
#include <string_view>

namespace discal::journal {

/// What a line records: verbs of the trade. The text is part of the format; a kind is never renamed or reused.
enum class Kind : std::uint8_t {
    DeviceStarted,
    DeviceEnrolled,
    StationFounded,
    StationSet,
    SiteSet,
    PersonNamed,
    SheetReceived,
    SheetHanded,
    SheetTaken,
    SessionOpened,
    SessionClosed,
    ButterflyNoted,
    ButterflyHeld,
    ButterflyReleased,
    ButterflyEscaped,
    ButterflyDied,
    ButterflyUntagged,
    ButterflyRetagged,
    ButterflyRecaptured,
    ButterflyMeasured,
    TagSpoiled,
    TagMissing,
    TagPaper,
    TagGiven,
    TagCompared,
    LotStarted,
    LotCounted,
    WeatherRead,
    EntryCorrected,
    EntryWithdrawn,
    DoubtSettled,
    DaySigned,
    BlobErased,
    Unknown,  ///< written by a newer Discal: kept, relayed, its subjects marked
};

[[nodiscard]] Kind kindOf(std::string_view text);
[[nodiscard]] std::string_view textOf(Kind kind);
/// The highest version of the kind's body that we understand; 0 for Unknown.
[[nodiscard]] int knownVersion(Kind kind);

} // namespace discal::journal
