#include "reading/disc_finder.h"

#include "reading/plane.h"

#include <Eigen/Dense>
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
constexpr int kTries = 60;
constexpr float kNear = 0.035F;        ///< of the radius: a point that near the ellipse agrees with it
constexpr float kFlattest = 0.72F;     ///< shorter axis to longer: a tilt of 44 degrees
constexpr float kLeastRadius = 5;      ///< small pixels
constexpr std::size_t kLeastPoints = 24;
constexpr int kSectors = 72;
constexpr float kNeighbour = 0.35F;    ///< of the radius: at most two are kept so near each other
constexpr float kSame = 0.12F;         ///< of the radius: two that differ less are one

struct Point {
    float x;
    float y;
};

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

/// How far from the middle, where the edge is 1.
float distanceIn(const Disc& disc, float x, float y) {
    const float cosine = std::cos(disc.angle);
    const float sine = std::sin(disc.angle);
    const float dx = x - disc.x;
    const float dy = y - disc.y;
    const float along = (dx * cosine + dy * sine) / disc.major;
    const float across = (dy * cosine - dx * sine) / disc.minor;
    return std::sqrt(along * along + across * across);
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

bool isPossible(const Disc& disc, const Plane& plane) {
    return disc.minor >= kLeastRadius && disc.minor / disc.major >= kFlattest &&
           disc.major * 2 <= 1.1F * static_cast<float>(std::min(plane.width, plane.height)) && disc.x > 0 && disc.y > 0 &&
           disc.x < static_cast<float>(plane.width) && disc.y < static_cast<float>(plane.height);
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
        if (static_cast<float>(std::min(right - left, bottom - top)) < 2 * kLeastRadius || area < 40)
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
