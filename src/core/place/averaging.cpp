#include "core/place/averaging.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace discal::place {

namespace {

constexpr double kRadiansPerE7 = std::numbers::pi / 180.0 / 1e7;

// A direction, or a sum of directions: the normal of the ellipsoid at a place. Its angles are the geodetic
// latitude and longitude themselves, so no ellipsoid is needed to go there and back.
struct Normal {
    double x{0};
    double y{0};
    double z{0};
};

Normal normalAt(const Fix& fix) {
    const double lat = fix.latE7 * kRadiansPerE7;
    const double lon = fix.lonE7 * kRadiansPerE7;
    return {std::cos(lat) * std::cos(lon), std::cos(lat) * std::sin(lon), std::sin(lat)};
}

// Chord on a sphere of the mean radius: within 0.6 % of the way over the ground for any distance that an
// accuracy is compared with, and well behaved everywhere on Earth.
double millimetresBetween(const Normal& a, const Normal& b) {
    constexpr double kMeanRadiusMm = 6'371'008'771.4; // (2a + b) / 3 of WGS84
    return kMeanRadiusMm * std::hypot(a.x - b.x, a.y - b.y, a.z - b.z);
}

// Far more than a computer's clock is off, far less than anybody can measure: keeps 5000.0000001 from
// becoming 5001.
std::int64_t roundUp(double millimetres) {
    return static_cast<std::int64_t>(std::ceil(millimetres - 1e-4));
}

bool isUsable(const Fix& fix, std::int64_t nowUpMs) {
    if (fix.upMs > nowUpMs || !isLegal(fix.latE7, fix.lonE7) || fix.accuracyMm <= 0)
        return false;
    // Unsigned, because the difference of two arbitrary signed numbers may not fit.
    return static_cast<std::uint64_t>(nowUpMs) - static_cast<std::uint64_t>(fix.upMs) <=
           static_cast<std::uint64_t>(kWindowMs);
}

double accuracyOf(const Fix& fix) {
    return static_cast<double>(std::min(fix.accuracyMm, kWholeEarthMm));
}

// What has been added up while walking back.
struct Run {
    int count{0};
    Normal weighted{};
    double sumInverse{0};        // of 1/a
    double sumInverseSquares{0}; // of 1/a^2

    void add(const Normal& normal, double accuracy) {
        const double weight = 1.0 / (accuracy * accuracy);
        weighted.x += weight * normal.x;
        weighted.y += weight * normal.y;
        weighted.z += weight * normal.z;
        sumInverse += 1.0 / accuracy;
        sumInverseSquares += weight;
        ++count;
    }

    // Length 1 again. The fixes of a run lie about one place; should they cancel out all the same (accuracies
    // of half the globe), the newest is the better answer.
    [[nodiscard]] Normal mean(const Normal& newest) const {
        const double length = std::hypot(weighted.x, weighted.y, weighted.z);
        if (length < 0.5 * sumInverseSquares)
            return newest;
        return {weighted.x / length, weighted.y / length, weighted.z / length};
    }
};

} // namespace

std::optional<Position> average(std::span<const Fix> fixes, std::int64_t nowUpMs) {
    const Fix* newest = nullptr;
    Normal newestNormal{};
    Run run;
    for (std::size_t i = fixes.size(); i-- > 0;) {
        const Fix& fix = fixes[i];
        if (!isUsable(fix, nowUpMs))
            continue;
        const Normal normal = normalAt(fix);
        if (newest == nullptr) {
            newest = &fix;
            newestNormal = normal;
        } else if (millimetresBetween(normal, newestNormal) > accuracyOf(fix) + accuracyOf(*newest)) {
            break;
        }
        run.add(normal, accuracyOf(fix));
    }
    if (newest == nullptr)
        return std::nullopt;

    const Normal mean = run.mean(newestNormal);
    const double fullyCorrelated = run.sumInverse / run.sumInverseSquares;
    const double accuracy = std::max(fullyCorrelated, millimetresBetween(mean, newestNormal));

    Position p;
    p.latE7 = static_cast<std::int32_t>(
        std::lround(std::atan2(mean.z, std::hypot(mean.x, mean.y)) / kRadiansPerE7));
    p.lonE7 = static_cast<std::int32_t>(std::lround(std::atan2(mean.y, mean.x) / kRadiansPerE7));
    p.accuracyMm = std::clamp(roundUp(accuracy), std::int64_t{1}, kWholeEarthMm);
    p.uncertaintyMm = std::min(2 * p.accuracyMm, kWholeEarthMm);
    p.fixCount = run.count;
    p.ageMs = nowUpMs - newest->upMs;
    p.receiverUtc = newest->utc;
    p.origin = Position::Origin::Receiver;
    return p;
}

bool isUsableForPlace(const Position& p) {
    return p.origin != Position::Origin::Receiver || p.uncertaintyMm <= kCoarseMm;
}

bool isStale(const Position& p) {
    return p.origin == Position::Origin::Receiver && p.ageMs >= kStaleMs;
}

} // namespace discal::place
