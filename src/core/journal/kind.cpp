#include "core/journal/kind.h"

#include <algorithm>
#include <array>
#include <utility>

namespace discal::journal {

namespace {

constexpr std::array<std::pair<std::string_view, Kind>, 33> kKinds{{
    {"blob.erased", Kind::BlobErased},
    {"butterfly.died", Kind::ButterflyDied},
    {"butterfly.escaped", Kind::ButterflyEscaped},
    {"butterfly.held", Kind::ButterflyHeld},
    {"butterfly.measured", Kind::ButterflyMeasured},
    {"butterfly.noted", Kind::ButterflyNoted},
    {"butterfly.recaptured", Kind::ButterflyRecaptured},
    {"butterfly.released", Kind::ButterflyReleased},
    {"butterfly.retagged", Kind::ButterflyRetagged},
    {"butterfly.untagged", Kind::ButterflyUntagged},
    {"day.signed", Kind::DaySigned},
    {"device.enrolled", Kind::DeviceEnrolled},
    {"device.started", Kind::DeviceStarted},
    {"doubt.settled", Kind::DoubtSettled},
    {"entry.corrected", Kind::EntryCorrected},
    {"entry.withdrawn", Kind::EntryWithdrawn},
    {"lot.counted", Kind::LotCounted},
    {"lot.started", Kind::LotStarted},
    {"person.named", Kind::PersonNamed},
    {"session.closed", Kind::SessionClosed},
    {"session.opened", Kind::SessionOpened},
    {"sheet.handed", Kind::SheetHanded},
    {"sheet.received", Kind::SheetReceived},
    {"sheet.taken", Kind::SheetTaken},
    {"site.set", Kind::SiteSet},
    {"station.founded", Kind::StationFounded},
    {"station.set", Kind::StationSet},
    {"tag.compared", Kind::TagCompared},
    {"tag.given", Kind::TagGiven},
    {"tag.missing", Kind::TagMissing},
    {"tag.paper", Kind::TagPaper},
    {"tag.spoiled", Kind::TagSpoiled},
    {"weather.read", Kind::WeatherRead},
}};

static_assert(std::is_sorted(kKinds.begin(), kKinds.end()));

} // namespace

Kind kindOf(std::string_view text) {
    const auto at = std::lower_bound(kKinds.begin(), kKinds.end(), text,
                                     [](const auto& row, std::string_view t) { return row.first < t; });
    return at != kKinds.end() && at->first == text ? at->second : Kind::Unknown;
}

std::string_view textOf(Kind kind) {
    for (const auto& [text, k] : kKinds)
        if (k == kind)
            return text;
    return "";
}

int knownVersion(Kind kind) { return kind == Kind::Unknown ? 0 : 1; }

} // namespace discal::journal
