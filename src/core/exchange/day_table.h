#pragma once

#include <string>
#include <string_view>
#include <vector>

/// Values to text and back, in forms that other programs read.
namespace discal::exchange {

/// One butterfly of a day, as text ready to be written; what is not known is empty.
struct DayRow {
    std::string code;
    std::string sex;          ///< female, male, unknown
    std::string origin;       ///< wild, reared
    std::string date;         ///< local, YYYY-MM-DD
    std::string time;         ///< local, HH:MM
    std::string offset;       ///< of local time from UTC, such as -05:00
    std::string fate;         ///< as lines call it: held, released ...
    std::string site;
    std::string lat;          ///< degrees, EPSG:4326
    std::string lon;
    std::string uncertainty;  ///< metres
    std::string tagger;
    std::string recorder;
    std::string note;
};

/// A field as RFC 4180 (section 2, rules 5 to 7) wants it: in quotes when it holds a comma, a quote or a line break,
/// with quotes doubled. Nothing else is changed: a table that is read back holds the same values.
[[nodiscard]] std::string quoted(std::string_view field);

/// The table as RFC 4180 text: a header, then the rows in their order, each line ended by CR LF. UTF-8.
[[nodiscard]] std::string dayTable(const std::vector<DayRow>& rows);

/// -60 minutes is "-01:00".
[[nodiscard]] std::string offsetText(int minutes);
/// A whole number of 10^-places as a decimal without zeros at its end: (435571000, 7) is "43.5571".
[[nodiscard]] std::string decimalText(long long value, int places);

} // namespace discal::exchange
