#include "reading/drawn/camera.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

namespace discal::drawn {

namespace {

constexpr double kDistance = 100.0 / 4.5; // of the camera, in radii of the disc

double smooth(double v) {
    const double t = std::clamp(v, 0.0, 1.0);
    return t * t * (3 - 2 * t);
}

struct Sample {
    float red{0};
    float green{0};
    float blue{0};
    float cover{0};
};

void addSample(Sample& sum, const FlatTag::Level& level, double u, double v) {
    const double scale = level.size / (2 * FlatTag::kReach);
    const double x = (u + FlatTag::kReach) * scale - 0.5;
    const double y = (v + FlatTag::kReach) * scale - 0.5;
    if (!(x >= 0 && y >= 0 && x < level.size - 1 && y < level.size - 1))
        return;
    const int ix = static_cast<int>(x);
    const int iy = static_cast<int>(y);
    const auto fx = static_cast<float>(x - ix);
    const auto fy = static_cast<float>(y - iy);
    const float* a = &level.rgba[(static_cast<std::size_t>(iy) * static_cast<std::size_t>(level.size) +
                                  static_cast<std::size_t>(ix)) *
                                 4];
    const float* b = a + static_cast<std::size_t>(level.size) * 4;
    float mixed4[4];
    for (int c = 0; c < 4; ++c) {
        const float upper = a[c] + (a[c + 4] - a[c]) * fx;
        const float lower = b[c] + (b[c + 4] - b[c]) * fx;
        mixed4[c] = upper + (lower - upper) * fy;
    }
    sum.red += mixed4[0];
    sum.green += mixed4[1];
    sum.blue += mixed4[2];
    sum.cover += mixed4[3];
}

/// Adds `weight` times a row, moved by dx pixels, edge pixels repeated.
void addRow(float* to, const float* from, int width, int dx, float weight) {
    const int first = std::clamp(-dx, 0, width);
    const int last = std::clamp(width - dx, 0, width);
    for (int x = 0; x < first; ++x)
        for (int c = 0; c < 3; ++c)
            to[3 * x + c] += weight * from[c];
    const float* moved = from + static_cast<std::ptrdiff_t>(3) * dx;
    for (int i = 3 * first; i < 3 * last; ++i)
        to[i] += weight * moved[i];
    for (int x = last; x < width; ++x)
        for (int c = 0; c < 3; ++c)
            to[3 * x + c] += weight * from[3 * (width - 1) + c];
}

struct Tap {
    int dx;
    int dy;
    float weight;
};

void convolve(Light& picture, const std::vector<Tap>& taps) {
    Light out{picture.width, picture.height, std::vector<float>(picture.rgb.size())};
    for (int y = 0; y < picture.height; ++y)
        for (const Tap& tap : taps)
            addRow(out.row(y), picture.row(std::clamp(y + tap.dy, 0, picture.height - 1)), picture.width, tap.dx, tap.weight);
    picture = std::move(out);
}

std::vector<Tap> gaussian(double sigma, bool isAcross) {
    const int reach = std::max(1, static_cast<int>(std::ceil(2.7 * sigma)));
    std::vector<Tap> taps;
    double sum = 0;
    for (int i = -reach; i <= reach; ++i)
        sum += std::exp(-i * i / (2 * sigma * sigma));
    for (int i = -reach; i <= reach; ++i)
        taps.push_back({isAcross ? i : 0, isAcross ? 0 : i, static_cast<float>(std::exp(-i * i / (2 * sigma * sigma)) / sum)});
    return taps;
}

std::vector<Tap> line(double length, double turn) {
    constexpr int kSteps = 64;
    std::map<std::pair<int, int>, double> weights;
    for (int i = 0; i < kSteps; ++i) {
        const double at = ((i + 0.5) / kSteps - 0.5) * length;
        const double x = at * std::cos(turn);
        const double y = at * std::sin(turn);
        const int ix = static_cast<int>(std::floor(x));
        const int iy = static_cast<int>(std::floor(y));
        const double fx = x - ix;
        const double fy = y - iy;
        weights[{iy, ix}] += (1 - fx) * (1 - fy) / kSteps;
        weights[{iy, ix + 1}] += fx * (1 - fy) / kSteps;
        weights[{iy + 1, ix}] += (1 - fx) * fy / kSteps;
        weights[{iy + 1, ix + 1}] += fx * fy / kSteps;
    }
    std::vector<Tap> taps;
    for (const auto& [at, weight] : weights)
        if (weight > 0.002)
            taps.push_back({at.second, at.first, static_cast<float>(weight)});
    return taps;
}

/// Light on a coarse grid, as it changes slowly: what the picture is multiplied with, and what is added.
struct Lamp {
    static constexpr int kStep = 8;
    int columns;
    int rows;
    std::vector<float> times;
    std::vector<float> plus;

    Lamp(const Exposure& e, int width, int height) : columns(width / kStep + 2), rows(height / kStep + 2) {
        times.resize(static_cast<std::size_t>(columns) * static_cast<std::size_t>(rows));
        plus.resize(times.size());
        std::size_t at = 0;
        for (int r = 0; r < rows; ++r)
            for (int c = 0; c < columns; ++c, ++at) {
                const double x = c * kStep;
                const double y = r * kStep;
                const double u = 2 * x / width - 1;
                const double v = 2 * y / height - 1;
                double light = e.brightness * (1 + e.slope.x * u + e.slope.y * v);
                light *= 1 - e.vignette * (u * u + v * v) / 2;
                for (const Shadow& s : e.shadows) {
                    const double beyond = (x - s.at.x) * std::cos(s.turn) + (y - s.at.y) * std::sin(s.turn);
                    light *= 1 - s.depth * smooth(0.5 + beyond / (2 * s.softness));
                }
                double glare = 0;
                for (const Glare& g : e.glares) {
                    const double dx = x - g.centre.x;
                    const double dy = y - g.centre.y;
                    const double p = (dx * std::cos(g.turn) + dy * std::sin(g.turn)) / g.along;
                    const double q = (dy * std::cos(g.turn) - dx * std::sin(g.turn)) / g.across;
                    const double far = p * p + q * q;
                    if (far < 16)
                        glare += g.strength * std::exp(-far);
                }
                times[at] = static_cast<float>(std::max(0.02, light));
                plus[at] = static_cast<float>(glare);
            }
    }

    /// One value a pixel for row y.
    void row(const std::vector<float>& grid, int y, std::vector<float>& to) const {
        const int r = y / kStep;
        const float fy = static_cast<float>(y % kStep) / kStep;
        const float* a = &grid[static_cast<std::size_t>(r) * static_cast<std::size_t>(columns)];
        const float* b = a + columns;
        for (std::size_t x = 0; x < to.size(); ++x) {
            const std::size_t c = x / kStep;
            const float fx = static_cast<float>(x % kStep) / kStep;
            const float upper = a[c] + (a[c + 1] - a[c]) * fx;
            const float lower = b[c] + (b[c + 1] - b[c]) * fx;
            to[x] = upper + (lower - upper) * fy;
        }
    }
};

/// Normal numbers drawn once; a row of noise starts anywhere in them.
const std::vector<float>& noiseTable() {
    static const std::vector<float> table = [] {
        std::vector<float> t(1U << 18);
        Chance chance(0x6e6f697365);
        for (float& v : t)
            v = static_cast<float>(chance.normal());
        return t;
    }();
    return table;
}

} // namespace

Homography seen(const Pose& pose, int width, int height) {
    // The disc's plane turned by `turn`, then tilted about an axis in the picture's plane; z away from the camera.
    const double c = std::cos(pose.tilt);
    const double s = std::sin(pose.tilt);
    const double ax = std::cos(pose.tiltAxis);
    const double ay = std::sin(pose.tiltAxis);
    const double r[3][2] = {{c + ax * ax * (1 - c), ax * ay * (1 - c)},
                            {ax * ay * (1 - c), c + ay * ay * (1 - c)},
                            {-ay * s, ax * s}};
    const double ct = std::cos(pose.turn);
    const double st = std::sin(pose.turn);
    const double focal = pose.diameter / 2 * kDistance;
    const double cx = width / 2.0;
    const double cy = height / 2.0;
    const double tx = (pose.centre.x - cx) * kDistance / focal;
    const double ty = (pose.centre.y - cy) * kDistance / focal;
    double p[3][3];
    for (int i = 0; i < 3; ++i) {
        p[i][0] = r[i][0] * ct + r[i][1] * st;
        p[i][1] = -r[i][0] * st + r[i][1] * ct;
    }
    p[0][2] = tx;
    p[1][2] = ty;
    p[2][2] = kDistance;
    Homography h;
    for (std::size_t i = 0; i < 3; ++i) {
        h.m[i] = focal * p[0][i] + cx * p[2][i];
        h.m[3 + i] = focal * p[1][i] + cy * p[2][i];
        h.m[6 + i] = p[2][i];
    }
    return h;
}

void layTag(Light& picture, const FlatTag& tag, const Homography& seen, Point shadow) {
    double left = picture.width;
    double right = 0;
    double top = picture.height;
    double bottom = 0;
    constexpr double kBox = 1.16;
    for (const Point corner : {Point{-kBox, -kBox}, Point{kBox, -kBox}, Point{-kBox, kBox}, Point{kBox, kBox}}) {
        const Point at = seen(corner);
        left = std::min(left, at.x);
        right = std::max(right, at.x);
        top = std::min(top, at.y);
        bottom = std::max(bottom, at.y);
    }
    const Point centre = seen({0, 0});
    const double radius = std::hypot(seen({1, 0}).x - centre.x, seen({1, 0}).y - centre.y);
    std::size_t level = 0;
    while (level + 1 < tag.levels.size() && tag.levels[level].size > 2.1 * 2 * FlatTag::kReach * radius)
        ++level;
    const FlatTag::Level& texture = tag.levels[level];
    const Homography back = seen.inverse();
    for (int y = std::max(0, static_cast<int>(top)); y <= std::min(picture.height - 1, static_cast<int>(bottom)); ++y) {
        float* row = picture.row(y);
        for (int x = std::max(0, static_cast<int>(left)); x <= std::min(picture.width - 1, static_cast<int>(right)); ++x) {
            const Point middle = back({x + 0.5, y + 0.5});
            const double far = std::hypot(middle.x - shadow.x, middle.y - shadow.y);
            float* pixel = row + static_cast<std::ptrdiff_t>(3) * x;
            const auto lit = static_cast<float>(1 - 0.55 * (1 - smooth((far - 0.97) / 0.12)));
            Sample sum;
            for (const double dy : {0.25, 0.75})
                for (const double dx : {0.25, 0.75}) {
                    const Point at = back({x + dx, y + dy});
                    addSample(sum, texture, at.x, at.y);
                }
            const float rest = lit * (1 - sum.cover / 4);
            pixel[0] = sum.red / 4 + pixel[0] * rest;
            pixel[1] = sum.green / 4 + pixel[1] * rest;
            pixel[2] = sum.blue / 4 + pixel[2] * rest;
        }
    }
}

void blur(Light& picture, double sigma, double motion, double motionTurn) {
    if (motion > 0.5)
        convolve(picture, line(motion, motionTurn));
    if (sigma > 0.2) {
        convolve(picture, gaussian(sigma, true));
        convolve(picture, gaussian(sigma, false));
    }
}

services::Frame expose(const Light& picture, const Exposure& exposure, Chance chance) {
    services::Frame frame{picture.width, picture.height, {}};
    frame.rgb.resize(picture.rgb.size());
    const Lamp lamp(exposure, picture.width, picture.height);
    const auto& encoded = encodedOf();
    const auto& table = noiseTable();
    const float cast[3] = {static_cast<float>(exposure.cast.red), static_cast<float>(exposure.cast.green),
                           static_cast<float>(exposure.cast.blue)};
    const auto dark = static_cast<float>(exposure.noise * exposure.noise);
    const auto shot = static_cast<float>(exposure.shotNoise * exposure.shotNoise);
    std::vector<float> times(static_cast<std::size_t>(picture.width));
    std::vector<float> plus(times.size());
    const std::size_t stride = picture.stride();
    std::vector<float> value(stride);
    for (int y = 0; y < picture.height; ++y) {
        lamp.row(lamp.times, y, times);
        lamp.row(lamp.plus, y, plus);
        const float* from = picture.row(y);
        for (std::size_t x = 0; x < times.size(); ++x)
            for (std::size_t c = 0; c < 3; ++c)
                value[3 * x + c] = from[3 * x + c] * times[x] * cast[c] + plus[x];
        const float* noise = &table[static_cast<std::size_t>(chance.bits() % (table.size() - stride))];
        for (std::size_t i = 0; i < stride; ++i) {
            const float v = std::min(1.0F, value[i]);
            value[i] = std::clamp(v + noise[i] * std::sqrt(dark + shot * v), 0.0F, 1.0F) * 4096.0F + 0.5F;
        }
        std::uint8_t* to = frame.rgb.data() + static_cast<std::size_t>(y) * stride;
        for (std::size_t i = 0; i < stride; ++i)
            to[i] = encoded[static_cast<std::size_t>(value[i])];
    }
    return frame;
}

} // namespace discal::drawn
