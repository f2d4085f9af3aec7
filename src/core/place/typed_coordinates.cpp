#include "core/place/typed_coordinates.h"

#include <array>
#include <cmath>
#include <string>
#include <vector>

namespace discal::place {

namespace {

constexpr const char* kForm =
    "degrees as 43.5571 or 43° 33.426' N; south and west are negative, or have S or W";
constexpr const char* kPairForm =
    "latitude, then longitude: 43.5571, -90.8889 or N 43° 33.426' W 90° 53.334'";
constexpr const char* kSwapped = "latitude and longitude the other way round";

bool isDigit(char c) {
    return c >= '0' && c <= '9';
}

/// Signs that people and programs write, as one character each; a real minus as a hyphen.
std::string withPlainSigns(std::string_view typed) {
    struct Sign {
        std::string_view written;
        char plain;
    };
    constexpr std::array<Sign, 14> kSigns{{{"\u00B0", 'd'},
                                           {"\u00BA", 'd'},
                                           {"\u02DA", 'd'},
                                           {"\u2032", '\''},
                                           {"\u2019", '\''},
                                           {"\u2018", '\''},
                                           {"\u00B4", '\''},
                                           {"\u2033", '"'},
                                           {"\u201D", '"'},
                                           {"\u201C", '"'},
                                           {"''", '"'},
                                           {"\u2212", '-'},
                                           {"\u00A0", ' '},
                                           {"\u202F", ' '}}};
    std::string out;
    for (std::size_t at = 0; at < typed.size();) {
        const std::string_view rest = typed.substr(at);
        std::size_t length = 1;
        char plain = typed[at];
        for (const Sign& sign : kSigns)
            if (rest.starts_with(sign.written)) {
                plain = sign.plain;
                length = sign.written.size();
                break;
            }
        if (plain >= 'A' && plain <= 'Z')
            plain = static_cast<char>(plain - 'A' + 'a');
        out += plain == '\t' ? ' ' : plain;
        at += length;
    }
    return out;
}

/// A number as it is written: its value, and how many digits stand behind its point.
struct Number {
    double value{0};
    int decimals{0};
};

class Reader {
public:
    explicit Reader(std::string_view text) : m_text(text) {}
    void skipBlanks() {
        while (!isAtEnd() && m_text[m_at] == ' ')
            ++m_at;
    }
    [[nodiscard]] bool isAtEnd() const { return m_at == m_text.size(); }
    [[nodiscard]] char peek() const { return isAtEnd() ? '\0' : m_text[m_at]; }
    bool take(char c) {
        if (peek() != c || isAtEnd())
            return false;
        ++m_at;
        return true;
    }
    /// 'n', 's', 'e', 'w' or nothing.
    std::optional<char> takeLetter() {
        const char c = peek();
        if (c != 'n' && c != 's' && c != 'e' && c != 'w')
            return std::nullopt;
        ++m_at;
        return c;
    }
    std::optional<Number> takeNumber() {
        constexpr int kMostDigits = 15; // what a double holds; further decimals are far below 10^-7 degree
        double digitsTogether = 0;
        double scale = 1;
        int digits = 0;
        for (; isDigit(peek()); ++m_at, ++digits)
            digitsTogether = digitsTogether * 10 + (peek() - '0');
        if (digits == 0 || digits > kMostDigits)
            return std::nullopt;
        Number number;
        if ((peek() == '.' || peek() == ',') && m_at + 1 < m_text.size() && isDigit(m_text[m_at + 1]))
            for (++m_at; isDigit(peek()); ++m_at)
                if (digits + number.decimals < kMostDigits) {
                    digitsTogether = digitsTogether * 10 + (peek() - '0');
                    scale *= 10;
                    ++number.decimals;
                }
        // One division of two whole numbers: the double nearest to what was written.
        number.value = digitsTogether / scale;
        return number;
    }

private:
    std::string_view m_text;
    std::size_t m_at{0};
};

/// One coordinate with what was said of its half of the Earth.
struct Coordinate {
    double degrees{0}; ///< without its sign
    double step{1};
    bool isNegative{false};
    int parts{0}; ///< numbers: degrees, minutes, seconds
    std::optional<char> letter;
};

bool isNegativeLetter(char letter) {
    return letter == 's' || letter == 'w';
}
bool isOf(char letter, Axis axis) {
    return axis == Axis::Latitude ? letter == 'n' || letter == 's' : letter == 'e' || letter == 'w';
}

/// `parts` is how many numbers may follow each other at most.
std::optional<Coordinate> takeCoordinate(Reader& reader, int parts) {
    Coordinate c;
    reader.skipBlanks();
    c.letter = reader.takeLetter();
    const bool isBefore = c.letter.has_value();
    reader.skipBlanks();
    const bool hasMinus = reader.take('-');
    const bool hasPlus = !hasMinus && reader.take('+');
    reader.skipBlanks();
    constexpr std::array<char, 3> kMarks{'d', '\'', '"'};
    double unit = 1;
    bool isEnded = false;
    for (int i = 0; i < parts && !isEnded; ++i) {
        if (i > 0 && !isDigit(reader.peek()))
            break;
        const auto number = reader.takeNumber();
        if (!number || (i > 0 && number->value >= 60))
            return std::nullopt;
        c.degrees += number->value * unit;
        c.step = unit * std::pow(10.0, -number->decimals);
        isEnded = number->decimals > 0; // nothing smaller follows
        ++c.parts;
        unit /= 60;
        reader.skipBlanks();
        reader.take(kMarks[static_cast<std::size_t>(i)]);
        reader.skipBlanks();
    }
    if (!isBefore) {
        c.letter = reader.takeLetter();
        reader.skipBlanks();
    }
    if (c.letter && (hasMinus || hasPlus))
        return std::nullopt;
    c.isNegative = hasMinus || (c.letter && isNegativeLetter(*c.letter));
    return c;
}

Result<TypedDegrees> asDegrees(const Coordinate& c, Axis axis) {
    if (c.letter && !isOf(*c.letter, axis))
        return fail(Code::BadInput, kSwapped);
    const double most = axis == Axis::Latitude ? 90 : 180;
    if (c.degrees > most)
        return fail(Code::OutOfRange, axis == Axis::Latitude ? "latitude" : "longitude");
    const auto e7 = static_cast<std::int32_t>(std::llround(c.degrees * 1e7));
    return TypedDegrees{c.isNegative ? -e7 : e7, c.step};
}

/// The text cut where the second coordinate may begin, most certain first.
std::vector<std::pair<std::string, std::string>> cutsOf(const std::string& text) {
    std::vector<std::pair<std::string, std::string>> cuts;
    const auto cutAt = [&](std::size_t at, std::size_t length) {
        cuts.emplace_back(text.substr(0, at), text.substr(at + length));
    };
    for (const std::string_view sign : {";", ", "})
        if (const auto at = text.find(sign); at != std::string::npos) {
            cutAt(at, sign.size());
            return cuts;
        }
    std::vector<std::size_t> commas;
    for (std::size_t i = 0; i < text.size(); ++i)
        if (text[i] == ',')
            commas.push_back(i);
    // "43.5571,-90.8889" has one, "43,5571,-90,8889" three; of two nobody knows which one parts.
    if (commas.size() == 1 || commas.size() == 3)
        cutAt(commas[commas.size() / 2], 1);
    return cuts;
}

Result<TypedPosition> asPosition(const Coordinate& first, const Coordinate& second) {
    if (first.letter.has_value() != second.letter.has_value())
        return fail(Code::BadInput, kPairForm);
    TypedPosition position;
    position.wasSwapped = first.letter && isOf(*first.letter, Axis::Longitude);
    const Coordinate& lat = position.wasSwapped ? second : first;
    const Coordinate& lon = position.wasSwapped ? first : second;
    if (!lat.letter && lat.degrees > 90 && lat.degrees <= 180 && lon.degrees <= 90)
        return fail(Code::BadInput, kSwapped);
    const auto latitude = asDegrees(lat, Axis::Latitude);
    if (!latitude)
        return fail(latitude.error());
    const auto longitude = asDegrees(lon, Axis::Longitude);
    if (!longitude)
        return fail(longitude.error());
    position.latitude = *latitude;
    position.longitude = *longitude;
    return position;
}

} // namespace

Result<TypedDegrees> degreesIn(std::string_view typed, Axis axis) {
    const std::string text = withPlainSigns(typed);
    Reader reader(text);
    const auto coordinate = takeCoordinate(reader, 3);
    if (!coordinate || !reader.isAtEnd())
        return fail(Code::BadInput, kForm);
    return asDegrees(*coordinate, axis);
}

Result<TypedPosition> positionIn(std::string_view typed) {
    const std::string text = withPlainSigns(typed);
    for (const auto& [one, other] : cutsOf(text)) {
        Reader first(one);
        Reader second(other);
        const auto a = takeCoordinate(first, 3);
        const auto b = takeCoordinate(second, 3);
        if (a && b && first.isAtEnd() && second.isAtEnd())
            return asPosition(*a, *b);
    }
    // By blanks alone: as many numbers in the one as in the other.
    for (const int parts : {1, 2, 3}) {
        Reader reader(text);
        const auto a = takeCoordinate(reader, parts);
        const auto b = a ? takeCoordinate(reader, parts) : std::nullopt;
        if (b && reader.isAtEnd() && a->parts == b->parts)
            return asPosition(*a, *b);
    }
    return fail(Code::BadInput, kPairForm);
}

bool looksSwapped(const LatLon& typed, const LatLon& workplace) {
    constexpr double kNear = 500'000;
    const bool canBeSwapped = std::abs(typed.lon) <= 90.0;
    return canBeSwapped && flightBetween(typed, workplace).metres > kNear &&
           flightBetween({typed.lon, typed.lat}, workplace).metres <= kNear;
}

} // namespace discal::place
