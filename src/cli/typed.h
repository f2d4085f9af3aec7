#pragma once

#include "core/place/position.h"
#include "services/stock.h"

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

/// What people type, as values. Numbers may have a comma or a point.
namespace discal::cli {

/// A decimal in units of 10^-digits: "51,5" with 3 digits is 51500. Further digits are rounded. BadInput when
/// it is no decimal, or has more than 9 digits before its point.
[[nodiscard]] Result<std::int64_t> decimalIn(std::string_view typed, int digits);

/// LATITUDE,LONGITUDE,UNCERTAINTY in degrees and metres, with points; or parted by semicolons or blanks, and
/// then a comma may stand for the point. As a typed place. NotAPosition otherwise.
[[nodiscard]] Result<place::Position> positionIn(std::string_view typed);

/// "RKD 001..RKD 025", "RKD001..025", or a first code and a count, as words in any spacing. The scheme is
/// that of the sheet that holds the first code, or as the code itself says. BadInput with the form otherwise;
/// errors of codes.
[[nodiscard]] Result<tag::Run> runIn(const std::vector<std::string>& words, services::Stock& stock,
                                     storage::Projections& projections);

/// Words joined by blanks: a code typed without quotes comes as two. Nothing when there are none.
[[nodiscard]] std::optional<std::string> codeIn(const std::vector<std::string>& words);

/// Several codes: a word of letters only goes with the one after it.
[[nodiscard]] std::vector<std::string> codesIn(const std::vector<std::string>& words);

} // namespace discal::cli
