#include "reading/flat_disc.h"

#include "reading/statistics.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <utility>

namespace discal::reading {

using services::Frame;

namespace {

constexpr float kRim = 0.955F;     ///< of the radius: where nothing is along the edge, print may reach so far
constexpr float kWashed = 247;      ///< of 255, the darkest colour: as bright as the camera can tell, nearly

/// From a flat, perhaps turned disc to the frame.
class Path {
public:
    Path(const Disc& disc, float turn) {
        // Along the ellipse's axes lengths shrink alike in all that is on the disc; what is left of the turn is unknown.
        const float cosine = std::cos(disc.angle);
        const float sine = std::sin(disc.angle);
        const float a = disc.major / kDiscRadius;
        const float b = disc.minor / kDiscRadius;
        // Rotate into the axes, scale each, rotate back: no turn is added.
        m_xx = a * cosine * cosine + b * sine * sine;
        m_xy = (a - b) * cosine * sine;
        m_yy = a * sine * sine + b * cosine * cosine;
        m_cosine = std::cos(turn);
        m_sine = std::sin(turn);
        m_x = disc.x;
        m_y = disc.y;
    }

    [[nodiscard]] std::pair<float, float> operator()(float x, float y) const {
        const float tx = x * m_cosine + y * m_sine;
        const float ty = y * m_cosine - x * m_sine;
        return {m_x + m_xx * tx + m_xy * ty, m_y + m_xy * tx + m_yy * ty};
    }

private:
    float m_xx;
    float m_xy;
    float m_yy;
    float m_cosine;
    float m_sine;
    float m_x;
    float m_y;
};

std::array<float, 3> colourAt(const Frame& frame, float x, float y) {
    x = std::clamp(x, 0.0F, static_cast<float>(frame.width - 1));
    y = std::clamp(y, 0.0F, static_cast<float>(frame.height - 1));
    const int left = std::min(static_cast<int>(x), frame.width - 2);
    const int top = std::min(static_cast<int>(y), frame.height - 2);
    const float fx = x - static_cast<float>(left);
    const float fy = y - static_cast<float>(top);
    const std::size_t row = 3 * static_cast<std::size_t>(frame.width);
    const std::uint8_t* p =
        frame.rgb.data() + static_cast<std::size_t>(top) * row + 3 * static_cast<std::size_t>(left);
    std::array<float, 3> colour{};
    for (std::size_t c = 0; c < 3; ++c)
        colour[c] = (static_cast<float>(p[c]) * (1 - fx) + static_cast<float>(p[3 + c]) * fx) * (1 - fy) +
                    (static_cast<float>(p[row + c]) * (1 - fx) + static_cast<float>(p[row + 3 + c]) * fx) * fy;
    return colour;
}

/// The paper's brightness near each pixel: the mean of what is paper, told by what is bright against that mean.
Plane paperOf(const Plane& grey) {
    Plane mask(kDiscSide, kDiscSide);
    for (int y = 0; y < kDiscSide; ++y)
        for (int x = 0; x < kDiscSide; ++x)
            mask.at(x, y) = radiusAt(x, y) < 0.97F ? 1.0F : 0.0F;
    Plane paper(kDiscSide, kDiscSide);
    constexpr std::array kReach{48, 36, 28};
    constexpr std::array kBright{0.0F, 0.96F, 0.90F};
    for (std::size_t round = 0; round < kReach.size(); ++round) {
        Plane weight(kDiscSide, kDiscSide);
        Plane value(kDiscSide, kDiscSide);
        for (std::size_t i = 0; i < grey.values.size(); ++i) {
            const bool isPaper = mask.values[i] > 0 && grey.values[i] >= kBright[round] * paper.values[i];
            weight.values[i] = isPaper ? 1.0F : 0.0F;
            value.values[i] = isPaper ? grey.values[i] : 0.0F;
        }
        const Sums weights(weight);
        const Sums values(value);
        Plane next(kDiscSide, kDiscSide);
        for (int y = 0; y < kDiscSide; ++y)
            for (int x = 0; x < kDiscSide; ++x) {
                int reach = kReach[round];
                double n = weights.around(x, y, reach);
                while (n < 40 && reach < kDiscSide) {
                    reach *= 2;
                    n = weights.around(x, y, reach);
                }
                next.at(x, y) = n > 0 ? static_cast<float>(values.around(x, y, reach) / n) : 255.0F;
            }
        paper = std::move(next);
    }
    return paper;
}

/// Share of the disc in dark regions that reach over the edge and into the print.
float coveredShare(const Plane& ink) {
    constexpr int kCoarse = 8;
    const int side = kDiscSide / kCoarse;
    std::vector<int> dark(static_cast<std::size_t>(side * side), 0);
    int inDisc = 0;
    std::vector<int> open;
    for (int y = 0; y < side; ++y)
        for (int x = 0; x < side; ++x) {
            const float r = radiusAt(x * kCoarse + kCoarse / 2, y * kCoarse + kCoarse / 2);
            if (r > 0.96F)
                continue;
            ++inDisc;
            float sum = 0;
            for (int fy = 0; fy < kCoarse; ++fy)
                for (int fx = 0; fx < kCoarse; ++fx)
                    sum += std::min(1.0F, ink.at(x * kCoarse + fx, y * kCoarse + fy));
            const auto i = static_cast<std::size_t>(y * side + x);
            if (sum / (kCoarse * kCoarse) > 0.30F)
                dark[i] = 1;
            if (dark[i] == 1 && r > 0.86F) {
                dark[i] = 2;
                open.push_back(static_cast<int>(i));
            }
        }
    int reached = static_cast<int>(open.size());
    while (!open.empty()) {
        const int at = open.back();
        open.pop_back();
        const int x = at % side;
        const int y = at / side;
        for (const auto& [dx, dy] : {std::pair{1, 0}, {-1, 0}, {0, 1}, {0, -1}}) {
            if (x + dx < 0 || y + dy < 0 || x + dx >= side || y + dy >= side)
                continue;
            const auto to = static_cast<std::size_t>((y + dy) * side + x + dx);
            if (dark[to] == 1) {
                dark[to] = 2;
                ++reached;
                open.push_back(static_cast<int>(to));
            }
        }
    }
    return inDisc > 0 ? static_cast<float>(reached) / static_cast<float>(inDisc) : 0;
}

/// Smooths what a camera's noise makes of the ink, the more the fainter the print is against it.
void calm(Plane& ink, float contrast) {
    // Most pixels are paper: how much neighbours differ there is noise (half of all differences are smaller than this).
    std::vector<float> steps;
    for (int y = kDiscSide / 4; y < 3 * kDiscSide / 4; y += 2)
        for (int x = kDiscSide / 4; x < 3 * kDiscSide / 4; x += 2)
            steps.push_back(std::abs(ink.at(x, y) - ink.at(x + 2, y)));
    const float noise = quantileOf(std::move(steps), 0.5) / std::max(0.05F, contrast);
    const int rounds = noise > 0.22F ? 3 : noise > 0.13F ? 2 : noise > 0.07F ? 1 : 0;
    for (int round = 0; round < rounds; ++round) {
        Plane out = ink;
        for (int y = 1; y + 1 < kDiscSide; ++y)
            for (int x = 1; x + 1 < kDiscSide; ++x) {
                float sum = 0;
                for (int dy = -1; dy <= 1; ++dy)
                    for (int dx = -1; dx <= 1; ++dx)
                        sum += ink.at(x + dx, y + dy) * static_cast<float>((2 - std::abs(dx)) * (2 - std::abs(dy)));
                out.at(x, y) = sum / 16;
            }
        ink = std::move(out);
    }
}

/// Takes off a ring printed along the edge: where at one radius most of the way round is ink. From where on nothing is left, of
/// the radius.
float takeRingOff(Plane& ink) {
    constexpr int kDirections = 180;
    float inner = kRim;
    for (float r = 0.97F; r > 0.72F; r -= 0.01F) {
        int dark = 0;
        for (int i = 0; i < kDirections; ++i) {
            const float angle = static_cast<float>(i) * 2 * std::numbers::pi_v<float> / kDirections;
            float most = 0; // a tilted ring is not quite round
            for (const float off : {-0.012F, 0.0F, 0.012F})
                most = std::max(most, ink.between(kDiscRadius * (1 + (r + off) * std::cos(angle)),
                                                  kDiscRadius * (1 + (r + off) * std::sin(angle))));
            dark += most > 0.35F ? 1 : 0;
        }
        if (dark > 0.6 * kDirections)
            inner = std::min(inner, r - 0.025F);
        else if (r < kRim && dark > 0.25 * kDirections)
            inner = std::min(inner, kPrinted); // the rim's shade, or part of a ring
    }
    for (int y = 0; y < kDiscSide; ++y)
        for (int x = 0; x < kDiscSide; ++x)
            if (radiusAt(x, y) > inner)
                ink.at(x, y) = 0;
    return inner;
}

} // namespace

FlatDisc flatten(const Frame& frame, const Disc& disc) {
    const Path path(disc, 0);
    // A large disc is brought down: several samples a pixel, so that nothing falls through.
    const int samples = disc.minor > 1.35F * kDiscRadius ? 2 : 1;
    Plane grey(kDiscSide, kDiscSide);
    FlatDisc flat;
    flat.washed = Plane(kDiscSide, kDiscSide);
    int clipped = 0;
    int inside = 0;
    for (int y = 0; y < kDiscSide; ++y)
        for (int x = 0; x < kDiscSide; ++x) {
            if (radiusAt(x, y) > 1.02F)
                continue;
            float sum = 0;
            float least = 255;
            for (int sy = 0; sy < samples; ++sy)
                for (int sx = 0; sx < samples; ++sx) {
                    const float ox = (static_cast<float>(sx) + 0.5F) / static_cast<float>(samples) - 0.5F;
                    const float oy = (static_cast<float>(sy) + 0.5F) / static_cast<float>(samples) - 0.5F;
                    const auto [fx, fy] =
                        path(static_cast<float>(x - kDiscRadius) + ox, static_cast<float>(y - kDiscRadius) + oy);
                    const auto colour = colourAt(frame, fx, fy);
                    const float darkest = std::min({colour[0], colour[1], colour[2]});
                    sum += 0.5F * darkest + (colour[0] + colour[1] + colour[2]) / 6;
                    least = std::min(least, darkest);
                }
            grey.at(x, y) = sum / static_cast<float>(samples * samples);
            flat.washed.at(x, y) = least > kWashed ? 1.0F : 0.0F;
            if (radiusAt(x, y) < kPrinted) {
                ++inside;
                clipped += least > 250 ? 1 : 0;
            }
        }
    const Plane paper = paperOf(grey);
    flat.ink = Plane(kDiscSide, kDiscSide);
    std::vector<float> printed;
    for (int y = 0; y < kDiscSide; ++y)
        for (int x = 0; x < kDiscSide; ++x) {
            if (radiusAt(x, y) > 0.98F)
                continue;
            const float level = std::max(8.0F, paper.at(x, y));
            flat.ink.at(x, y) = std::clamp(1 - grey.at(x, y) / level, -0.1F, 1.0F);
            if (radiusAt(x, y) < 0.85F)
                printed.push_back(flat.ink.at(x, y));
        }
    flat.contrast = quantileOf(std::move(printed), 0.965);
    calm(flat.ink, flat.contrast);
    const float gain = 1 / std::max(0.08F, flat.contrast);
    for (float& value : flat.ink.values)
        value = std::clamp(value * gain, 0.0F, 1.2F);
    flat.clipped = inside > 0 ? static_cast<float>(clipped) / static_cast<float>(inside) : 0;
    flat.covered = coveredShare(flat.ink);
    flat.edge = takeRingOff(flat.ink);
    return flat;
}

Plane turned(const Plane& ink, float angle) {
    Plane upright(kDiscSide, kDiscSide);
    const float cosine = std::cos(angle);
    const float sine = std::sin(angle);
    for (int y = 0; y < kDiscSide; ++y)
        for (int x = 0; x < kDiscSide; ++x) {
            if (radiusAt(x, y) > 0.98F)
                continue;
            const auto dx = static_cast<float>(x - kDiscRadius);
            const auto dy = static_cast<float>(y - kDiscRadius);
            upright.at(x, y) = ink.between(dx * cosine + dy * sine + kDiscRadius, dy * cosine - dx * sine + kDiscRadius);
        }
    return upright;
}

Frame picture(const Frame& frame, const Disc& disc, float angle) {
    const Path path(disc, angle);
    const int side = 2 * kDiscRadius;
    Frame out;
    out.width = side;
    out.height = side;
    out.rgb.reserve(3 * static_cast<std::size_t>(side) * static_cast<std::size_t>(side));
    for (int y = 0; y < side; ++y)
        for (int x = 0; x < side; ++x) {
            const auto [fx, fy] = path(static_cast<float>(x) + 0.5F - kDiscRadius,
                                       static_cast<float>(y) + 0.5F - kDiscRadius);
            for (const float value : colourAt(frame, fx, fy))
                out.rgb.push_back(static_cast<std::uint8_t>(std::clamp(value + 0.5F, 0.0F, 255.0F)));
        }
    return out;
}

} // namespace discal::reading
