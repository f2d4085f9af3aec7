#include "reading/edge_discs.h"

#include "reading/ellipse.h"
#include "reading/statistics.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace discal::reading {

namespace {

constexpr float kLeastRadius = 8;      ///< pixels of the plane
constexpr float kMostRadius = 0.55F;   ///< of its shorter side
constexpr float kRadiusStep = 1.09F;   ///< from one radius to the next
constexpr float kCell = 1.0F / 12;     ///< of the radius: votes for middles nearer than that are one
constexpr float kFaintest = 0.006F;    ///< change a pixel, of the brightness there, that may be an edge
constexpr float kStrongNeeded = 0.03F; ///< more is an edge in any picture
constexpr float kOfUsual = 2.5F;       ///< an edge changes so many times as much as most of the picture
constexpr float kLeastVotes = 0.2F;    ///< of all that the whole circle would have
constexpr std::size_t kPeaks = 20;     ///< looked at more closely
constexpr float kNearEdge = 0.22F;     ///< of the radius: votes so far off may belong to the ellipse
constexpr float kTowards = 0.88F;      ///< cosine: by so much an edge may be turned from the circle's
constexpr float kLeastCoverage = 0.4F;
constexpr std::size_t kLeastPoints = 16;

struct Edge {
    Point at;
    float toX; ///< towards the bright side, length 1
    float toY;
};

struct Peak {
    Point middle;
    float radius;
    float votes; ///< of the whole circle's
};

/// Three pixels by three, binomial.
Plane softened(const Plane& plane) {
    Plane rows(plane.width, plane.height);
    Plane out(plane.width, plane.height);
    for (int y = 0; y < plane.height; ++y)
        for (int x = 0; x < plane.width; ++x)
            rows.at(x, y) = (plane.at(std::max(0, x - 1), y) + 2 * plane.at(x, y) + plane.at(std::min(plane.width - 1, x + 1), y)) / 4;
    for (int y = 0; y < plane.height; ++y)
        for (int x = 0; x < plane.width; ++x)
            out.at(x, y) = (rows.at(x, std::max(0, y - 1)) + 2 * rows.at(x, y) + rows.at(x, std::min(plane.height - 1, y + 1))) / 4;
    return out;
}

/// Where brightness changes more than beside, along the change.
std::vector<Edge> edgesOf(const Plane& plane) {
    const auto soft = softened(plane);
    Plane changeX(plane.width, plane.height);
    Plane changeY(plane.width, plane.height);
    Plane size(plane.width, plane.height);
    for (int y = 1; y + 1 < plane.height; ++y)
        for (int x = 1; x + 1 < plane.width; ++x) {
            const float level = soft.at(x, y) + 8;
            changeX.at(x, y) = (soft.at(x + 1, y) - soft.at(x - 1, y)) / 2 / level;
            changeY.at(x, y) = (soft.at(x, y + 1) - soft.at(x, y - 1)) / 2 / level;
            size.at(x, y) = std::hypot(changeX.at(x, y), changeY.at(x, y));
        }
    const float least = std::clamp(kOfUsual * quantileOf(size.values, 0.5), kFaintest, kStrongNeeded);
    std::vector<Edge> edges;
    for (int y = 2; y + 2 < plane.height; ++y)
        for (int x = 2; x + 2 < plane.width; ++x) {
            const float here = size.at(x, y);
            if (here < least)
                continue;
            const float toX = changeX.at(x, y) / here;
            const float toY = changeY.at(x, y) / here;
            const auto fx = static_cast<float>(x);
            const auto fy = static_cast<float>(y);
            if (here >= size.between(fx + toX, fy + toY) && here > size.between(fx - toX, fy - toY))
                edges.push_back({{fx, fy}, toX, toY});
        }
    return edges;
}

/// Where many edges of one radius meet.
void addPeaks(const std::vector<Edge>& edges, const Plane& plane, float radius, std::vector<Peak>& peaks) {
    const float cell = std::max(1.0F, radius * kCell);
    Plane votes(static_cast<int>(static_cast<float>(plane.width) / cell) + 3, static_cast<int>(static_cast<float>(plane.height) / cell) + 3);
    for (const auto& edge : edges) {
        const float x = edge.at.x + edge.toX * radius;
        const float y = edge.at.y + edge.toY * radius;
        if (x >= 0 && y >= 0 && x < static_cast<float>(plane.width) && y < static_cast<float>(plane.height))
            votes.at(static_cast<int>(x / cell) + 1, static_cast<int>(y / cell) + 1) += 1;
    }
    Plane sums(votes.width, votes.height);
    for (int y = 1; y + 1 < votes.height; ++y)
        for (int x = 1; x + 1 < votes.width; ++x)
            for (int dy = -1; dy <= 1; ++dy)
                for (int dx = -1; dx <= 1; ++dx)
                    sums.at(x, y) += votes.at(x + dx, y + dy);
    const float whole = 2 * std::numbers::pi_v<float> * radius;
    for (int y = 1; y + 1 < votes.height; ++y)
        for (int x = 1; x + 1 < votes.width; ++x) {
            const float sum = sums.at(x, y);
            if (sum < kLeastVotes * whole)
                continue;
            bool isPeak = true;
            for (int dy = -1; dy <= 1 && isPeak; ++dy)
                for (int dx = -1; dx <= 1 && isPeak; ++dx)
                    isPeak = sums.at(x + dx, y + dy) <= sum;
            if (isPeak)
                peaks.push_back({{(static_cast<float>(x) - 0.5F) * cell, (static_cast<float>(y) - 0.5F) * cell}, radius, sum / whole});
        }
}

/// The best ones, none nearly the same as a better one.
std::vector<Peak> bestPeaks(std::vector<Peak> peaks) {
    std::stable_sort(peaks.begin(), peaks.end(), [](const Peak& a, const Peak& b) { return a.votes > b.votes; });
    std::vector<Peak> kept;
    for (const auto& peak : peaks) {
        if (kept.size() == kPeaks)
            break;
        const bool isKnown = std::any_of(kept.begin(), kept.end(), [&](const Peak& other) {
            return std::hypot(peak.middle.x - other.middle.x, peak.middle.y - other.middle.y) < 0.25F * other.radius &&
                   std::max(peak.radius / other.radius, other.radius / peak.radius) < 1.15F;
        });
        if (!isKnown)
            kept.push_back(peak);
    }
    return kept;
}

} // namespace

std::vector<Disc> discsByEdges(const Plane& plane) {
    const auto edges = edgesOf(plane);
    std::vector<Peak> peaks;
    for (float radius = kLeastRadius; radius < kMostRadius * static_cast<float>(std::min(plane.width, plane.height));
         radius *= kRadiusStep)
        addPeaks(edges, plane, radius, peaks);
    std::vector<Disc> found;
    std::vector<Point> points;
    for (const auto& peak : bestPeaks(std::move(peaks))) {
        points.clear();
        for (const auto& edge : edges) {
            const float x = peak.middle.x - edge.at.x;
            const float y = peak.middle.y - edge.at.y;
            const float far = std::hypot(x, y);
            if (std::abs(far / peak.radius - 1) < kNearEdge && x * edge.toX + y * edge.toY > kTowards * far)
                points.push_back(edge.at);
        }
        if (points.size() < kLeastPoints)
            continue;
        auto disc = bestEllipse(points, plane);
        if (!disc || disc->coverage < kLeastCoverage)
            continue;
        // As if found by its outermost pixels.
        disc->major -= 0.5F;
        disc->minor -= 0.5F;
        found.push_back(*disc);
    }
    return found;
}

} // namespace discal::reading
