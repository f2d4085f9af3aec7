#include "reading/ellipse.h"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <numbers>

namespace discal::reading {

namespace {

constexpr int kTries = 60;
constexpr float kNear = 0.035F;        ///< of the radius: a point that near the ellipse agrees with it
constexpr float kFlattest = 0.72F;     ///< shorter axis to longer: a tilt of 44 degrees
constexpr int kSectors = 72;

using Conic = Eigen::Matrix<double, 6, 1>; ///< a x^2 + b xy + c y^2 + d x + e y + f = 0

std::optional<Disc> ellipseOf(const Conic& conic, double scale, double shiftX, double shiftY) {
    const double a = conic(0);
    const double b = conic(1) / 2;
    const double c = conic(2);
    const double d = conic(3) / 2;
    const double e = conic(4) / 2;
    const double f = conic(5);
    const double det = a * c - b * b;
    if (det <= 1e-12)
        return {};
    const double x = (b * e - c * d) / det;
    const double y = (b * d - a * e) / det;
    const double rest = -(f + d * x + e * y);
    const double mean = (a + c) / 2;
    const double root = std::sqrt((a - c) * (a - c) / 4 + b * b);
    const double least = rest / (mean + root);
    const double most = rest / (mean - root);
    if (!(least > 0) || !(most > 0) || !std::isfinite(most))
        return {};
    Disc disc;
    disc.x = static_cast<float>(x * scale + shiftX);
    disc.y = static_cast<float>(y * scale + shiftY);
    disc.major = static_cast<float>(std::sqrt(std::max(least, most)) * scale);
    disc.minor = static_cast<float>(std::sqrt(std::min(least, most)) * scale);
    disc.angle = static_cast<float>(0.5 * std::atan2(2 * b, a - c) + std::numbers::pi / 2);
    if (a + c < 0)
        disc.angle += static_cast<float>(std::numbers::pi / 2);
    return disc;
}

/// The conic with the least sum of squares through these points; through five of them exactly.
std::optional<Disc> fitted(const std::vector<Point>& points, const std::vector<std::size_t>& chosen) {
    double meanX = 0;
    double meanY = 0;
    for (const auto i : chosen) {
        meanX += points[i].x;
        meanY += points[i].y;
    }
    const auto n = static_cast<double>(chosen.size());
    meanX /= n;
    meanY /= n;
    double spread = 0;
    for (const auto i : chosen)
        spread += std::hypot(points[i].x - meanX, points[i].y - meanY);
    spread /= n;
    if (spread < 1)
        return {};
    // x^2 + y^2 + p (x^2 - y^2) + q xy + r x + s y + t = 0: every ellipse can be written so.
    Eigen::Matrix<double, 5, 5> normal = Eigen::Matrix<double, 5, 5>::Zero();
    Eigen::Matrix<double, 5, 1> right = Eigen::Matrix<double, 5, 1>::Zero();
    for (const auto i : chosen) {
        const double x = (points[i].x - meanX) / spread;
        const double y = (points[i].y - meanY) / spread;
        Eigen::Matrix<double, 5, 1> row;
        row << x * x - y * y, x * y, x, y, 1;
        normal += row * row.transpose();
        right -= (x * x + y * y) * row;
    }
    const Eigen::Matrix<double, 5, 1> found = normal.ldlt().solve(right);
    if (!found.allFinite())
        return {};
    Conic conic;
    conic << 1 + found(0), found(1), 1 - found(0), found(2), found(3), found(4);
    return ellipseOf(conic, spread, meanX, meanY);
}

/// Always the same numbers for the same boundary: readings can be repeated.
class Draws {
public:
    explicit Draws(std::uint64_t seed) : m_state(seed * 2 + 1) {}
    std::size_t below(std::size_t n) {
        m_state = m_state * 6364136223846793005ULL + 1442695040888963407ULL;
        return static_cast<std::size_t>(m_state >> 33) % n;
    }

private:
    std::uint64_t m_state;
};

bool isPossible(const Disc& disc, const Plane& plane) {
    return disc.minor >= kLeastDiscRadius && disc.minor / disc.major >= kFlattest &&
           disc.major * 2 <= 1.1F * static_cast<float>(std::min(plane.width, plane.height)) && disc.x > 0 && disc.y > 0 &&
           disc.x < static_cast<float>(plane.width) && disc.y < static_cast<float>(plane.height);
}

} // namespace

float distanceIn(const Disc& disc, float x, float y) {
    const float cosine = std::cos(disc.angle);
    const float sine = std::sin(disc.angle);
    const float dx = x - disc.x;
    const float dy = y - disc.y;
    const float along = (dx * cosine + dy * sine) / disc.major;
    const float across = (dy * cosine - dx * sine) / disc.minor;
    return std::sqrt(along * along + across * across);
}

std::vector<std::size_t> agreeing(const std::vector<Point>& points, const Disc& disc) {
    const float near = std::max(kNear, 0.9F / disc.minor);
    std::vector<std::size_t> found;
    for (std::size_t i = 0; i < points.size(); ++i)
        if (std::abs(distanceIn(disc, points[i].x, points[i].y) - 1) < near)
            found.push_back(i);
    return found;
}

float coverageOf(const std::vector<Point>& points, const std::vector<std::size_t>& chosen, const Disc& disc) {
    std::array<bool, kSectors> isSeen{};
    for (const auto i : chosen) {
        const double turn = std::atan2(points[i].y - disc.y, points[i].x - disc.x) / (2 * std::numbers::pi) + 0.5;
        isSeen[static_cast<std::size_t>(std::min(turn, 0.9999) * kSectors)] = true;
    }
    return static_cast<float>(std::count(isSeen.begin(), isSeen.end(), true)) / static_cast<float>(kSectors);
}

std::optional<Disc> bestEllipse(const std::vector<Point>& points, const Plane& plane) {
    Draws draws(points.size());
    std::optional<Disc> best;
    std::size_t most = 0;
    for (int i = 0; i < kTries; ++i) {
        std::vector<std::size_t> five;
        while (five.size() < 5)
            five.push_back(draws.below(points.size()));
        const auto disc = fitted(points, five);
        if (!disc || !isPossible(*disc, plane))
            continue;
        const auto agreed = agreeing(points, *disc).size();
        if (agreed > most) {
            most = agreed;
            best = disc;
        }
    }
    for (int i = 0; best && i < 3; ++i) {
        const auto chosen = agreeing(points, *best);
        if (chosen.size() < 12)
            return {};
        const auto finer = fitted(points, chosen);
        if (!finer || !isPossible(*finer, plane))
            break;
        best = finer;
    }
    if (best)
        best->coverage = coverageOf(points, agreeing(points, *best), *best);
    return best;
}

} // namespace discal::reading
