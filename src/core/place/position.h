#pragma once

#include "core/time/instant.h"

#include <cstdint>
#include <optional>
#include <string_view>

namespace discal::place {

/// The datum of every coordinate we hold: WGS84. Recorded with each position, since a position of unknown
/// datum may be 5,359 m off. Source: Chapman and Wieczorek 2020, Georeferencing Best Practices, GBIF.
inline constexpr std::string_view kDatum = "EPSG:4326";

/// Longest distance between two places, half the Earth's girth, in millimetres: no accuracy or uncertainty is
/// greater. Source: upper limit of coordinateUncertaintyInMeters in the TDWG data quality tests, 20037509 m.
inline constexpr std::int64_t kWholeEarthMm = 20'037'509'000;

/// Whether the pair is a place on Earth: latitude -90 to +90, longitude -180 to +180 degrees, both in degrees
/// times 10^7 and both ends included. The 180th meridian may be written either way.
[[nodiscard]] bool isLegal(std::int32_t latE7, std::int32_t lonE7);

/// One measured position, as a receiver gave it. What a receiver estimated, was told or simulated is no fix.
struct Fix {
    time::Instant utc{};        ///< the receiver's own UTC, not the phone's
    std::int64_t upMs{0};       ///< the phone's uptime when it arrived, in milliseconds; runs on in sleep
    std::int32_t latE7{0};      ///< degrees times 10^7, north positive
    std::int32_t lonE7{0};      ///< degrees times 10^7, east positive
    std::int64_t accuracyMm{0}; ///< radius that holds about 50 to 68 % of such fixes; 0 or less: unusable

    bool operator==(const Fix&) const = default;
};

/// A place with its uncertainty, as it goes into a line. Coordinates at full precision; never coarsened here.
struct Position {
    /// How we came to know it.
    enum class Origin : std::uint8_t {
        Receiver, ///< averaged from fixes
        Site,     ///< the chosen site's own position
        Typed,    ///< typed in by a person
    };

    std::int32_t latE7{0};
    std::int32_t lonE7{0};
    /// Radius of the circle that holds the true place (point-radius method), in mm: 1 to kWholeEarthMm, never
    /// 0.
    std::int64_t uncertaintyMm{0};
    int fixCount{0};                            ///< fixes averaged; 0 unless from a receiver
    std::int64_t ageMs{0};                      ///< of the newest fix used, at the time of the note
    std::optional<time::Instant> receiverUtc{}; ///< of the newest fix used
    std::int64_t accuracyMm{0};                 ///< combined, before doubling; 0 unless from a receiver
    Origin origin{Origin::Receiver};

    bool operator==(const Position&) const = default;
};

/// Whether p may be written into a line: legal coordinates, uncertainty 1 to kWholeEarthMm, no negative
/// count, age or accuracy, at least one fix if it claims a receiver. A Position made with no values is not
/// legal.
[[nodiscard]] bool isLegal(const Position& p);

/// The word written in lines: "receiver", "site" or "typed" (do not change, part of the format on disk).
[[nodiscard]] std::string_view wordFor(Position::Origin origin);
/// nullopt for any other word; upper case is another word.
[[nodiscard]] std::optional<Position::Origin> originFromWord(std::string_view word);

} // namespace discal::place
