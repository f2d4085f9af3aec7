#include "cli/line_words.h"

#include "cli/output.h"
#include "core/journal/kind.h"

#include <array>
#include <cstdlib>

namespace discal::cli {

namespace json = boost::json;
using journal::Kind;
using journal::Line;
using journal::textIn;

namespace {

/// An integer in 10^-digits as a decimal, without zeros at its end: 515000 of 4 digits is "51.5".
std::string decimal(std::int64_t value, int digits) {
    std::string text = std::to_string(std::abs(value));
    const auto places = static_cast<std::size_t>(digits);
    if (text.size() <= places)
        text.insert(0, places + 1 - text.size(), '0');
    std::string fraction = text.substr(text.size() - places);
    fraction.erase(fraction.find_last_not_of('0') + 1);
    std::string out = (value < 0 ? "-" : "") + text.substr(0, text.size() - places);
    return fraction.empty() ? out : out + "." + fraction;
}

std::string positionWords(const json::object& p) {
    const auto lat = journal::numberIn(p, "lat_e7");
    const auto lon = journal::numberIn(p, "lon_e7");
    if (!lat || !lon)
        return {};
    std::string out = decimal(*lat, 7) + ", " + decimal(*lon, 7);
    if (const auto within = journal::numberIn(p, "uncertainty_mm"))
        out += " (within " + decimal((*within + 99) / 100 * 100, 3) + " m)";
    return out;
}

/// Joins what there is with commas.
class Phrase {
public:
    explicit Phrase(std::string first) : m_text(std::move(first)) {}
    Phrase& add(std::string_view before, std::string_view what) {
        if (!what.empty())
            m_text += ", " + std::string(before) + std::string(what);
        return *this;
    }
    Phrase& add(std::string_view what) { return add("", what); }
    /// Where it was, without a comma: "released at Long Meadow".
    Phrase& at(std::string_view where) {
        if (!where.empty())
            m_text += " at " + std::string(where);
        return *this;
    }
    [[nodiscard]] std::string text() const { return m_text; }

private:
    std::string m_text;
};

std::string placeIn(const json::object& body, std::string_view member, Names& names) {
    const auto* place = journal::objectIn(body, member);
    return place == nullptr ? std::string() : placeWords(*place, names);
}

std::string text(const json::object& body, std::string_view member) {
    return std::string(textIn(body, member).value_or(""));
}

std::string sexWords(const json::object& body) {
    const std::string sex = text(body, "sex");
    return sex == "unknown" ? "sex unknown" : sex;
}

void addMeasures(Phrase& phrase, const json::object& body, Names& names) {
    if (const auto um = journal::numberIn(body, "forewing_um"))
        phrase.add("forewing ", decimal(*um, 3) + " mm");
    if (const auto wear = journal::numberIn(body, "wear"))
        phrase.add("wear ", std::to_string(*wear) + " of " + text(body, "wear_scale"));
    if (const auto mated = journal::claimIn(body, "mated"))
        phrase.add(*mated ? "mated" : "not mated");
    phrase.add("parasite sample ", text(body, "parasite_sample"));
    phrase.add("note: ", names.blobText(body, "note"));
}

void addRead(Phrase& phrase, const json::object& body, Names& names) {
    if (const auto perMille = journal::numberIn(body, "read_per_mille"))
        phrase.add("read by the camera, ", decimal(*perMille, 1) + " % sure");
    if (journal::blobIn(body, "picture"))
        phrase.add("its picture ", names.blobText(body, "picture") == "(erased)" ? "erased" : "kept");
}

std::string runWords(const json::object& body) {
    const auto run = tag::runIn(body);
    return run ? run->text() : text(body, "first");
}

std::string countWords(const json::object& body) {
    const auto count = journal::numberIn(body, "count").value_or(1);
    return counted(count, "tag", "tags");
}

std::string cageWords(const json::object& body) {
    const std::string cage = text(body, "cage");
    return cage.empty() ? "held in a cage" : "held in cage " + cage;
}

std::string inferred(const json::object& body) {
    return journal::claimIn(body, "inferred").value_or(false) ? "inferred" : "";
}

std::string correctionWords(const json::object& body, Names& names) {
    std::string out = "corrected";
    if (const auto* set = journal::objectIn(body, "set"))
        for (const auto& member : *set)
            out += (out == "corrected" ? ": " : ", ") + std::string(member.key()) + " is " +
                   valueWords(member.key(), member.value(), names);
    const std::string why = text(body, "why");
    return why.empty() ? out : out + " (" + why + ")";
}

std::string stationWords(Kind kind, const json::object& body, Names& names) {
    switch (kind) {
    case Kind::DeviceStarted: {
        Phrase phrase("device began its chain");
        phrase.add(text(body, "name")).add(text(body, "app"));
        if (textIn(body, "sample"))
            phrase.add("a sample journal");
        if (const auto* before = journal::objectIn(body, "continues"))
            phrase.add("goes on from ", names.device(text(*before, "device")) + ": " + text(*before, "why"));
        return phrase.text();
    }
    case Kind::DeviceEnrolled:
        return names.device(text(body, "device")) + " enrolled as " + text(body, "role");
    case Kind::StationFounded:
        return "station founded: " + text(body, "name");
    case Kind::StationSet:
        return Phrase("station described").add(text(body, "name")).text();
    case Kind::SiteSet: {
        Phrase phrase("site " + text(body, "name"));
        if (const auto* position = journal::objectIn(body, "position"))
            phrase.add(positionWords(*position));
        if (const auto radius = journal::numberIn(body, "radius_mm"))
            phrase.add("radius ", decimal(*radius, 3) + " m");
        return phrase.text();
    }
    case Kind::PersonNamed:
        if (const auto number = journal::numberIn(body, "visitor"))
            return "visitor " + std::to_string(*number);
        return "person " + names.blobText(body, "initials");
    case Kind::SessionOpened:
        return Phrase("session opened").at(names.site(text(body, "site"))).text();
    case Kind::SessionClosed: {
        Phrase phrase("session closed");
        if (const auto minutes = journal::numberIn(body, "effort_min"))
            phrase.add(counted(*minutes, "minute", "minutes"));
        if (const auto people = journal::numberIn(body, "people"))
            phrase.add(counted(*people, "person", "people"));
        return phrase.add("note: ", names.blobText(body, "note")).add(inferred(body)).text();
    }
    case Kind::LotStarted:
    case Kind::LotCounted: {
        const auto count = journal::numberIn(body, "count").value_or(0);
        return (kind == Kind::LotStarted ? "rearing lot " + text(body, "name") + " started"
                                         : "rearing lot counted") +
               ": " + std::to_string(count) + " as " + text(body, "stage");
    }
    case Kind::WeatherRead:
        return "weather read";
    case Kind::DaySigned:
        return "day signed off";
    default:
        return {};
    }
}

std::string sheetWords(Kind kind, const json::object& body, Names& names) {
    switch (kind) {
    case Kind::SheetReceived:
        return "taken into stock, " + countWords(body);
    case Kind::SheetHanded:
        return "handed to " + names.device(text(body, "to")) + ", " + countWords(body);
    case Kind::SheetTaken:
        return "taken into this hand, " + countWords(body);
    case Kind::TagSpoiled:
        return Phrase("spoiled").add("the butterfly gets ", text(body, "next")).text();
    case Kind::TagMissing:
        return "missing, " + countWords(body);
    case Kind::TagPaper:
        return "used on paper, " + countWords(body);
    case Kind::TagGiven:
        return Phrase("given away, " + countWords(body)).add("to ", names.blobText(body, "note")).text();
    case Kind::TagCompared:
        return "compared: " + text(body, "says") + " on the paper, " + text(body, "offered") + " offered";
    default:
        return {};
    }
}

std::string butterflyWords(Kind kind, const json::object& body, Names& names) {
    const bool hasTag = text(body, "tag") == "on";
    switch (kind) {
    case Kind::ButterflyNoted: {
        Phrase phrase("noted");
        phrase.add(sexWords(body));
        phrase.add(textIn(body, "origin") ? text(body, "origin") : "origin not said");
        phrase.add("from lot ", names.lot(text(body, "lot")));
        phrase.add("taken at ", placeIn(body, "taken", names));
        phrase.add("tagged by ", names.person(text(body, "tagger")));
        addMeasures(phrase, body, names);
        addRead(phrase, body, names);
        return phrase.text();
    }
    case Kind::ButterflyHeld:
        return Phrase(cageWords(body)).add(inferred(body)).text();
    case Kind::ButterflyReleased: {
        const std::string except = text(body, "except");
        if (except == "stayed")
            return "not released after all: it stayed";
        if (except == "died")
            return "not released after all: it died";
        Phrase phrase = Phrase("released").at(placeIn(body, "place", names));
        phrase.add("from the hand of ", names.person(text(body, "hand")));
        return phrase.add(inferred(body)).text();
    }
    case Kind::ButterflyEscaped:
        return Phrase(hasTag ? "flew with its tag on" : "flew without a tag")
            .at(placeIn(body, "place", names))
            .text();
    case Kind::ButterflyDied:
        return hasTag ? "died, its tag on" : "died, its tag off";
    case Kind::ButterflyUntagged: {
        Phrase phrase("let be without a tag");
        phrase.add("because ", text(body, "why")).add(sexWords(body)).add(text(body, "origin"));
        return phrase.at(placeIn(body, "place", names)).text();
    }
    case Kind::ButterflyRetagged:
        return "put on as a further tag";
    case Kind::ButterflyRecaptured: {
        Phrase phrase("recaptured");
        const std::string mark = text(body, "mark");
        phrase.add(mark == "gone" ? "its tag gone" : mark.empty() ? "" : "tag " + mark);
        if (!textIn(body, "code"))
            phrase.add("read as ", text(body, "text"));
        phrase.add(sexWords(body)).add(text(body, "origin")).at(placeIn(body, "place", names));
        addMeasures(phrase, body, names);
        addRead(phrase, body, names);
        return phrase.text();
    }
    case Kind::ButterflyMeasured: {
        Phrase phrase("measured");
        addMeasures(phrase, body, names);
        return phrase.text();
    }
    default:
        return {};
    }
}

} // namespace

std::string valueWords(std::string_view field, const json::value& value, Names& names) {
    if (value.is_null())
        return "not said";
    if (value.is_string()) {
        const std::string said(value.as_string());
        if (field == "tagger" || field == "hand")
            return names.person(said);
        if (field == "lot")
            return names.lot(said);
        if (field == "site" && !said.empty())
            return names.site(said);
        return said.empty() ? "not said" : said;
    }
    if ((field == "taken" || field == "place") && value.is_object())
        return placeWords(value.as_object(), names);
    if (field == "forewing_um" && value.is_int64())
        return decimal(value.as_int64(), 3) + " mm";
    if (field == "radius_mm" && value.is_int64())
        return decimal(value.as_int64(), 3) + " m";
    if (value.is_bool())
        return value.as_bool() ? "yes" : "no";
    return json::serialize(value);
}

std::string localTime(time::Instant instant, std::chrono::minutes offset) {
    constexpr std::array<const char*, 12> kMonths{"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                                  "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    const std::string date = time::localDate(instant, offset);
    const auto month = static_cast<std::size_t>((date[5] - '0') * 10 + (date[6] - '0'));
    const std::string day = date[8] == '0' ? date.substr(9, 1) : date.substr(8, 2);
    return day + " " + kMonths[month - 1] + " " + date.substr(0, 4) + " " + time::localTime(instant, offset);
}

std::string localTime(const std::string& utc, std::int64_t offsetMin) {
    const auto instant = time::parseUtc(utc);
    return instant ? localTime(*instant, std::chrono::minutes(offsetMin)) : utc;
}

std::string placeWords(const json::object& place, Names& names) {
    std::string out = names.site(text(place, "site"));
    // Words begin with the site, where the place lies in it.
    if (const std::string words = text(place, "words"); words.starts_with(out))
        out = words;
    else if (!words.empty())
        out += ", " + words;
    if (const auto* position = journal::objectIn(place, "position")) {
        const std::string where = positionWords(*position);
        out += out.empty() || where.empty() ? where : ", " + where;
    }
    return out;
}

std::string codeOf(const Line& line, Names& names) {
    if (const auto code = textIn(line.body, "code"))
        return std::string(*code);
    if (line.kind.starts_with("sheet.") || line.kind.starts_with("tag."))
        return runWords(line.body);
    if (line.kind.starts_with("butterfly.") && !line.about.empty())
        return names.codeOf(line.about.front().text());
    if (line.kind == journal::textOf(Kind::EntryCorrected))
        if (const auto of = journal::idIn(line.body, "of"))
            if (const auto corrected = names.lineWithId(*of); corrected && corrected->kind != line.kind) {
                // The tag may have changed since that line: people know the butterfly by the one it has now.
                const bool isOfOne = corrected->kind.starts_with("butterfly.") && !corrected->about.empty();
                const std::string now =
                    isOfOne ? names.codeOf(corrected->about.front().text()) : std::string();
                return now.empty() ? codeOf(*corrected, names) : now;
            }
    return {};
}

std::string wordsOf(const Line& line, Names& names) {
    const Kind kind = journal::kindOf(line.kind);
    if (kind == Kind::Unknown || line.version > journal::knownVersion(kind))
        return line.kind + " (" + std::string(kNeedsNewer) + ")";
    if (kind == Kind::EntryCorrected)
        return correctionWords(line.body, names);
    if (kind == Kind::EntryWithdrawn)
        return Phrase("something taken back").add(text(line.body, "why")).text();
    if (kind == Kind::DoubtSettled)
        return "doubt settled: " + text(line.body, "choice") + " (" + text(line.body, "why") + ")";
    if (kind == Kind::BlobErased)
        return "initials, note or picture erased (" + text(line.body, "why") + ")";
    for (const auto words : {butterflyWords, sheetWords, stationWords})
        if (std::string out = words(kind, line.body, names); !out.empty())
            return out;
    return line.kind;
}

std::string sentenceOf(const Line& line, Names& names) {
    const std::string code = codeOf(line, names);
    std::string out = wordsOf(line, names);
    if (!code.empty())
        return code + " " + out;
    if (line.kind.starts_with("butterfly."))
        return "A butterfly without a code: " + out;
    if (!out.empty() && out[0] >= 'a' && out[0] <= 'z')
        out[0] = static_cast<char>(out[0] - 'a' + 'A');
    return out;
}

std::string nameOf(const butterfly::Butterfly& butterfly) {
    return butterfly.currentCode().value_or("The butterfly without a code (" + butterfly.id.text() + ")");
}

} // namespace discal::cli
