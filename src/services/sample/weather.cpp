#include "services/sample/weather.h"

namespace discal::services::sample {

Result<Saved> readWeather(LineWriter& writer, FieldSession& session, const Weather& weather) {
    boost::json::object body{{"air_millicelsius", weather.airMillicelsius}};
    if (weather.windMmPerS)
        body["wind_mm_s"] = *weather.windMmPerS;
    if (weather.cloudPercent)
        body["cloud_percent"] = *weather.cloudPercent;
    if (weather.isRaining)
        body["rain"] = *weather.isRaining;
    auto commit = writer.begin();
    const auto id = session.ensureOpen(commit);
    if (!id)
        return fail(id.error());
    commit.newAct();
    commit.add(journal::Kind::WeatherRead, {*id}, std::move(body));
    return commit.save();
}

} // namespace discal::services::sample
