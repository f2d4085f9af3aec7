#pragma once

#include <cstdint>
#include <optional>
#include <string_view>

namespace discal::services::sample {

/// Reads a plain decimal ("-90.8893", "18", "0.5") as a whole number of 10^-places, rounded half away from
/// zero. No exponent, no blanks, no leading "+"; at most 12 digits before the point and any number after it.
/// Nothing otherwise.
[[nodiscard]] std::optional<std::int64_t> decimal(std::string_view text, int places);

} // namespace discal::services::sample
