#include "core/time/instant.h"

#include <array>
#include <charconv>
#include <cstdio>

namespace discal::time {

namespace {

using std::chrono::days;
using std::chrono::floor;
using std::chrono::hh_mm_ss;
using std::chrono::hours;
using std::chrono::minutes;
using std::chrono::seconds;
using std::chrono::sys_days;
using std::chrono::year_month_day;

bool digits(std::string_view s, std::size_t at, std::size_t count, int& out) {
    if (at + count > s.size())
        return false;
    out = 0;
    for (std::size_t i = at; i < at + count; ++i) {
        if (s[i] < '0' || s[i] > '9')
            return false;
        out = out * 10 + (s[i] - '0');
    }
    return true;
}

bool is(std::string_view s, std::size_t at, char c) { return at < s.size() && s[at] == c; }

Instant clampToFourDigitYears(Instant t) {
    using namespace std::chrono;
    constexpr Instant kFirst = sys_days(year(0) / January / 1);
    constexpr Instant kLast = sys_days(year(9999) / December / 31) + hours(24) - milliseconds(1);
    return t < kFirst ? kFirst : (t > kLast ? kLast : t);
}

} // namespace

std::string formatUtc(Instant t) {
    t = clampToFourDigitYears(t);
    const auto day = floor<days>(t);
    const year_month_day date(day);
    const hh_mm_ss<milliseconds> clock(t - day);
    std::array<char, 64> out{};
    std::snprintf(out.data(), out.size(), "%04d-%02u-%02uT%02d:%02d:%02d.%03dZ", static_cast<int>(date.year()),
                  static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()),
                  static_cast<int>(clock.hours().count()), static_cast<int>(clock.minutes().count()),
                  static_cast<int>(clock.seconds().count()), static_cast<int>(clock.subseconds().count()));
    return out.data();
}

Result<Instant> parseUtc(std::string_view s) {
    int year = 0;
    int month = 0;
    int day = 0;
    int hour = 0;
    int minute = 0;
    int second = 0;
    const bool shaped = digits(s, 0, 4, year) && is(s, 4, '-') && digits(s, 5, 2, month) && is(s, 7, '-') &&
                        digits(s, 8, 2, day) && (is(s, 10, 'T') || is(s, 10, 't')) && digits(s, 11, 2, hour) &&
                        is(s, 13, ':') && digits(s, 14, 2, minute) && is(s, 16, ':') && digits(s, 17, 2, second);
    if (!shaped || hour > 23 || minute > 59 || second > 59)
        return fail(Code::NotATime, std::string(s));
    const year_month_day date{std::chrono::year(year), std::chrono::month(static_cast<unsigned>(month)),
                              std::chrono::day(static_cast<unsigned>(day))};
    if (!date.ok())
        return fail(Code::NotATime, std::string(s));
    std::size_t at = 19;
    int millis = 0;
    if (is(s, at, '.')) {
        ++at;
        int scale = 100;
        const std::size_t first = at;
        while (at < s.size() && s[at] >= '0' && s[at] <= '9') {
            millis += (s[at] - '0') * scale;
            scale /= 10;
            ++at;
        }
        if (at == first)
            return fail(Code::NotATime, std::string(s));
    }
    minutes offset{0};
    if (is(s, at, 'Z') || is(s, at, 'z')) {
        ++at;
    } else if (is(s, at, '+') || is(s, at, '-')) {
        int oh = 0;
        int om = 0;
        if (!digits(s, at + 1, 2, oh) || !is(s, at + 3, ':') || !digits(s, at + 4, 2, om) || oh > 23 || om > 59)
            return fail(Code::NotATime, std::string(s));
        offset = hours(oh) + minutes(om);
        if (s[at] == '-')
            offset = -offset;
        at += 6;
    } else {
        return fail(Code::NotATime, std::string(s));
    }
    if (at != s.size())
        return fail(Code::NotATime, std::string(s));
    return Instant(sys_days(date)) + hours(hour) + minutes(minute) + seconds(second) + milliseconds(millis) - offset;
}

std::string localDate(Instant t, minutes offset) { return formatUtc(t + offset).substr(0, 10); }

std::string localTime(Instant t, minutes offset) { return formatUtc(t + offset).substr(11, 5); }

} // namespace discal::time
