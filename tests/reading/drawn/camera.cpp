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

void addSample(Sample& sum, const FlatTag& level, double u, double v) {
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

/// Pixels that the disc and its shadow may touch; right and bottom are beyond them.
struct Box {
    int left;
    int top;
    int right;
    int bottom;
};

Box boxOf(const Homography& seen, const Light& picture) {
    constexpr double kReach = 1.16;
    double left = picture.width;
    double right = 0;
    double top = picture.height;
    double bottom = 0;
    for (const Point corner :
         {Point{-kReach, -kReach}, Point{kReach, -kReach}, Point{-kReach, kReach}, Point{kReach, kReach}}) {
        const Point at = seen(corner);
        left = std::min(left, at.x);
        right = std::max(right, at.x);
        top = std::min(top, at.y);
        bottom = std::max(bottom, at.y);
    }
    const auto within = [](double v, int most) {
        return static_cast<int>(std::clamp(v, 0.0, static_cast<double>(most)));
    };
    return {within(left, picture.width), within(top, picture.height), within(right + 1, picture.width),
            within(bottom + 1, picture.height)};
}

/// Adds `weight` times a row, moved by dx pixels, edge pixels repeated.
void addRow(float* to, const float* from, int width, int dx, float weight) {
    const int first = std::clamp(-dx, 0, width);
    const int last = std::clamp(width - dx, 0, width);
    for (int x = 0; x < first; ++x)
        for (int c = 0; c < 3; ++c)
            to[3 * x + c] += weight * from[c];
    const float* moved = from + static_cast<std::ptrdiff_t>(3) * (first + dx);
    float* start = to + static_cast<std::ptrdiff_t>(3) * first;
    for (int i = 0; i < 3 * (last - first); ++i)
        start[i] += weight * moved[i];
    for (int x = last; x < width; ++x)
        for (int c = 0; c < 3; ++c)
            to[3 * x + c] += weight * from[3 * (width - 1) + c];
}

struct Tap {
    int dx;
    int dy;
    float weight;
};

/// In place: fresh memory for a whole picture takes longer than the sums.
void convolve(Light& picture, const std::vector<Tap>& taps) {
    int reach = 0;
    for (const Tap& tap : taps)
        reach = std::max(reach, -tap.dy);
    const int kept = reach + 1;
    const std::size_t stride = picture.stride();
    std::vector<float> before(stride * static_cast<std::size_t>(kept)); // rows as they were, the last few
    const auto original = [&](int y, int now) {
        return y > now ? picture.row(y) : &before[static_cast<std::size_t>(y % kept) * stride];
    };
    for (int y = 0; y < picture.height; ++y) {
        float* row = picture.row(y);
        std::copy_n(row, stride, &before[static_cast<std::size_t>(y % kept) * stride]);
        std::fill_n(row, stride, 0.0F);
        for (const Tap& tap : taps)
            addRow(row, original(std::clamp(y + tap.dy, 0, picture.height - 1), y), picture.width, tap.dx, tap.weight);
    }
}

std::vector<Tap> gaussian(double sigma, bool isAcross) {
    const int reach = std::max(1, static_cast<int>(std::ceil(2.7 * sigma)));
    std::vector<Tap> taps;
    double sum = 0;
    for (int i = -reach; i <= reach; ++i)
        sum += std::exp(-i * i / (2 * sigma * sigma));
    for (int i = -reach; i <= reach; ++i)
        taps.push_back(
            {isAcross ? i : 0, isAcross ? 0 : i, static_cast<float>(std::exp(-i * i / (2 * sigma * sigma)) / sum)});
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

Light halved(const Light& large) {
    Light small{large.width / 2, large.height / 2, {}};
    small.rgb.resize(small.stride() * static_cast<std::size_t>(small.height));
    for (int y = 0; y < small.height; ++y) {
        const float* a = large.row(2 * y);
        const float* b = large.row(2 * y + 1);
        float* to = small.row(y);
        for (int x = 0; x < small.width; ++x)
            for (int c = 0; c < 3; ++c)
                to[3 * x + c] = (a[6 * x + c] + a[6 * x + 3 + c] + b[6 * x + c] + b[6 * x + 3 + c]) / 4;
    }
    return small;
}

void enlarge(const Light& small, Light& large) {
    for (int y = 0; y < large.height; ++y) {
        const double v = std::clamp((y - 0.5) / 2, 0.0, small.height - 1.001);
        const int iy = static_cast<int>(v);
        const auto fy = static_cast<float>(v - iy);
        const float* a = small.row(iy);
        const float* b = small.row(iy + 1);
        float* to = large.row(y);
        for (int x = 0; x < large.width; ++x) {
            const double u = std::clamp((x - 0.5) / 2, 0.0, small.width - 1.001);
            const int ix = static_cast<int>(u);
            const auto fx = static_cast<float>(u - ix);
            for (int c = 0; c < 3; ++c) {
                const int at = 3 * ix + c;
                const float upper = a[at] + (a[at + 3] - a[at]) * fx;
                const float lower = b[at] + (b[at + 3] - b[at]) * fx;
                to[3 * x + c] = upper + (lower - upper) * fy;
            }
        }
    }
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
                for (const Glare& g : e.glares)
                    glare += g.at(x, y) * g.beside;
                times[at] = static_cast<float>(std::max(0.02, light));
                plus[at] = static_cast<float>(glare);
            }
    }

    /// One value a pixel for row y; the row is a whole number of steps.
    void row(const std::vector<float>& grid, int y, std::vector<float>& to) const {
        const int r = y / kStep;
        const float fy = static_cast<float>(y % kStep) / kStep;
        const float* a = &grid[static_cast<std::size_t>(r) * static_cast<std::size_t>(columns)];
        const float* b = a + columns;
        for (std::size_t c = 0; c * kStep < to.size(); ++c) {
            const float left = a[c] + (b[c] - a[c]) * fy;
            const float step = (a[c + 1] + (b[c + 1] - a[c + 1]) * fy - left) / kStep;
            for (std::size_t i = 0; i < kStep; ++i)
                to[c * kStep + i] = left + step * static_cast<float>(i);
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
    const double r[3][2] = {
        {c + ax * ax * (1 - c), ax * ay * (1 - c)}, {ax * ay * (1 - c), c + ay * ay * (1 - c)}, {-ay * s, ax * s}};
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

void layTag(Light& picture, const FlatTag& tag, const Homography& seen, Point shadow, double depth) {
    const Box box = boxOf(seen, picture);
    const Homography back = seen.inverse();
    for (int y = box.top; y < box.bottom; ++y) {
        float* row = picture.row(y);
        for (int x = box.left; x < box.right; ++x) {
            const Point middle = back({x + 0.5, y + 0.5});
            const double out = middle.x * middle.x + middle.y * middle.y;
            if (out > 1.4)
                continue;
            const double dark = std::sqrt((middle.x - shadow.x) * (middle.x - shadow.x) +
                                          (middle.y - shadow.y) * (middle.y - shadow.y));
            const auto lit = static_cast<float>(1 - depth * (1 - smooth((dark - 0.97) / 0.12)));
            float* pixel = row + static_cast<std::ptrdiff_t>(3) * x;
            Sample sum;
            if (out < 1.1)
                for (const double dy : {0.25, 0.75})
                    for (const double dx : {0.25, 0.75}) {
                        const Point at = back({x + dx, y + dy});
                        addSample(sum, tag, at.x, at.y);
                    }
            const float rest = lit * (1 - sum.cover / 4);
            pixel[0] = sum.red / 4 + pixel[0] * rest;
            pixel[1] = sum.green / 4 + pixel[1] * rest;
            pixel[2] = sum.blue / 4 + pixel[2] * rest;
        }
    }
}

double Glare::at(double x, double y) const {
    const double dx = x - centre.x;
    const double dy = y - centre.y;
    const double p = (dx * std::cos(turn) + dy * std::sin(turn)) / along;
    const double q = (dy * std::cos(turn) - dx * std::sin(turn)) / across;
    const double far = p * p + q * q;
    return far < 16 ? strength * std::exp(-far) : 0;
}

void layGlares(Light& picture, const Homography& seen, const Exposure& exposure) {
    const Homography back = seen.inverse();
    const Box box = boxOf(seen, picture);
    for (const Glare& glare : exposure.glares) {
        if (glare.beside >= 1)
            continue;
        for (int y = box.top; y < box.bottom; ++y)
            for (int x = box.left; x < box.right; ++x) {
                const Point at = back({x + 0.5, y + 0.5});
                const double cover = std::clamp((1 - std::sqrt(at.x * at.x + at.y * at.y)) * 100, 0.0, 1.0);
                if (cover == 0)
                    continue;
                const auto added =
                    static_cast<float>(cover * glare.at(x, y) * (1 - glare.beside) / exposure.brightness);
                float* pixel = picture.row(y) + static_cast<std::ptrdiff_t>(3) * x;
                for (int c = 0; c < 3; ++c)
                    pixel[c] += added;
            }
    }
}

void blur(Light& picture, double sigma, double motion, double motionTurn) {
    if (sigma > 5 || motion > 14) { // as well at half the size, and quicker
        Light half = halved(picture);
        blur(half, sigma / 2, motion / 2, motionTurn);
        enlarge(half, picture);
        return;
    }
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
    std::vector<float> times(static_cast<std::size_t>((picture.width + Lamp::kStep - 1) / Lamp::kStep * Lamp::kStep));
    std::vector<float> plus(times.size());
    const std::size_t stride = picture.stride();
    std::vector<float> value(stride);
    std::vector<std::int32_t> level(stride);
    for (int y = 0; y < picture.height; ++y) {
        lamp.row(lamp.times, y, times);
        lamp.row(lamp.plus, y, plus);
        const float* from = picture.row(y);
        for (std::size_t x = 0; x < static_cast<std::size_t>(picture.width); ++x)
            for (std::size_t c = 0; c < 3; ++c)
                value[3 * x + c] = from[3 * x + c] * times[x] * cast[c] + plus[x];
        const float* noise = &table[static_cast<std::size_t>(chance.bits() % (table.size() - stride))];
        for (std::size_t i = 0; i < stride; ++i) {
            const float v = std::min(1.0F, value[i]);
            const float grainy = v + noise[i] * std::sqrt(dark + shot * v);
            level[i] = static_cast<std::int32_t>(std::min(1.0F, std::max(0.0F, grainy)) * 4096.0F + 0.5F);
        }
        std::uint8_t* to = frame.rgb.data() + static_cast<std::size_t>(y) * stride;
        for (std::size_t i = 0; i < stride; ++i)
            to[i] = encoded[static_cast<std::size_t>(level[i])];
    }
    return frame;
}

} // namespace discal::drawn
