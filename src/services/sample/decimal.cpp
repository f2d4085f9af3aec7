#include "services/sample/decimal.h"

namespace discal::services::sample {

namespace {

bool isDigit(char c) {
    return c >= '0' && c <= '9';
}

} // namespace

std::optional<std::int64_t> decimal(std::string_view text, int places) {
    const bool isNegative = text.substr(0, 1) == "-";
    if (isNegative)
        text.remove_prefix(1);
    const std::size_t point = text.find('.');
    const std::string_view whole = text.substr(0, point);
    const std::string_view part =
        point == std::string_view::npos ? std::string_view() : text.substr(point + 1);
    if (whole.empty() || whole.size() > 12 || (point != std::string_view::npos && part.empty()))
        return std::nullopt;
    std::int64_t number = 0;
    for (const char c : whole) {
        if (!isDigit(c))
            return std::nullopt;
        number = number * 10 + (c - '0');
    }
    if (number > 100'000'000'000 && places > 6)
        return std::nullopt; // would not fit
    for (std::size_t i = 0; i < static_cast<std::size_t>(places); ++i)
        number = number * 10 + (i < part.size() && isDigit(part[i]) ? part[i] - '0' : 0);
    for (const char c : part)
        if (!isDigit(c))
            return std::nullopt;
    if (part.size() > static_cast<std::size_t>(places) && part[static_cast<std::size_t>(places)] >= '5')
        ++number;
    return isNegative ? -number : number;
}

} // namespace discal::services::sample
