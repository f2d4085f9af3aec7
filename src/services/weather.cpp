#include "services/weather.h"

#include "core/journal/correctable.h"

namespace discal::services {

Result<Saved> readWeather(LineWriter& writer, FieldSession& session, const Weather& weather) {
    boost::json::object body;
    if (weather.airMillicelsius)
        body["air_millicelsius"] = *weather.airMillicelsius;
    if (weather.windMmPerS)
        body["wind_mm_s"] = *weather.windMmPerS;
    if (weather.cloudPercent)
        body["cloud_percent"] = *weather.cloudPercent;
    if (weather.isRaining)
        body["rain"] = *weather.isRaining;
    if (body.empty())
        return fail(Code::BadInput, "weather: air, wind, cloud or rain");
    for (const auto& said : body)
        if (auto ok = journal::checkCorrected(*journal::correctable(journal::Kind::WeatherRead, said.key()), said.value());
            !ok)
            return fail(ok.error());
    auto commit = writer.begin();
    const auto id = session.ensureOpen(commit);
    if (!id)
        return fail(id.error());
    commit.newAct();
    commit.add(journal::Kind::WeatherRead, {*id}, std::move(body));
    return commit.save();
}

} // namespace discal::services
