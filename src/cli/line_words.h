#pragma once

#include "cli/names.h"
#include "core/journal/amending.h"

#include <string>

/// Lines as people would say them.
namespace discal::cli {

/// "5 Sep 2026 14:03" at the line's own offset: the month is named, so that no country misreads it.
[[nodiscard]] std::string localTime(time::Instant at, std::chrono::minutes offset);
/// The same from text as projections hold it; the text itself when it is no time.
[[nodiscard]] std::string localTime(const std::string& utc, std::int64_t offsetMin);

/// "Long Meadow, 1.2 km NE of Viroqua, Vernon County, Wisconsin, 43.5657, -90.8780 (within 15 m)", or what of it there
/// is: site, words, position. Empty for an empty place.
[[nodiscard]] std::string placeWords(const boost::json::object& place, Names& names);

/// The code that a line is about, or that its butterfly has; or the run that it is about. May be empty.
[[nodiscard]] std::string codeOf(const journal::Line& line, Names& names);

/// What the line says, without its code: "noted, female, wild, at Long Meadow". Kinds of a newer Discal are
/// named as they are.
[[nodiscard]] std::string wordsOf(const journal::Line& line, Names& names);

/// Said of what a newer Discal has written about, or amended.
inline constexpr std::string_view kNeedsNewer = "needs a newer Discal";

/// A member's value, with ids named and units said: "51.5 mm", "KLM".
[[nodiscard]] std::string valueWords(std::string_view field, const boost::json::value& value, Names& names);

/// Both: "RKD 014 noted, female, wild".
[[nodiscard]] std::string sentenceOf(const journal::Line& line, Names& names);

/// A butterfly: "RKD 014", or "The butterfly without a code (ID)".
[[nodiscard]] std::string nameOf(const butterfly::Butterfly& butterfly);

} // namespace discal::cli
