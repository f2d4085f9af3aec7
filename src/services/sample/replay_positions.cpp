#include "services/sample/replay_positions.h"

#include "core/place/averaging.h"
#include "core/place/nmea.h"
#include "services/sample/decimal.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cstdlib>
#include <limits>
#include <optional>
#include <string>

namespace discal::services::sample {

namespace {

constexpr std::int64_t kDayMs = 24LL * 60 * 60 * 1000;

/// The time of day that a sentence speaks of, hhmmss with or without a fraction.
std::optional<std::int64_t> timeOfDayMs(std::string_view line) {
    const auto sentence = place::readNmeaSentence(line);
    if (!sentence)
        return std::nullopt;
    const std::string_view type = sentence->type();
    if (type != "GGA" && type != "RMC" && type != "ZDA" && type != "GST")
        return std::nullopt;
    const std::string_view field = sentence->field(1);
    if (field.size() < 6)
        return std::nullopt;
    std::array<std::int64_t, 3> parts{};
    for (std::size_t i = 0; i < 3; ++i) {
        const auto* at = field.data() + 2 * i;
        const auto end = std::from_chars(at, at + 2, parts[i]);
        if (end.ec != std::errc() || end.ptr != at + 2)
            return std::nullopt;
    }
    return ((parts[0] * 60 + parts[1]) * 60 + parts[2]) * 1000;
}

std::string_view nextLine(std::string_view& rest) {
    const auto end = rest.find('\n');
    std::string_view line = rest.substr(0, end);
    rest.remove_prefix(end == std::string_view::npos ? rest.size() : end + 1);
    if (line.ends_with('\r'))
        line.remove_suffix(1);
    return line;
}

} // namespace

Result<Track> trackFromNmea(std::string_view bytes) {
    place::NmeaReader reader;
    Track track;
    const auto take = [&](const std::optional<place::Fix>& fix) {
        if (!fix || (!track.empty() && fix->utc < track.back().utc))
            return;
        track.push_back(*fix);
        track.back().upMs = 0;
    };
    // The reader needs a clock that runs evenly; the log's own times of day, counted on over midnight, are
    // one.
    std::int64_t upMs = 0;
    std::int64_t dayMs = 0;
    while (!bytes.empty()) {
        const std::string_view line = nextLine(bytes);
        if (const auto at = timeOfDayMs(line)) {
            if (dayMs + *at < upMs - kDayMs / 2)
                dayMs += kDayMs;
            upMs = std::max(upMs, dayMs + *at);
        }
        take(reader.feed(line, upMs).fix);
    }
    take(reader.flush());
    if (track.empty())
        return fail(Code::BadInput, "at least one fix: a GGA and an RMC sentence of one time");
    return track;
}

Result<Track> trackFromCsv(std::string_view bytes) {
    constexpr std::string_view kHeader = "time,lat,lon,accuracy_m";
    std::int64_t number = 0;
    const auto expected = [&](std::string what) { return fail(Code::BadInput, std::move(what), number); };
    Track track;
    while (!bytes.empty()) {
        const std::string_view line = nextLine(bytes);
        if (++number == 1) {
            if (line != kHeader)
                return expected("the header " + std::string(kHeader));
            continue;
        }
        if (line.empty() && bytes.empty())
            break;
        std::array<std::string_view, 4> cells;
        std::string_view rest = line;
        for (std::size_t i = 0; i < cells.size(); ++i) {
            const auto comma = rest.find(',');
            if ((comma == std::string_view::npos) != (i + 1 == cells.size()))
                return expected("four cells: " + std::string(kHeader));
            cells[i] = rest.substr(0, comma);
            rest.remove_prefix(comma == std::string_view::npos ? rest.size() : comma + 1);
        }
        const auto utc = time::parseUtc(cells[0]);
        if (!utc)
            return expected("time: such as 2026-09-05T07:42:10-05:00");
        const auto lat = decimal(cells[1], 7);
        const auto lon = decimal(cells[2], 7);
        constexpr std::int64_t kRoom = std::numeric_limits<std::int32_t>::max();
        if (!lat || !lon || std::max(std::abs(*lat), std::abs(*lon)) > kRoom ||
            !place::isLegal(static_cast<std::int32_t>(*lat), static_cast<std::int32_t>(*lon)))
            return expected("lat, lon: decimal degrees, such as 43.5571,-90.8893");
        const auto accuracy = decimal(cells[3], 3);
        if (!accuracy || *accuracy <= 0 || *accuracy > place::kWholeEarthMm)
            return expected("accuracy_m: metres above 0");
        if (!track.empty() && *utc < track.back().utc)
            return expected("a time that is not before that of the line above");
        track.push_back(
            {*utc, 0, static_cast<std::int32_t>(*lat), static_cast<std::int32_t>(*lon), *accuracy});
    }
    if (number == 0)
        return expected("the header " + std::string(kHeader));
    return track;
}

std::vector<place::Fix> ReplayPositions::fixesUntil(std::int64_t upMs) {
    const time::Instant booted = m_clock.bootedAt();
    const time::Instant now = booted + time::milliseconds(upMs);
    const time::Instant first = std::max(booted, now - time::milliseconds(place::kWindowMs));
    const auto isBefore = [](const place::Fix& fix, time::Instant t) { return fix.utc < t; };
    std::vector<place::Fix> out;
    for (auto fix = std::lower_bound(m_track.begin(), m_track.end(), first, isBefore);
         fix != m_track.end() && fix->utc <= now; ++fix) {
        out.push_back(*fix);
        out.back().upMs = (fix->utc - booted).count();
    }
    return out;
}

} // namespace discal::services::sample
