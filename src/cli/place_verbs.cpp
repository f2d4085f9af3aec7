#include "cli/coordinate_words.h"
#include "cli/error_text.h"
#include "cli/output.h"
#include "cli/table.h"
#include "cli/verbs.h"
#include "core/exchange/day_table.h"
#include "core/place/place_pack.h"
#include "core/place/uncertainty.h"
#include "core/place/words.h"
#include "services/system/own_gazetteer.h"
#include "storage/durable_file.h"

#include <charconv>
#include <cmath>
#include <memory>

namespace discal::cli {

namespace json = boost::json;

namespace {

struct Typed {
    std::vector<std::string> position;
    std::string uncertainty;
    std::string pack;
    std::string table;
    std::string find;
    std::string near;
    std::size_t most{10};
};

/// The gazetteer, checked whole, and the pack if one was given.
struct Names {
    services::OpenGazetteer gazetteer;
    std::optional<place::PlacePack> pack;
    [[nodiscard]] place::Place locate(const place::LatLon& at, double uncertainty) const {
        return gazetteer.names.locate(at, uncertainty, pack ? &*pack : nullptr);
    }
};

Result<Names> openNames(const std::string& packFile) {
    auto gazetteer = services::openChecked();
    if (!gazetteer)
        return fail(gazetteer.error());
    Names names{std::move(*gazetteer), std::nullopt};
    if (!packFile.empty()) {
        const auto text = storage::readWhole(packFile);
        if (!text)
            return fail(text.error());
        if (!*text)
            return fail(Code::NotFound, packFile);
        auto pack = place::PlacePack::fromGeoJson(**text);
        if (!pack) {
            Error error = pack.error();
            if (error.number > 0)
                error.detail += " in feature " + std::to_string(error.number) + " of " + packFile;
            return fail(error);
        }
        names.pack = std::move(*pack);
    }
    return names;
}

std::string yesOrNo(bool is) {
    return is ? "yes" : "no";
}

std::string kilometres(double metres) {
    return exchange::decimalText(std::llround(metres / 10), 2);
}

std::string_view wordFor(place::CountyBy by) {
    switch (by) {
    case place::CountyBy::Boundary:
        return "boundary";
    case place::CountyBy::NearestShore:
        return "nearest shore";
    case place::CountyBy::NearestTown:
        return "nearest town";
    case place::CountyBy::Pack:
        return "place pack";
    case place::CountyBy::Nothing:
        break;
    }
    return "";
}

const std::vector<std::string> kColumns{"country",      "country_name", "state_province", "state_code",
                                        "county",       "county_code",  "county_certain", "county_other",
                                        "nearest_town", "distance_km",  "bearing",        "offshore",
                                        "elevation_m",  "gazetteer"};

std::vector<std::string> fieldsOf(const place::Place& place, std::string_view edition) {
    const auto& town = place.town;
    return {place.country.code,
            place.country.name,
            place.region.name,
            place.region.code,
            place.county.name,
            place.county.code,
            place.county.name.empty() ? "" : yesOrNo(place.isCountyCertain()),
            place::neighbourWords(place),
            town ? town->name : "",
            town ? kilometres(town->metres) : "",
            town ? std::string(town->bearing) : "",
            yesOrNo(place.isOffshore),
            town && town->elevationMetres ? std::to_string(*town->elevationMetres) : "",
            std::string(edition)};
}

json::value textOrNull(const std::string& text) {
    return text.empty() ? json::value(nullptr) : json::value(text);
}

json::object objectOf(const place::Place& place, std::string_view edition) {
    json::object out;
    out["locality"] = place::localityOf(place);
    out["remarks"] = textOrNull(place::remarksOf(place));
    out["country"] = textOrNull(place.country.code);
    out["country_name"] = textOrNull(place.country.name);
    out["state_province"] = textOrNull(place.region.name);
    out["state_code"] = textOrNull(place.region.code);
    out["county"] = textOrNull(place.county.name);
    out["county_code"] = textOrNull(place.county.code);
    out["county_by"] = textOrNull(std::string(wordFor(place.countyBy)));
    out["county_certain"] =
        place.county.name.empty() ? json::value(nullptr) : json::value(place.isCountyCertain());
    out["county_other"] = textOrNull(place::neighbourWords(place));
    out["line_m"] =
        place.neighbour ? json::value(std::llround(place.neighbour->metres)) : json::value(nullptr);
    out["nearest_town"] = place.town ? json::value(place.town->name) : json::value(nullptr);
    out["distance_km"] =
        place.town ? json::value(std::round(place.town->metres / 10) / 100) : json::value(nullptr);
    out["bearing"] = place.town ? json::value(place.town->bearing) : json::value(nullptr);
    out["offshore"] = place.isOffshore;
    out["elevation_m"] = place.town && place.town->elevationMetres ? json::value(*place.town->elevationMetres)
                                                                   : json::value(nullptr);
    out["gazetteer"] = edition;
    return out;
}

/// Metres, not negative.
Result<double> metresIn(const std::string& typed) {
    double metres = 0;
    const char* end = typed.data() + typed.size();
    const auto read = std::from_chars(typed.data(), end, metres);
    if (read.ec != std::errc() || read.ptr != end || !std::isfinite(metres) || metres < 0)
        return fail(Code::BadInput, "an uncertainty in metres, 0 or more");
    return metres;
}

int sayPlace(const Call& call, const Typed& typed) {
    const auto position = typedPosition(typed.position);
    if (!position) {
        std::string why = coordinateText(position.error());
        why.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(why.front())));
        return refuse(why + ".");
    }
    // The precision of what was written is the least that may be off.
    const place::LatLon at = position->latLon();
    const double step = std::max(position->latitude.stepDegrees, position->longitude.stepDegrees);
    const double precision = place::coordinatePrecisionMetres(at.lat, step);
    double uncertainty = precision;
    if (!typed.uncertainty.empty()) {
        const auto said = metresIn(typed.uncertainty);
        if (!said)
            return refuse(coordinateText(said.error()) + ".");
        uncertainty = *said;
    }
    const auto names = openNames(typed.pack);
    if (!names)
        return refuse(names.error());
    const place::Place place = names->locate(at, uncertainty);
    const std::string_view edition = names->gazetteer.names.edition();
    const Output out(call.isJson);
    json::object object = objectOf(place, edition);
    object["lat"] = at.lat;
    object["lon"] = at.lon;
    object["uncertainty_m"] = std::ceil(uncertainty);
    object["coordinate_precision_m"] = std::ceil(precision);
    out.put(object);
    const std::string locality = place::localityOf(place);
    out.say(locality.empty() ? "No place is known there." : locality);
    if (const std::string remarks = place::remarksOf(place); !remarks.empty())
        out.say("Note: " + remarks + ".");
    const auto row = [&out](std::string_view name, const std::string& value, const std::string& code = {}) {
        if (!value.empty())
            out.say(column(name, 12) + value + (code.empty() ? "" : " (" + code + ")"));
    };
    row("country", place.country.name, place.country.code);
    row("state", place.region.name, place.region.code);
    row("county", place.county.name, place.county.code);
    if (place.town)
        row("town", place.town->name,
            place.town->elevationMetres ? std::to_string(*place.town->elevationMetres) + " m up" : "");
    else
        row("town", "none within " + place::distanceWords(place::kTownMetres));
    row("position", exchange::decimalText(position->latitude.degreesE7, 7) + ", " +
                        exchange::decimalText(position->longitude.degreesE7, 7) + ", within " +
                        std::to_string(std::llround(std::ceil(uncertainty))) + " m");
    row("names from", std::string(edition));
    return kDone;
}

int sayTable(const Call& call, const Typed& typed) {
    const auto names = openNames(typed.pack);
    if (!names)
        return refuse(names.error());
    const std::string_view edition = names->gazetteer.names.edition();
    TableWork work;
    work.file = typed.table;
    work.needed = {"id", "lat", "lon"};
    work.wished = {"uncertainty_m"};
    work.added = kColumns;
    work.row = [&](const std::vector<std::string>& asked) -> Result<std::vector<std::string>> {
        if (asked[1].empty() || asked[2].empty())
            return fail(Code::MissingMember, asked[1].empty() ? "latitude" : "longitude");
        const auto lat = fullDegrees(asked[1], place::Axis::Latitude);
        const auto lon = fullDegrees(asked[2], place::Axis::Longitude);
        if (!lat || !lon) {
            const bool wouldDoSwapped =
                fullDegrees(asked[2], place::Axis::Latitude) && fullDegrees(asked[1], place::Axis::Longitude);
            if (wouldDoSwapped)
                return fail(Code::BadInput, "latitude and longitude the other way round");
            return fail(!lat ? lat.error() : lon.error());
        }
        double uncertainty = 0;
        if (!asked[3].empty()) {
            const auto said = metresIn(asked[3]);
            if (!said)
                return fail(said.error());
            uncertainty = *said;
        }
        return fieldsOf(names->locate({*lat, *lon}, uncertainty), edition);
    };
    work.why = [](const Error& error) {
        return error.code == Code::MissingMember ? error.detail + " is empty" : coordinateText(error);
    };
    return runTable(work, call.isJson);
}

int findTown(const Call& call, const Typed& typed) {
    std::optional<place::LatLon> from;
    if (!typed.near.empty()) {
        const auto position = place::positionIn(typed.near);
        if (!position)
            return refuse("--near: " + coordinateText(position.error()) + ".");
        from = position->latLon();
    }
    const auto names = openNames({});
    if (!names)
        return refuse(names.error());
    const auto found = names->gazetteer.names.find(typed.find, from, typed.most);
    if (found.empty())
        return refuse("No town begins with " + typed.find + ".");
    const Output out(call.isJson);
    for (const place::FoundTown& town : found) {
        std::string where = town.county.name;
        for (const std::string* part : {&town.region.name, &town.country.name})
            if (!part->empty())
                where += (where.empty() ? "" : ", ") + *part;
        const auto e4 = [](double degrees) { return exchange::decimalText(std::llround(degrees * 1e4), 4); };
        const std::string position = e4(town.position.lat) + ", " + e4(town.position.lon);
        out.say(column(town.name + ", " + where, 48) + column(position, 20) + "within " +
                place::distanceWords(town.extentMetres) +
                (town.metres ? ", " + place::distanceWords(*town.metres) + " away" : ""));
        json::object object;
        object["town"] = town.name;
        object["county"] = textOrNull(town.county.name);
        object["state_province"] = textOrNull(town.region.name);
        object["state_code"] = textOrNull(town.region.code);
        object["country"] = textOrNull(town.country.code);
        object["country_name"] = textOrNull(town.country.name);
        object["lat"] = town.position.lat;
        object["lon"] = town.position.lon;
        object["people"] = town.people > 0 ? json::value(std::llround(town.people)) : json::value(nullptr);
        object["elevation_m"] =
            town.elevationMetres ? json::value(*town.elevationMetres) : json::value(nullptr);
        object["uncertainty_m"] = std::ceil(town.extentMetres);
        object["distance_km"] =
            town.metres ? json::value(std::round(*town.metres / 10) / 100) : json::value(nullptr);
        object["gazetteer"] = names->gazetteer.names.edition();
        out.put(object);
    }
    return kDone;
}

int run(const Call& call, const Typed& typed) {
    const int asked = static_cast<int>(!typed.position.empty()) + static_cast<int>(!typed.table.empty()) +
                      static_cast<int>(!typed.find.empty());
    if (asked != 1)
        return misunderstood("Give a position (LAT LON), or --table IN.csv, or --find TEXT.");
    if (!typed.table.empty())
        return sayTable(call, typed);
    return typed.find.empty() ? sayPlace(call, typed) : findTown(call, typed);
}

} // namespace

void addPlaceVerbs(CLI::App& app, Call& call) {
    const auto typed = std::make_shared<Typed>();
    CLI::App& verb =
        addVerb(app, call, "place", "Say where a position is, or where a town is; needs no network",
                "place 43.5571 -90.8889", On::NoJournal, [&call, typed] { return run(call, *typed); });
    verb.add_option("position", typed->position,
                    "latitude and longitude: 43.5571 -90.8889, or \"N 43 33.426 W 90 53.334\"")
        ->type_name("LAT LON");
    verb.add_option(
            "--uncertainty", typed->uncertainty,
            "metres; lines nearer than this, or than 1 km, are named. Without it what the digits imply")
        ->type_name("M");
    verb.add_option("--pack", typed->pack, "boundaries of your own, before those of the gazetteer")
        ->type_name("FILE.geojson");
    verb.add_option("--table", typed->table,
                    "rows of id,lat,lon,uncertainty_m get their places; uncertainty_m may be missing")
        ->type_name("IN.csv");
    verb.add_option("--find", typed->find, "towns whose names begin so")->type_name("TEXT");
    verb.add_option("--near", typed->near, "with --find: nearest first")->type_name("LAT,LON");
    verb.add_option("--most", typed->most, "with --find: how many (10)")->type_name("N");
}

} // namespace discal::cli
