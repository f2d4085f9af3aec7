#pragma once

#include "services/field_session.h"
#include "services/line_writer.h"

#include <cstdint>
#include <optional>

namespace discal::services::sample {

/// What a person reads off a thermometer and the sky.
struct Weather {
    std::int64_t airMillicelsius{0};
    std::optional<std::int64_t> windMmPerS{};
    std::optional<std::int64_t> cloudPercent{};
    std::optional<bool> isRaining{};
};

/// Adds it to the open session, or opens one. A tap of its own.
[[nodiscard]] Result<Saved> readWeather(LineWriter& writer, FieldSession& session, const Weather& weather);

} // namespace discal::services::sample
