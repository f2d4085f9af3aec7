#include "cli/coordinate_words.h"
#include "cli/error_text.h"
#include "cli/output.h"
#include "cli/table.h"
#include "cli/verbs.h"
#include "core/exchange/day_table.h"
#include "core/place/compass.h"
#include "core/place/geodesy.h"
#include "core/place/words.h"

#include <array>
#include <cmath>
#include <memory>

namespace discal::cli {

namespace {

using place::Axis;

struct Typed {
    std::vector<std::string> ends;
    std::string table;
};

/// Of latitude, longitude, latitude, longitude.
Result<place::Flight> flightOf(const std::vector<std::string>& four) {
    std::array<double, 4> degrees{};
    for (std::size_t i = 0; i < degrees.size(); ++i) {
        const Axis axis = i % 2 == 0 ? Axis::Latitude : Axis::Longitude;
        if (four[i].empty())
            return fail(Code::MissingMember, axis == Axis::Latitude ? "latitude" : "longitude");
        const auto value = fullDegrees(four[i], axis);
        if (!value)
            return fail(value.error());
        degrees[i] = *value;
    }
    return place::flightBetween({degrees[0], degrees[1]}, {degrees[2], degrees[3]});
}

/// A tenth of a millimetre; a thousand millionth of a degree.
std::string metresText(double metres) {
    return exchange::decimalText(std::llround(metres * 1e4), 4);
}
std::string azimuthText(double degrees) {
    return exchange::decimalText(std::llround(degrees * 1e9), 9);
}

std::string why(const Error& error) {
    return error.code == Code::MissingMember ? error.detail + " is empty" : coordinateText(error);
}

int run(const Call& call, const Typed& typed) {
    if (typed.table.empty() == typed.ends.empty())
        return misunderstood("Give LAT1 LON1 LAT2 LON2, or --table IN.csv.");
    if (!typed.table.empty()) {
        TableWork work;
        work.file = typed.table;
        work.needed = {"lat1", "lon1", "lat2", "lon2"};
        work.added = {"distance_m", "azimuth1", "azimuth2"};
        work.row = [](const std::vector<std::string>& asked) -> Result<std::vector<std::string>> {
            const auto flight = flightOf(asked);
            if (!flight)
                return fail(flight.error());
            return std::vector<std::string>{metresText(flight->metres), azimuthText(flight->azimuthFrom),
                                            azimuthText(flight->azimuthTo)};
        };
        work.why = why;
        return runTable(work, call.isJson);
    }
    if (typed.ends.size() != 4)
        return misunderstood("A flight has two ends: LAT1 LON1 LAT2 LON2.");
    const auto flight = flightOf(typed.ends);
    if (!flight)
        return refuse("Not done: " + why(flight.error()) + ".");
    const Output out(call.isJson);
    out.say("at least " + place::distanceWords(flight->metres) + ", setting out " +
            std::string(place::compassWord(flight->azimuthFrom)));
    out.say(metresText(flight->metres) + " m, azimuth " + azimuthText(flight->azimuthFrom) +
            " at the start, " + azimuthText(flight->azimuthTo) + " at the end");
    boost::json::object object;
    object["distance_m"] = std::round(flight->metres * 1e4) / 1e4;
    object["azimuth1"] = flight->azimuthFrom;
    object["azimuth2"] = flight->azimuthTo;
    object["bearing"] = place::compassWord(flight->azimuthFrom);
    out.put(object);
    return kDone;
}

} // namespace

void addFlightVerb(CLI::App& app, Call& call) {
    const auto typed = std::make_shared<Typed>();
    CLI::App& verb =
        addVerb(app, call, "flight", "The shortest way between two places, on the WGS84 ellipsoid",
                "flight 43.5571 -90.8889 19.5949 -100.2610", On::NoJournal,
                [&call, typed] { return run(call, *typed); });
    verb.add_option("ends", typed->ends, "degrees")->type_name("LAT1 LON1 LAT2 LON2");
    verb.add_option("--table", typed->table,
                    "rows with lat1,lon1,lat2,lon2 get distance_m, azimuth1, azimuth2")
        ->type_name("IN.csv");
}

} // namespace discal::cli
