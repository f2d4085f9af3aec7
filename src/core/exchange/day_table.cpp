#include "core/exchange/day_table.h"

#include <array>
#include <cstdlib>

namespace discal::exchange {

namespace {

constexpr std::string_view kHeader =
    "code,sex,origin,date,time,offset,fate,site,lat,lon,uncertainty_m,tagger,recorder,note\r\n";

} // namespace

std::string quoted(std::string_view field) {
    if (field.find_first_of(",\"\r\n") == std::string_view::npos)
        return std::string(field);
    std::string out = "\"";
    for (const char c : field) {
        if (c == '"')
            out += '"';
        out += c;
    }
    return out + '"';
}

std::string dayTable(const std::vector<DayRow>& rows) {
    std::string out(kHeader);
    for (const DayRow& row : rows) {
        const std::array<const std::string*, 14> fields{
            &row.code, &row.sex, &row.origin, &row.date,        &row.time,   &row.offset,   &row.fate,
            &row.site, &row.lat, &row.lon,    &row.uncertainty, &row.tagger, &row.recorder, &row.note};
        for (std::size_t i = 0; i < fields.size(); ++i) {
            if (i > 0)
                out += ',';
            out += quoted(*fields[i]);
        }
        out += "\r\n";
    }
    return out;
}

std::string offsetText(int minutes) {
    const int size = std::abs(minutes);
    const auto two = [](int n) { return std::string(n < 10 ? "0" : "") + std::to_string(n); };
    return (minutes < 0 ? "-" : "+") + two(size / 60) + ":" + two(size % 60);
}

std::string decimalText(long long value, int places) {
    std::string digits = std::to_string(std::llabs(value));
    const auto n = static_cast<std::size_t>(places);
    if (digits.size() <= n)
        digits.insert(0, n + 1 - digits.size(), '0');
    std::string fraction = digits.substr(digits.size() - n);  // empty for 0 places
    fraction.erase(fraction.find_last_not_of('0') + 1);
    const std::string whole = (value < 0 ? "-" : "") + digits.substr(0, digits.size() - n);
    return fraction.empty() ? whole : whole + "." + fraction;
}

} // namespace discal::exchange
