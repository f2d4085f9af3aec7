#include "core/place/nmea.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdlib>

namespace discal::place {

namespace {

using std::chrono::days;
using std::chrono::hours;
using std::chrono::milliseconds;
using std::chrono::minutes;
using std::chrono::seconds;
using std::chrono::sys_days;
using Verdict = NmeaReader::Verdict;

constexpr milliseconds kDay = hours(24);

// Exactly `count` digits at `at`. At most 9 digits, so an int64 holds whatever follows from it.
std::optional<std::int64_t> digits(std::string_view s, std::size_t at, std::size_t count) {
    if (at > s.size() || s.size() - at < count)
        return std::nullopt;
    std::int64_t value = 0;
    for (const char c : s.substr(at, count)) {
        if (c < '0' || c > '9')
            return std::nullopt;
        value = value * 10 + (c - '0');
    }
    return value;
}

// The fraction from `at` to the end of s, "" or ".d...", as a whole number of 10^-places; further digits are
// dropped.
std::optional<std::int64_t> fraction(std::string_view s, std::size_t at, std::size_t places) {
    std::int64_t value = 0;
    std::size_t taken = 0;
    if (at < s.size()) {
        if (s[at] != '.')
            return std::nullopt;
        for (const char c : s.substr(at + 1)) {
            if (c < '0' || c > '9')
                return std::nullopt;
            if (taken < places) {
                value = value * 10 + (c - '0');
                ++taken;
            }
        }
    }
    for (; taken < places; ++taken)
        value *= 10;
    return value;
}

// "hhmmss" or "hhmmss.s..."
std::optional<milliseconds> timeOfDay(std::string_view s) {
    const auto hour = digits(s, 0, 2);
    const auto minute = digits(s, 2, 2);
    const auto second = digits(s, 4, 2);
    const auto milli = fraction(s, 6, 3);
    if (!hour || !minute || !second || !milli || *hour > 23 || *minute > 59 || *second > 59)
        return std::nullopt;
    return hours(*hour) + minutes(*minute) + seconds(*second) + milliseconds(*milli);
}

std::optional<sys_days> dayOf(std::int64_t year, std::int64_t month, std::int64_t day) {
    const std::chrono::year_month_day date{std::chrono::year(static_cast<int>(year)),
                                           std::chrono::month(static_cast<unsigned>(month)),
                                           std::chrono::day(static_cast<unsigned>(day))};
    if (!date.ok())
        return std::nullopt;
    return sys_days(date);
}

// RMC's "ddmmyy". GPS began in 1980, so 80 to 99 are of the last century.
std::optional<sys_days> dayOfRmc(std::string_view s) {
    const auto day = digits(s, 0, 2);
    const auto month = digits(s, 2, 2);
    const auto year = digits(s, 4, 2);
    if (!day || !month || !year || s.size() != 6)
        return std::nullopt;
    return dayOf(*year + (*year >= 80 ? 1900 : 2000), *month, *day);
}

// "dd...mm.mm..." and a hemisphere letter, to 10^-7 degree. Nine decimals of a minute are 2 micrometres.
std::optional<std::int32_t> coordinateE7(std::string_view s, std::string_view hemisphere,
                                         std::size_t degreeDigits, std::int64_t maxE7, char positive,
                                         char negative) {
    const auto degree = digits(s, 0, degreeDigits);
    const auto minute = digits(s, degreeDigits, 2);
    const auto billionths = fraction(s, degreeDigits + 2, 9);
    if (!degree || !minute || !billionths || *minute > 59 || hemisphere.size() != 1)
        return std::nullopt;
    if (hemisphere[0] != positive && hemisphere[0] != negative)
        return std::nullopt;
    const std::int64_t minutesE9 = *minute * 1'000'000'000 + *billionths;       // below 6e10
    const std::int64_t e7 = *degree * 10'000'000 + (minutesE9 + 3'000) / 6'000; // half up: 60e9 / 1e7 = 6000
    if (e7 > maxE7)
        return std::nullopt;
    return static_cast<std::int32_t>(hemisphere[0] == negative ? -e7 : e7);
}

std::optional<std::int32_t> latitudeE7(std::string_view s, std::string_view hemisphere) {
    return coordinateE7(s, hemisphere, 2, 900'000'000, 'N', 'S');
}

std::optional<std::int32_t> longitudeE7(std::string_view s, std::string_view hemisphere) {
    return coordinateE7(s, hemisphere, 3, 1'800'000'000, 'E', 'W');
}

// A number above 0, as HDOP and standard deviations are; 0 and an empty field both mean "not stated". Beyond
// a million it is nonsense.
std::optional<double> positiveNumber(std::string_view s) {
    double value = 0;
    const char* const end = s.data() + s.size();
    const auto [stop, error] = std::from_chars(s.data(), end, value, std::chars_format::fixed);
    if (s.empty() || error != std::errc() || stop != end || !(value > 0.0 && value < 1e6))
        return std::nullopt;
    return value;
}

std::int64_t atLeastOneMm(double millimetres) {
    return std::max<std::int64_t>(1, static_cast<std::int64_t>(std::ceil(millimetres - 1e-4)));
}

Verdict verdictOnQuality(std::string_view quality) {
    if (quality.size() != 1)
        return Verdict::Malformed;
    switch (quality[0]) {
    case '0':
        return Verdict::NoFix;
    case '1': // plain
    case '2': // differential
    case '3': // precise positioning service
    case '4': // real-time kinematic, fixed
    case '5': // and float
        return Verdict::Understood;
    case '6':
    case '7':
        return Verdict::NotMeasured;
    case '8':
        return Verdict::Simulated;
    default:
        return Verdict::Malformed;
    }
}

// The mode field is missing before version 2.3.
Verdict verdictOnRmc(std::string_view status, std::string_view mode) {
    if (status != "A" && status != "V")
        return Verdict::Malformed;
    if (mode == "S")
        return Verdict::Simulated;
    if (status == "V" || mode == "N")
        return Verdict::NoFix;
    return mode == "E" || mode == "M" ? Verdict::NotMeasured : Verdict::Understood;
}

// Either may be the earlier. Unsigned, because the difference of two arbitrary signed numbers may not fit.
bool isLongApart(std::int64_t a, std::int64_t b) {
    const auto [first, last] = std::minmax(a, b);
    const std::uint64_t apart = static_cast<std::uint64_t>(last) - static_cast<std::uint64_t>(first);
    return apart > static_cast<std::uint64_t>(kDateHeldMs);
}

int hexDigit(char c) {
    if (c >= '0' && c <= '9')
        return c - '0';
    if (c >= 'A' && c <= 'F')
        return c - 'A' + 10;
    if (c >= 'a' && c <= 'f')
        return c - 'a' + 10;
    return -1;
}

} // namespace

std::string_view NmeaSentence::field(int n) const {
    std::string_view rest = fields;
    for (int i = 1; i < n; ++i) {
        const auto comma = rest.find(',');
        if (comma == std::string_view::npos)
            return {};
        rest.remove_prefix(comma + 1);
    }
    return rest.substr(0, rest.find(','));
}

std::string_view NmeaSentence::type() const {
    if (address.size() != 5 || address[0] == 'P')
        return {};
    return address.substr(2);
}

Result<NmeaSentence> readNmeaSentence(std::string_view line) {
    while (!line.empty() && (line.back() == '\n' || line.back() == '\r'))
        line.remove_suffix(1);
    if (line.empty() || line.front() != '$')
        return fail(Code::BadInput);
    if (line.size() > kMaxSentence)
        return fail(Code::LineTooLong);
    line.remove_prefix(1);

    const auto printable = [](char c) { return c >= ' ' && c <= '~'; };
    if (!std::all_of(line.begin(), line.end(), printable))
        return fail(Code::BadInput);
    const auto star = line.find('*');
    if (star == std::string_view::npos)
        return fail(Code::MissingMember, "checksum");
    const std::string_view stated = line.substr(star + 1);
    const std::string_view content = line.substr(0, star);
    unsigned sum = 0;
    for (const char c : content)
        sum ^= static_cast<unsigned char>(c);
    if (stated.size() != 2 || hexDigit(stated[0]) != static_cast<int>(sum >> 4) ||
        hexDigit(stated[1]) != static_cast<int>(sum & 15))
        return fail(Code::BadChecksum);

    const auto comma = content.find(',');
    if (comma == std::string_view::npos)
        return NmeaSentence{content, {}};
    return NmeaSentence{content.substr(0, comma), content.substr(comma + 1)};
}

NmeaReader::Heard NmeaReader::feed(std::string_view sentence, std::int64_t upMs) {
    if (m_lastUpMs && isLongApart(*m_lastUpMs, upMs))
        startAfresh();
    m_lastUpMs = upMs;
    const Heard heard = hear(sentence, upMs);
    ++m_tally.sentences[static_cast<std::size_t>(heard.verdict)];
    return heard;
}

std::optional<Fix> NmeaReader::flush() {
    return settle();
}

// After a long silence a time of day no longer says which day.
void NmeaReader::startAfresh() {
    if (m_waiting)
        ++m_tally.undated;
    m_waiting.reset();
    m_standing.reset();
    m_dated.reset();
    m_spread.reset();
}

NmeaReader::Heard NmeaReader::hear(std::string_view line, std::int64_t upMs) {
    const auto sentence = readNmeaSentence(line);
    if (!sentence) {
        const Code code = sentence.error().code;
        if (code == Code::MissingMember)
            return {Verdict::ChecksumMissing};
        return {code == Code::BadChecksum ? Verdict::ChecksumWrong : Verdict::NotASentence};
    }
    const std::string_view type = sentence->type();
    if (type == "GGA")
        return hearGga(*sentence, upMs);
    if (type == "RMC")
        return hearRmc(*sentence, upMs);
    if (type == "ZDA")
        return hearZda(*sentence, upMs);
    if (type == "GST")
        return hearGst(*sentence);
    return {Verdict::Skipped};
}

NmeaReader::Heard NmeaReader::hearGga(const NmeaSentence& s, std::int64_t upMs) {
    const Verdict verdict = verdictOnQuality(s.field(6));
    const auto at = timeOfDay(s.field(1));
    if (verdict != Verdict::Understood) // a new second ends the one before, whatever is said of it
        return {verdict, at ? settleUnless(*at) : settle()};
    const auto lat = latitudeE7(s.field(2), s.field(3));
    const auto lon = longitudeE7(s.field(4), s.field(5));
    if (!at || !lat || !lon)
        return {Verdict::Malformed};

    if (m_waiting && m_waiting->timeOfDay == *at) { // a second talker
        ++m_tally.repeated;
        return {Verdict::Understood};
    }
    Heard heard{Verdict::Understood, settle()};
    Fix fix;
    fix.upMs = upMs;
    fix.latE7 = *lat;
    fix.lonE7 = *lon;
    const auto hdop = positiveNumber(s.field(8));
    fix.accuracyMm = hdop ? atLeastOneMm(*hdop * static_cast<double>(kRangeErrorMm)) : kUnknownAccuracyMm;
    m_waiting = Waiting{*at, fix};
    // If nothing was waiting, its RMC may have come first. (If something was, any RMC before it was of
    // another time.)
    if (m_standing && m_standing->timeOfDay == *at)
        heard.fix = settle();
    else
        m_standing.reset();
    return heard;
}

NmeaReader::Heard NmeaReader::hearRmc(const NmeaSentence& s, std::int64_t upMs) {
    const Verdict verdict = verdictOnRmc(s.field(2), s.field(12));
    auto at = timeOfDay(s.field(1));
    // A receiver without a fix may not know the time either. What it says then is about the fix just claimed.
    if (!at && s.field(1).empty() && verdict != Verdict::Understood && m_waiting)
        at = m_waiting->timeOfDay;
    if (!at)
        return {verdict == Verdict::Understood ? Verdict::Malformed : verdict};
    if (verdict == Verdict::Malformed)
        return {verdict};

    Heard heard{verdict, settleUnless(*at)};
    m_standing = Standing{*at, verdict, std::nullopt};
    if (verdict == Verdict::Understood) {
        // The date of a receiver without a fix may be made up.
        m_standing->day = dayOfRmc(s.field(9));
        if (m_standing->day)
            m_dated = Dated{*m_standing->day + *at, upMs};
    }
    if (m_waiting)
        heard.fix = settle();
    return heard;
}

NmeaReader::Heard NmeaReader::hearZda(const NmeaSentence& s, std::int64_t upMs) {
    const auto at = timeOfDay(s.field(1));
    const auto day = digits(s.field(2), 0, 2);
    const auto month = digits(s.field(3), 0, 2);
    const auto year = digits(s.field(4), 0, 4);
    if (s.field(1).empty())
        return {Verdict::NoFix};
    const bool shaped = at && day && month && year && s.field(2).size() == 2 && s.field(3).size() == 2 &&
                        s.field(4).size() == 4 && *year >= 1980;
    const auto date = shaped ? dayOf(*year, *month, *day) : std::nullopt;
    if (!date)
        return {Verdict::Malformed};
    Heard heard{Verdict::Understood, settleUnless(*at)};
    m_dated = Dated{*date + *at, upMs};
    return heard;
}

NmeaReader::Heard NmeaReader::hearGst(const NmeaSentence& s) {
    const auto at = timeOfDay(s.field(1));
    const auto north = positiveNumber(s.field(6));
    const auto east = positiveNumber(s.field(7));
    m_spread.reset();
    if (!at)
        return {s.field(1).empty() ? Verdict::NoFix : Verdict::Malformed};
    if (!north || !east)
        return {Verdict::NoFix};
    m_spread = Spread{*at, atLeastOneMm(1000.0 * std::hypot(*north, *east))};
    return {Verdict::Understood};
}

// Gives out the waiting GGA, if it was measured, isn't denied and can be dated. Afterwards nothing waits.
std::optional<Fix> NmeaReader::settle() {
    if (!m_waiting)
        return std::nullopt;
    const Waiting waiting = *m_waiting;
    m_waiting.reset();
    const bool hasRmc = m_standing && m_standing->timeOfDay == waiting.timeOfDay;
    if (hasRmc && m_standing->verdict != Verdict::Understood) {
        ++m_tally.denied;
        return std::nullopt;
    }
    const auto utc = hasRmc && m_standing->day ? time::Instant(*m_standing->day + waiting.timeOfDay)
                                               : datedNear(waiting.timeOfDay, waiting.fix.upMs);
    if (!utc) {
        ++m_tally.undated;
        return std::nullopt;
    }
    m_dated = Dated{*utc, waiting.fix.upMs};
    if (m_given == utc) {
        ++m_tally.repeated;
        return std::nullopt;
    }
    m_given = utc;

    Fix fix = waiting.fix;
    fix.utc = *utc;
    if (m_spread) {
        const milliseconds age = (waiting.timeOfDay - m_spread->timeOfDay + kDay) % kDay; // over midnight too
        if (age <= milliseconds(kGstHeldMs))
            fix.accuracyMm = m_spread->accuracyMm;
        else
            m_spread.reset(); // or it would speak again at this time tomorrow
    }
    ++m_tally.fixes;
    return fix;
}

std::optional<Fix> NmeaReader::settleUnless(Millis timeOfDay) {
    if (m_waiting && m_waiting->timeOfDay == timeOfDay)
        return std::nullopt;
    return settle();
}

std::optional<time::Instant> NmeaReader::datedNear(Millis timeOfDay, std::int64_t upMs) const {
    if (!m_dated || isLongApart(upMs, m_dated->upMs))
        return std::nullopt;
    const auto today = std::chrono::floor<days>(m_dated->utc);
    const time::Instant candidates[] = {today - days(1) + timeOfDay, today + timeOfDay,
                                        today + days(1) + timeOfDay};
    const auto distance = [&](time::Instant t) { return std::chrono::abs(t - m_dated->utc); };
    return *std::min_element(std::begin(candidates), std::end(candidates),
                             [&](time::Instant a, time::Instant b) { return distance(a) < distance(b); });
}

} // namespace discal::place
