#pragma once

#include "services/field_session.h"
#include "services/line_writer.h"

#include <cstdint>
#include <optional>

namespace discal::services {

/// What a person reads off a thermometer and the sky; what is not said stays open.
struct Weather {
    std::optional<std::int64_t> airMillicelsius{};
    std::optional<std::int64_t> windMmPerS{};
    std::optional<std::int64_t> cloudPercent{};
    std::optional<bool> isRaining{};
};

/// Adds it to the open session, or opens one. A tap of its own. BadInput when nothing is said, OutOfRange for what
/// core/journal/correctable.h would not take.
[[nodiscard]] Result<Saved> readWeather(LineWriter& writer, FieldSession& session, const Weather& weather);

} // namespace discal::services
