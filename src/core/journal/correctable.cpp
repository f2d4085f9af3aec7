#include "core/journal/correctable.h"

#include "core/journal/line.h"
#include "core/journal/subjects.h"
#include "core/place/position.h"
#include "core/tag/sheet.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <limits>
#include <string>

namespace discal::journal {

namespace json = boost::json;

namespace {

using Value = Correctable::Value;

constexpr std::int64_t kMany = 1'000'000; // of people, eggs or minutes: our choice, above any season

constexpr Correctable kAt{"at", Value::Time};
constexpr Correctable kOffset{"offset_min", Value::Number, -1440, 1440};
constexpr Correctable kCode{"code", Value::Code};
constexpr Correctable kSex{"sex", Value::Word, 0, 0, "female male unknown"};
constexpr Correctable kOrigin{"origin", Value::Word, 0, 0, "wild reared"};
constexpr Correctable kCage{"cage", Value::Text};
constexpr Correctable kTag{"tag", Value::Word, 0, 0, "on off"};
constexpr Correctable kPlace{"place", Value::Place};
constexpr Correctable kName{"name", Value::Name};
constexpr Correctable kStage{"stage", Value::Word, 0, 0, "egg larva pupa"};
constexpr Correctable kCount{"count", Value::Number, 0, kMany};
constexpr Correctable kFirst{"first", Value::Code};
constexpr Correctable kForewing{"forewing_um", Value::Number, 1'000, 200'000};
constexpr Correctable kWear{"wear", Value::Number, 0, 5};
constexpr Correctable kWearScale{"wear_scale", Value::Word, 0, 0, "1-5 0-4"};
constexpr Correctable kMated{"mated", Value::Claim};
constexpr Correctable kSample{"parasite_sample", Value::Text};

constexpr std::array kNamed{kName};
constexpr std::array kSite{kName, Correctable{"radius_mm", Value::Number, 0, place::kWholeEarthMm}};
constexpr std::array kSheet{kFirst, Correctable{"count", Value::Number, 1, tag::kMaxRunLength}, kAt, kOffset};
constexpr std::array kTags{kFirst, Correctable{"count", Value::Number, 1, kLongestTagRun}, kAt, kOffset};
constexpr std::array kOpened{Correctable{"site", Value::Id}, kOrigin, kCage, kAt, kOffset};
constexpr std::array kClosed{Correctable{"effort_min", Value::Number, 0, kMany},
                             Correctable{"people", Value::Number, 0, kMany}, kAt, kOffset};
constexpr std::array kNoted{kCode,
                            kSex,
                            kOrigin,
                            Correctable{"tagger", Value::Id},
                            Correctable{"lot", Value::Id},
                            Correctable{"taken", Value::Place},
                            kForewing,
                            kWear,
                            kWearScale,
                            kMated,
                            kSample,
                            kAt,
                            kOffset};
constexpr std::array kHeld{kCage, kAt, kOffset};
constexpr std::array kReleased{kPlace, Correctable{"hand", Value::Id}, kAt, kOffset};
constexpr std::array kEscaped{kTag, kPlace, kAt, kOffset};
constexpr std::array kDied{kTag, kAt, kOffset};
constexpr std::array kUntagged{
    Correctable{"why", Value::Word, 0, 0, "hurt worn"}, kSex, kOrigin, kPlace, kAt, kOffset};
constexpr std::array kRetagged{kCode, kAt, kOffset};
constexpr std::array kRecaptured{Correctable{"mark", Value::Word, 0, 0, "readable worn unreadable gone"},
                                 kCode,
                                 Correctable{"text", Value::Text},
                                 kSex,
                                 kOrigin,
                                 kPlace,
                                 kForewing,
                                 kWear,
                                 kWearScale,
                                 kMated,
                                 kSample,
                                 kAt,
                                 kOffset};
constexpr std::array kMeasured{kForewing, kWear, kWearScale, kMated, kSample, kAt, kOffset};
constexpr std::array kSpoiled{kCode, Correctable{"next", Value::Code}, kAt, kOffset};
constexpr std::array kCompared{Correctable{"offered", Value::Code}, Correctable{"says", Value::Code}, kAt, kOffset};
constexpr std::array kLot{kName, kStage, kCount, kAt, kOffset};
constexpr std::array kCounted{kStage, kCount, kAt, kOffset};
constexpr std::array kWeather{Correctable{"air_millicelsius", Value::Number, -100'000, 100'000},
                              Correctable{"wind_mm_s", Value::Number, 0, 200'000},
                              Correctable{"cloud_percent", Value::Number, 0, 100},
                              Correctable{"rain", Value::Claim},
                              kAt,
                              kOffset};

Result<void> badInput(const Correctable& field, std::string_view expected) {
    return fail(Code::BadInput, std::string(field.field) + ": " + std::string(expected));
}

bool isOneOf(std::string_view words, std::string_view word) {
    for (std::size_t at = 0; at < words.size();) {
        const auto end = std::min(words.find(' ', at), words.size());
        if (words.substr(at, end - at) == word)
            return true;
        at = end + 1;
    }
    return false;
}

/// As a person may type it: a receiver's averages and fixes can't be made up.
bool isTypedPosition(const json::object& p) {
    const auto lat = numberIn(p, "lat_e7");
    const auto lon = numberIn(p, "lon_e7");
    const auto within = numberIn(p, "uncertainty_mm");
    constexpr std::int64_t kMost = std::numeric_limits<std::int32_t>::max();
    if (!lat || !lon || !within || std::max(*lat, *lon) > kMost || std::min(*lat, *lon) < -kMost)
        return false;
    place::Position position;
    position.origin = place::Position::Origin::Typed;
    position.latE7 = static_cast<std::int32_t>(*lat);
    position.lonE7 = static_cast<std::int32_t>(*lon);
    position.uncertaintyMm = *within;
    return place::isLegal(position) && textIn(p, "datum") == place::kDatum &&
           textIn(p, "origin") == place::wordFor(position.origin) && p.size() == 5;
}

Result<void> checkPlace(const Correctable& field, const json::object& place) {
    const auto* site = place.if_contains("site");
    const auto* position = place.if_contains("position");
    const std::size_t said = (site != nullptr ? 1U : 0U) + (position != nullptr ? 1U : 0U);
    // What the place is in words, and where they are from.
    const bool hasWords = place.contains("words") || place.contains("gazetteer");
    if (said == 0 || said + (hasWords ? 2U : 0U) != place.size() || (site != nullptr && !idIn(place, "site")) ||
        (hasWords && (!textIn(place, "words") || !textIn(place, "gazetteer"))))
        return badInput(field, "a site, a typed position, or both");
    if (position != nullptr && (!position->is_object() || !isTypedPosition(position->as_object())))
        return fail(Code::NotAPosition);
    return {};
}

} // namespace

std::span<const Correctable> correctableOf(Kind kind) {
    switch (kind) {
    case Kind::DeviceStarted:
    case Kind::StationFounded:
    case Kind::StationSet:
        return kNamed;
    case Kind::SiteSet:
        return kSite;
    case Kind::SheetReceived:
    case Kind::SheetHanded:
    case Kind::SheetTaken:
        return kSheet;
    case Kind::SessionOpened:
        return kOpened;
    case Kind::SessionClosed:
        return kClosed;
    case Kind::ButterflyNoted:
        return kNoted;
    case Kind::ButterflyHeld:
        return kHeld;
    case Kind::ButterflyReleased:
        return kReleased;
    case Kind::ButterflyEscaped:
        return kEscaped;
    case Kind::ButterflyDied:
        return kDied;
    case Kind::ButterflyUntagged:
        return kUntagged;
    case Kind::ButterflyRetagged:
        return kRetagged;
    case Kind::ButterflyRecaptured:
        return kRecaptured;
    case Kind::ButterflyMeasured:
        return kMeasured;
    case Kind::TagSpoiled:
        return kSpoiled;
    case Kind::TagCompared:
        return kCompared;
    case Kind::TagMissing:
    case Kind::TagPaper:
    case Kind::TagGiven:
        return kTags;
    case Kind::LotStarted:
        return kLot;
    case Kind::LotCounted:
        return kCounted;
    case Kind::WeatherRead:
        return kWeather;
    case Kind::DeviceEnrolled:
    case Kind::PersonNamed:
    case Kind::EntryCorrected:
    case Kind::EntryWithdrawn:
    case Kind::DoubtSettled:
    case Kind::DaySigned:
    case Kind::BlobErased:
    case Kind::Unknown:
        break;
    }
    return {};
}

const Correctable* correctable(Kind kind, std::string_view field) {
    const auto fields = correctableOf(kind);
    const auto at =
        std::find_if(fields.begin(), fields.end(), [&](const Correctable& c) { return c.field == field; });
    return at == fields.end() ? nullptr : &*at;
}

Result<json::value> correctedValue(const Correctable& field, std::string_view typed) {
    json::value value(typed);
    switch (field.value) {
    case Value::Code:
        if (const auto code = tag::Code::fromText(typed))
            value = code->text();
        break;
    case Value::Number: {
        std::int64_t number = 0;
        const auto end = std::from_chars(typed.data(), typed.data() + typed.size(), number);
        if (end.ec == std::errc() && end.ptr == typed.data() + typed.size())
            value = number;
        break;
    }
    case Value::Claim:
        if (typed == "yes" || typed == "no")
            value = typed == "yes";
        break;
    case Value::Time:
        if (const auto at = time::parseUtc(typed))
            value = time::formatUtc(*at);
        break;
    case Value::Word:
    case Value::Name:
    case Value::Text:
    case Value::Id:
    case Value::Place:
        break;
    }
    if (auto ok = checkCorrected(field, value); !ok)
        return fail(ok.error());
    return value;
}

Result<void> checkCorrected(const Correctable& field, const json::value& value) {
    const std::string_view text =
        value.is_string() ? std::string_view(value.as_string()) : std::string_view();
    switch (field.value) {
    case Value::Code:
        if (const auto code = tag::Code::fromText(text); !code)
            return fail(code.error());
        else if (code->text() != text)
            return fail(Code::NotACode, code->text());
        return {};
    case Value::Number:
        if (!value.is_int64())
            return badInput(field, "a whole number");
        if (value.as_int64() < field.least || value.as_int64() > field.most)
            return fail(Code::OutOfRange, std::string(field.field) + ": " + std::to_string(field.least) +
                                              " to " + std::to_string(field.most));
        return {};
    case Value::Claim:
        return value.is_bool() ? Result<void>() : badInput(field, "yes or no");
    case Value::Time:
        if (const auto at = time::parseUtc(text); !at || time::formatUtc(*at) != text)
            return badInput(field, "such as 2026-09-05T14:03:20Z");
        return {};
    case Value::Word:
        return isOneOf(field.words, text) && !text.empty()
                   ? Result<void>()
                   : badInput(field, "one of " + std::string(field.words));
    case Value::Name:
        return text.empty() ? badInput(field, "a name") : Result<void>();
    case Value::Text:
        return value.is_string() ? Result<void>() : badInput(field, "a text");
    case Value::Id:
        return Uuid::parse(text) ? Result<void>() : badInput(field, "an id");
    case Value::Place:
        return value.is_object() ? checkPlace(field, value.as_object())
                                 : badInput(field, "a site, a typed position, or both");
    }
    return {};
}

Result<void> checkCorrectedBody(Kind kind, const json::object& body) {
    if (const auto wear = numberIn(body, "wear"); wear && correctable(kind, "wear") != nullptr) {
        const auto scale = textIn(body, "wear_scale");
        const bool isOneToFive = scale == "1-5" && *wear >= 1 && *wear <= 5;
        const bool isZeroToFour = scale == "0-4" && *wear >= 0 && *wear <= 4;
        if (!isOneToFive && !isZeroToFour)
            return fail(Code::OutOfRange, "wear: 1 to 5 on scale 1-5, or 0 to 4 on scale 0-4; where none is "
                                          "said, say wear_scale first");
    }
    if (correctable(kind, "first") != nullptr)
        if (const auto run = tag::runIn(body); !run)
            return fail(run.error());
    return {};
}

} // namespace discal::journal
