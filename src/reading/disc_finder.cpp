#include "reading/disc_finder.h"

#include "reading/edge_discs.h"
#include "reading/ellipse.h"
#include "reading/plane.h"

#include <array>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <optional>

namespace discal::reading {

using services::Frame;

namespace {

constexpr int kLongSide = 360; ///< what the longer side is brought down to, about
constexpr std::array kLevels{0.30F, 0.42F, 0.53F, 0.63F, 0.73F, 0.83F}; ///< of the way from dark to bright
constexpr std::array kLevelsAgainst{0.85F, 0.95F, 1.03F, 1.10F, 1.18F, 1.30F}; ///< of the mean of what is around
constexpr float kBlank = 0.05F;        ///< of the paper: less contrast is no print
constexpr float kPlain = 0.6F;         ///< score of a disc that needs no second look
constexpr float kPlainest = 0.9F;      ///< nor a third, by edges
constexpr std::size_t kLeastPoints = 24;
constexpr float kNeighbour = 0.35F;    ///< of the radius: at most two are kept so near each other
constexpr float kSame = 0.12F;         ///< of the radius: two that differ less are one

struct Small {
    Plane least; ///< least of red, green and blue, 0 to 255
    int factor;
};

Small brought(const Frame& frame) {
    const int factor = std::max(1, static_cast<int>(std::lround(std::max(frame.width, frame.height) /
                                                                static_cast<double>(kLongSide))));
    Small small{Plane(frame.width / factor, frame.height / factor), factor};
    for (int y = 0; y < small.least.height; ++y)
        for (int x = 0; x < small.least.width; ++x) {
            std::array<int, 3> sums{};
            for (int fy = 0; fy < factor; ++fy) {
                const std::uint8_t* pixel =
                    frame.rgb.data() + 3 * (static_cast<std::size_t>(y * factor + fy) * static_cast<std::size_t>(frame.width) +
                                            static_cast<std::size_t>(x * factor));
                for (int fx = 0; fx < factor; ++fx, pixel += 3)
                    for (std::size_t c = 0; c < 3; ++c)
                        sums[c] += pixel[c];
            }
            small.least.at(x, y) =
                static_cast<float>(std::min({sums[0], sums[1], sums[2]})) / static_cast<float>(factor * factor);
        }
    return small;
}

/// The outer boundary of the bright region whose first pixel, in reading order, is (x, y): Moore's neighbours.
std::vector<Point> boundary(const std::vector<int>& labels, int width, int height, int x, int y, int label) {
    constexpr std::array<std::pair<int, int>, 8> kAround{
        {{1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}}};
    const auto isIn = [&](int px, int py) {
        return px >= 0 && py >= 0 && px < width && py < height &&
               labels[static_cast<std::size_t>(py * width + px)] == label;
    };
    std::vector<Point> points;
    const int startX = x;
    const int startY = y;
    int from = 4; // came from the left: it is outside
    const std::size_t most = 4 * static_cast<std::size_t>(width + height) + 4096;
    do {
        points.push_back({static_cast<float>(x), static_cast<float>(y)});
        int step = 1;
        for (; step <= 8; ++step) {
            const auto [dx, dy] = kAround[static_cast<std::size_t>((from + step) % 8)];
            if (isIn(x + dx, y + dy)) {
                const int direction = (from + step) % 8;
                x += dx;
                y += dy;
                from = (direction + 4) % 8;
                break;
            }
        }
        if (step > 8)
            break; // a single pixel
    } while ((x != startX || y != startY) && points.size() < most);
    return points;
}

/// How much like a tag: paper that is brighter than what is around, with ink on it, and an edge that is seen.
float scoreOf(const Disc& disc, const Plane& plane) {
    std::vector<float> inside;
    std::vector<float> around;
    const int reach = static_cast<int>(std::ceil(disc.major * 1.3F));
    for (int y = std::max(0, static_cast<int>(disc.y) - reach); y < std::min(plane.height, static_cast<int>(disc.y) + reach); ++y)
        for (int x = std::max(0, static_cast<int>(disc.x) - reach); x < std::min(plane.width, static_cast<int>(disc.x) + reach);
             ++x) {
            const float d = distanceIn(disc, static_cast<float>(x), static_cast<float>(y));
            if (d < 0.88F)
                inside.push_back(plane.at(x, y));
            else if (d > 1.08F && d < 1.25F)
                around.push_back(plane.at(x, y));
        }
    if (inside.size() < 20)
        return 0;
    const auto quantile = [](std::vector<float>& values, double share) {
        const auto at = values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
        std::nth_element(values.begin(), at, values.end());
        return *at;
    };
    const float paper = std::max(1.0F, quantile(inside, 0.75));
    const float ink = quantile(inside, 0.05);
    const float outside = around.empty() ? paper : quantile(around, 0.5);
    const float contrast = std::clamp((paper - ink) / paper / 0.4F, 0.0F, 1.0F);
    const float step = std::clamp((paper - outside) / paper / 0.2F, -0.5F, 1.0F);
    std::size_t dark = 0;
    for (const float value : inside)
        dark += value < (paper + ink) / 2 ? 1 : 0;
    const float share = static_cast<float>(dark) / static_cast<float>(inside.size());
    const float print = share > 0.02F && share < 0.5F ? 1.0F : 0.4F;
    if (paper - ink < kBlank * paper)
        return 0.1F * disc.coverage; // nothing on it: a place on a sheet, a button
    const float roundness = disc.minor / disc.major;
    // A tag is wholly in the frame, or it can't be read.
    const float left = disc.x - disc.major;
    const float right = disc.x + disc.major - static_cast<float>(plane.width - 1);
    const float top = disc.y - disc.major;
    const float bottom = disc.y + disc.major - static_cast<float>(plane.height - 1);
    const float beyond = std::max({0.0F, -left, right, -top, bottom}) / disc.major;
    const float whole = std::clamp(1 - 2 * std::max(0.0F, beyond - 0.1F), 0.2F, 1.0F);
    const float size = std::min(1.0F, disc.minor / 18);
    return whole * disc.coverage * (0.35F + 0.65F * contrast) * (0.7F + 0.3F * step) * print * (0.6F + 0.4F * roundness) *
           (0.5F + 0.5F * size);
}

/// Discs by a threshold on one picture, scored by another.
void collect(const Plane& plane, const Plane& least, float level, std::vector<Disc>& found) {
    std::vector<int> labels(plane.values.size(), 0);
    std::vector<int> open;
    int label = 0;
    for (int start = 0; start < static_cast<int>(plane.values.size()); ++start) {
        if (plane.values[static_cast<std::size_t>(start)] < level || labels[static_cast<std::size_t>(start)] != 0)
            continue;
        ++label;
        int left = plane.width;
        int right = 0;
        int bottom = 0;
        std::size_t area = 0;
        open.assign(1, start);
        labels[static_cast<std::size_t>(start)] = label;
        while (!open.empty()) {
            const int at = open.back();
            open.pop_back();
            ++area;
            const int x = at % plane.width;
            const int y = at / plane.width;
            left = std::min(left, x);
            right = std::max(right, x);
            bottom = std::max(bottom, y);
            const auto go = [&](int to) {
                if (plane.values[static_cast<std::size_t>(to)] >= level && labels[static_cast<std::size_t>(to)] == 0) {
                    labels[static_cast<std::size_t>(to)] = label;
                    open.push_back(to);
                }
            };
            if (x > 0)
                go(at - 1);
            if (x + 1 < plane.width)
                go(at + 1);
            if (y > 0)
                go(at - plane.width);
            if (y + 1 < plane.height)
                go(at + plane.width);
        }
        const int top = start / plane.width;
        if (static_cast<float>(std::min(right - left, bottom - top)) < 2 * kLeastDiscRadius || area < 40)
            continue;
        const auto points = boundary(labels, plane.width, plane.height, start % plane.width, top, label);
        if (points.size() < kLeastPoints)
            continue;
        if (auto disc = bestEllipse(points, plane); disc && disc->coverage > 0.4F) {
            disc->score = scoreOf(*disc, least);
            found.push_back(*disc);
        }
    }
}

/// Each pixel against the mean of what is around: a pale tag on pale paper stands out of it, and half a frame in shade does not.
Plane againstSurroundings(const Plane& plane) {
    const int reach = std::max(plane.width, plane.height) / 6;
    std::vector<double> sums(static_cast<std::size_t>(plane.width + 1) * static_cast<std::size_t>(plane.height + 1), 0);
    const auto at = [&](int x, int y) -> double& {
        return sums[static_cast<std::size_t>(y) * static_cast<std::size_t>(plane.width + 1) + static_cast<std::size_t>(x)];
    };
    for (int y = 0; y < plane.height; ++y) {
        double row = 0;
        for (int x = 0; x < plane.width; ++x) {
            row += static_cast<double>(plane.at(x, y));
            at(x + 1, y + 1) = at(x + 1, y) + row;
        }
    }
    Plane out(plane.width, plane.height);
    for (int y = 0; y < plane.height; ++y)
        for (int x = 0; x < plane.width; ++x) {
            const int left = std::max(0, x - reach);
            const int right = std::min(plane.width, x + reach);
            const int top = std::max(0, y - reach);
            const int bottom = std::min(plane.height, y + reach);
            const double mean = (at(right, bottom) - at(left, bottom) - at(right, top) + at(left, top)) /
                                ((right - left) * static_cast<double>(bottom - top));
            out.at(x, y) = plane.at(x, y) / std::max(1.0F, static_cast<float>(mean));
        }
    return out;
}

} // namespace

std::vector<Disc> findDiscs(const Frame& frame, std::size_t most) {
    if (frame.width < 16 || frame.height < 16)
        return {};
    const auto small = brought(frame);
    auto sorted = small.least.values;
    const auto quantile = [&](double share) {
        const auto at = sorted.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(sorted.size() - 1));
        std::nth_element(sorted.begin(), at, sorted.end());
        return *at;
    };
    const float dark = quantile(0.02);
    const float bright = quantile(0.995);
    std::vector<Disc> found;
    for (const float level : kLevels)
        collect(small.least, small.least, dark + (bright - dark) * level, found);
    if (std::none_of(found.begin(), found.end(), [](const Disc& disc) { return disc.score > kPlain; })) {
        const auto against = againstSurroundings(small.least);
        for (const float level : kLevelsAgainst)
            collect(against, small.least, level, found);
    }
    if (std::none_of(found.begin(), found.end(), [](const Disc& disc) { return disc.score > kPlainest; }))
        for (auto& disc : discsByEdges(small.least)) {
            disc.score = scoreOf(disc, small.least);
            found.push_back(disc);
        }
    std::stable_sort(found.begin(), found.end(), [](const Disc& a, const Disc& b) { return a.score > b.score; });
    std::vector<Disc> kept;
    const auto factor = static_cast<float>(small.factor);
    for (const auto& disc : found) {
        const bool isKnown = std::any_of(kept.begin(), kept.end(), [&](const Disc& other) {
            const float x = disc.x * factor + (factor - 1) / 2;
            const float y = disc.y * factor + (factor - 1) / 2;
            return std::hypot(x - other.x, y - other.y) < kSame * other.major &&
                   std::abs(disc.minor * factor / other.minor - 1) < kSame && std::abs(disc.major * factor / other.major - 1) < kSame;
        });
        const auto near = std::count_if(kept.begin(), kept.end(), [&](const Disc& other) {
            return std::hypot(disc.x * factor - other.x, disc.y * factor - other.y) < kNeighbour * other.major;
        });
        if (isKnown || near >= 2 || kept.size() >= most)
            continue;
        kept.push_back(disc);
        auto& whole = kept.back();
        whole.x = disc.x * factor + (factor - 1) / 2;
        whole.y = disc.y * factor + (factor - 1) / 2;
        // The boundary runs along the middles of the outermost pixels: half a pixel inside of the edge.
        whole.major = (disc.major + 0.5F) * factor;
        whole.minor = (disc.minor + 0.5F) * factor;
    }
    return kept;
}

} // namespace discal::reading
