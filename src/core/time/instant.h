#pragma once

#include "core/result.h"

#include <chrono>
#include <string>
#include <string_view>

namespace discal::time {

/// Milliseconds since 1970-01-01T00:00:00Z, leap seconds not counted (POSIX). No clock is read in core.
using Instant = std::chrono::sys_time<std::chrono::milliseconds>;
using std::chrono::milliseconds;

/// "YYYY-MM-DDTHH:MM:SS.sssZ", the one spelling used in lines (a profile of RFC 3339). Years 0000 to 9999;
/// outside them the nearest of the two is written.
[[nodiscard]] std::string formatUtc(Instant t);

/// Reads RFC 3339: any number of fraction digits (further ones than three are dropped), "Z" or "+hh:mm".
/// Refuses a second of 60, since no line carries one. NotATime otherwise.
[[nodiscard]] Result<Instant> parseUtc(std::string_view s);

/// The local date and time of day at `offset` from UTC: "YYYY-MM-DD" and "HH:MM".
[[nodiscard]] std::string localDate(Instant t, std::chrono::minutes offset);
[[nodiscard]] std::string localTime(Instant t, std::chrono::minutes offset);

} // namespace discal::time
