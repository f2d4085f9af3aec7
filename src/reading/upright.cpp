#include "reading/upright.h"

#include <array>
#include <cmath>
#include <numbers>

namespace discal::reading {

using services::Frame;

namespace {

constexpr int kSide = 2 * kDiscRadius + 1;
constexpr float kPrinted = 0.93F; ///< of the radius: beyond it is the edge, and no print
constexpr float kRim = 0.955F;     ///< of the radius: where nothing is along the edge, print may reach so far
constexpr float kWashed = 247;      ///< of 255, the darkest colour: as bright as the camera can tell, nearly
constexpr float kGrey = 0.25F;     ///< less ink than that is paper: shade, or a camera's noise
constexpr float kShade = 0.2F;     ///< less, before faint ink was lifted, is no part of a glyph
constexpr float kPiece = 0.28F;    ///< of full ink: what hangs together at least so dark is a piece, faint glyphs too
constexpr float kSmallPiece = 0.62F; ///< of a glyph's size: what is smaller is small print, or dirt
constexpr float kInside = 0.86F;    ///< of the radius: what comes from outside and reaches farther in might hide a glyph
constexpr float kHides = 0.78F;     ///< of the radius: farther out there is no room for a glyph
constexpr int kGlyphReach = 4;      ///< pixels of a strip: to either side of a glyph's middle
constexpr float kFaint = 0.62F;     ///< of the usual ink: so faint a glyph may have lost a part
constexpr float kBesideStrip = 5;  ///< pixels of a strip
constexpr int kBlurAround = 3;       ///< pixels of the flat disc
constexpr float kTouch = 0.7F;      ///< of a glyph's size, in pixels at the edge: a finger lies along it, a glyph touches it
constexpr float kLikeGlyph = 1.5F;  ///< of a glyph's size: what is no larger may be one
constexpr float kAtEdge = 0.015F;   ///< of the radius: what reaches so near the edge is no print: a finger, what is left of a ring
constexpr float kLongPiece = 36;    ///< pixels of the flat disc: longer than a glyph of the small print
constexpr float kAlong = 0.74F;     ///< of the radius: a large piece that is wholly farther out is part of a ring
constexpr float kTallest = 0.62F;   ///< of the radius: a higher line is two that touch
constexpr float kTallValley = 0.7F; ///< ink left between them, of the line with less
constexpr float kGlyph = 0.5F;     ///< of a line's height: what hangs together and is higher is a glyph
constexpr float kBeside = 0.35F;   ///< of a line's height: so far beside whole glyphs there may be parts of one
constexpr float kHalf = 0.45F;     ///< of full ink: where a glyph's edge is taken to be

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

/// Sums of all values up and left of a corner.
class Sums {
public:
    explicit Sums(const Plane& plane) : m_width(plane.width + 1), m_height(plane.height + 1) {
        m_sums.resize(static_cast<std::size_t>(m_width) * static_cast<std::size_t>(m_height), 0);
        for (int y = 0; y < plane.height; ++y) {
            double row = 0;
            for (int x = 0; x < plane.width; ++x) {
                row += static_cast<double>(plane.at(x, y));
                m_sums[index(x + 1, y + 1)] = m_sums[index(x + 1, y)] + row;
            }
        }
    }
    [[nodiscard]] double around(int x, int y, int reach) const {
        const int left = std::max(0, x - reach);
        const int top = std::max(0, y - reach);
        const int right = std::min(m_width - 1, x + reach + 1);
        const int bottom = std::min(m_height - 1, y + reach + 1);
        return m_sums[index(right, bottom)] - m_sums[index(left, bottom)] - m_sums[index(right, top)] +
               m_sums[index(left, top)];
    }

private:
    [[nodiscard]] std::size_t index(int x, int y) const {
        return static_cast<std::size_t>(y) * static_cast<std::size_t>(m_width) + static_cast<std::size_t>(x);
    }
    int m_width;
    int m_height;
    std::vector<double> m_sums;
};

float radiusAt(int x, int y) {
    return std::hypot(static_cast<float>(x - kDiscRadius), static_cast<float>(y - kDiscRadius)) / kDiscRadius;
}

/// The paper's brightness near each pixel: the mean of what is paper, told by what is bright against that mean.
Plane paperOf(const Plane& grey) {
    Plane mask(kSide, kSide);
    for (int y = 0; y < kSide; ++y)
        for (int x = 0; x < kSide; ++x)
            mask.at(x, y) = radiusAt(x, y) < 0.97F ? 1.0F : 0.0F;
    Plane paper(kSide, kSide);
    constexpr std::array kReach{48, 36, 28};
    constexpr std::array kBright{0.0F, 0.96F, 0.90F};
    for (std::size_t round = 0; round < kReach.size(); ++round) {
        Plane weight(kSide, kSide);
        Plane value(kSide, kSide);
        for (std::size_t i = 0; i < grey.values.size(); ++i) {
            const bool isPaper = mask.values[i] > 0 && grey.values[i] >= kBright[round] * paper.values[i];
            weight.values[i] = isPaper ? 1.0F : 0.0F;
            value.values[i] = isPaper ? grey.values[i] : 0.0F;
        }
        const Sums weights(weight);
        const Sums values(value);
        Plane next(kSide, kSide);
        for (int y = 0; y < kSide; ++y)
            for (int x = 0; x < kSide; ++x) {
                int reach = kReach[round];
                double n = weights.around(x, y, reach);
                while (n < 40 && reach < kSide) {
                    reach *= 2;
                    n = weights.around(x, y, reach);
                }
                next.at(x, y) = n > 0 ? static_cast<float>(values.around(x, y, reach) / n) : 255.0F;
            }
        paper = std::move(next);
    }
    return paper;
}

float quantileOf(std::vector<float> values, double share) {
    if (values.empty())
        return 0;
    const auto at = values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
    std::nth_element(values.begin(), at, values.end());
    return *at;
}

/// Share of the disc in dark regions that reach over the edge and into the print.
float coveredShare(const Plane& ink) {
    constexpr int kCoarse = 8;
    const int side = kSide / kCoarse;
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
    for (int y = kSide / 4; y < 3 * kSide / 4; y += 2)
        for (int x = kSide / 4; x < 3 * kSide / 4; x += 2)
            steps.push_back(std::abs(ink.at(x, y) - ink.at(x + 2, y)));
    const float noise = quantileOf(std::move(steps), 0.5) / std::max(0.05F, contrast);
    const int rounds = noise > 0.22F ? 3 : noise > 0.13F ? 2 : noise > 0.07F ? 1 : 0;
    for (int round = 0; round < rounds; ++round) {
        Plane out = ink;
        for (int y = 1; y + 1 < kSide; ++y)
            for (int x = 1; x + 1 < kSide; ++x) {
                float sum = 0;
                for (int dy = -1; dy <= 1; ++dy)
                    for (int dx = -1; dx <= 1; ++dx)
                        sum += ink.at(x + dx, y + dy) * static_cast<float>((2 - std::abs(dx)) * (2 - std::abs(dy)));
                out.at(x, y) = sum / 16;
            }
        ink = std::move(out);
    }
}

/// The greatest of each row's values within `reach`.
void widen(Plane& plane, int reach) {
    std::vector<float> row(static_cast<std::size_t>(plane.width));
    for (int y = 0; y < plane.height; ++y) {
        for (int x = 0; x < plane.width; ++x) {
            float most = 0;
            for (int i = std::max(0, x - reach); i <= std::min(plane.width - 1, x + reach); ++i)
                most = std::max(most, plane.at(i, y));
            row[static_cast<std::size_t>(x)] = most;
        }
        for (int x = 0; x < plane.width; ++x)
            plane.at(x, y) = row[static_cast<std::size_t>(x)];
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
    for (int y = 0; y < kSide; ++y)
        for (int x = 0; x < kSide; ++x)
            if (radiusAt(x, y) > inner)
                ink.at(x, y) = 0;
    return inner;
}

struct Extent {
    float whole; ///< along the longer axis, pixels
    float glyph; ///< of the glyphs that it is made of: the same, or where several touch, as in a blurred word, by the shorter axis
};

Extent extentOf(const std::vector<int>& pixels, int width) {
    const auto n = static_cast<double>(pixels.size());
    double meanX = 0;
    double meanY = 0;
    for (const int at : pixels) {
        meanX += at % width;
        meanY += at / width;
    }
    meanX /= n;
    meanY /= n;
    double xx = 0;
    double xy = 0;
    double yy = 0;
    for (const int at : pixels) {
        const double x = at % width - meanX;
        const double y = at / width - meanY;
        xx += x * x;
        xy += x * y;
        yy += y * y;
    }
    const double axis = 0.5 * std::atan2(2 * xy, xx - yy);
    const double cosine = std::cos(axis);
    const double sine = std::sin(axis);
    std::array<double, 4> ends{1e9, -1e9, 1e9, -1e9};
    for (const int at : pixels) {
        const double along = (at % width) * cosine + (at / width) * sine;
        const double across = (at / width) * cosine - (at % width) * sine;
        ends = {std::min(ends[0], along), std::max(ends[1], along), std::min(ends[2], across), std::max(ends[3], across)};
    }
    const double longer = ends[1] - ends[0] + 1;
    const double shorter = ends[3] - ends[2] + 1;
    const bool isStroke = n > 0.75 * longer * shorter; // I or 1
    return {static_cast<float>(longer), static_cast<float>(isStroke ? longer : std::min(longer, 1.35 * shorter))};
}

/// Ink by row, of the print only.
std::vector<float> rowsOf(const Plane& upright) {
    std::vector<float> rows(static_cast<std::size_t>(upright.height), 0);
    for (int y = 0; y < upright.height; ++y)
        for (int x = 0; x < upright.width; ++x)
            if (radiusAt(x, y) < kPrinted)
                rows[static_cast<std::size_t>(y)] += std::max(0.0F, upright.at(x, y) - kGrey);
    return rows;
}

std::vector<float> smoothed(const std::vector<float>& values) {
    std::vector<float> out(values.size(), 0);
    for (std::size_t i = 0; i < values.size(); ++i) {
        const float before = i > 0 ? values[i - 1] : values[i];
        const float after = i + 1 < values.size() ? values[i + 1] : values[i];
        out[i] = (before + 2 * values[i] + after) / 4;
    }
    return out;
}

/// From where to where most glyphs reach: a tail of Q or J doesn't count, nor does a point.
void findCapitals(const Plane& upright, PrintedLine& line) {
    struct Piece {
        int top;
        int bottom;
        int width;
    };
    const int first = static_cast<int>(line.upper + 0.5F);
    const int last = static_cast<int>(line.lower - 0.5F);
    const int tallest = last - first + 1;
    std::vector<Piece> pieces; // what hangs together from left to right
    bool isInside = false;
    for (int x = 0; x < upright.width; ++x) {
        int top = -1;
        int bottom = -1;
        for (int y = first; y <= last; ++y)
            if (radiusAt(x, y) < kPrinted && upright.at(x, y) > kHalf) {
                top = top < 0 ? y : top;
                bottom = y;
            }
        if (top < 0) {
            isInside = false;
            continue;
        }
        if (!isInside)
            pieces.push_back({top, bottom, 0});
        isInside = true;
        auto& piece = pieces.back();
        piece.top = std::min(piece.top, top);
        piece.bottom = std::max(piece.bottom, bottom);
        ++piece.width;
    }
    std::erase_if(pieces, [&](const Piece& piece) { return 2 * (piece.bottom - piece.top + 1) < tallest || piece.width < 2; });
    line.top = line.upper;
    line.baseline = line.lower;
    if (pieces.empty())
        return;
    const auto middle = [&](auto less) {
        std::stable_sort(pieces.begin(), pieces.end(), less);
        int all = 0;
        for (const auto& piece : pieces)
            all += piece.width;
        int sum = 0;
        for (const auto& piece : pieces)
            if ((sum += piece.width) * 2 >= all)
                return piece;
        return pieces.back();
    };
    line.top = static_cast<float>(middle([](const Piece& a, const Piece& b) { return a.top < b.top; }).top) - 0.5F;
    line.baseline =
        static_cast<float>(middle([](const Piece& a, const Piece& b) { return a.bottom < b.bottom; }).bottom) + 0.5F;
}

/// Gives what hangs together to the line that most of it lies in; what lies in two alike is two lines that touch, and stays
/// nobody's.
std::vector<std::uint8_t> ownersOf(const Plane& upright, std::vector<PrintedLine>& lines, std::vector<GlyphBox>& glyphs,
                                   std::vector<GlyphBox>& torn) {
    std::vector<std::uint8_t> owners(upright.values.size(), 0);
    if (lines.size() > 8)
        return owners;
    for (auto& line : lines) {
        line.first = upright.width;
        line.last = -1;
    }
    const int width = upright.width;
    std::vector<std::size_t> lineOf(static_cast<std::size_t>(upright.height), 0);
    for (std::size_t i = 0; i < lines.size(); ++i)
        for (int y = 0; y < upright.height; ++y)
            if (static_cast<float>(y) > lines[i].top && static_cast<float>(y) < lines[i].baseline)
                lineOf[static_cast<std::size_t>(y)] = i + 1;
    std::vector<bool> isSeen(owners.size(), false);
    std::vector<int> piece;
    for (int start = 0; start < static_cast<int>(owners.size()); ++start) {
        if (isSeen[static_cast<std::size_t>(start)] || upright.values[static_cast<std::size_t>(start)] <= kPiece)
            continue;
        piece.assign(1, start);
        isSeen[static_cast<std::size_t>(start)] = true;
        std::array<int, 9> shares{};
        for (std::size_t next = 0; next < piece.size(); ++next) {
            const int at = piece[next];
            ++shares[lineOf[static_cast<std::size_t>(at / width)]];
            const int x = at % width;
            for (const int step : {-1, 1, -width, width}) {
                const int to = at + step;
                if (to < 0 || to >= static_cast<int>(owners.size()) || (step == -1 && x == 0) || (step == 1 && x + 1 == width))
                    continue;
                if (!isSeen[static_cast<std::size_t>(to)] && upright.values[static_cast<std::size_t>(to)] > kPiece) {
                    isSeen[static_cast<std::size_t>(to)] = true;
                    piece.push_back(to);
                }
            }
        }
        const auto most = std::max_element(shares.begin() + 1, shares.end());
        auto others = shares;
        others[static_cast<std::size_t>(most - shares.begin())] = 0;
        if (*most == 0)
            continue;
        if (*most < 4 * *std::max_element(others.begin() + 1, others.end())) {
            // Nobody's, but each of the lines reaches as far as its part of it.
            for (std::size_t i = 0; i < lines.size(); ++i) {
                GlyphBox part{i, width, -1, upright.height, -1};
                for (const int at : piece)
                    if (lineOf[static_cast<std::size_t>(at / width)] == i + 1) {
                        part.left = std::min(part.left, at % width);
                        part.right = std::max(part.right, at % width);
                        part.top = std::min(part.top, at / width);
                        part.bottom = std::max(part.bottom, at / width);
                    }
                if (static_cast<float>(part.bottom - part.top + 1) > kGlyph * lines[i].height()) {
                    torn.push_back(part);
                    lines[i].first = std::min(lines[i].first, part.left);
                    lines[i].last = std::max(lines[i].last, part.right);
                }
            }
            continue;
        }
        const auto owner = static_cast<std::uint8_t>(most - shares.begin());
        int left = width;
        int right = 0;
        int top = upright.height;
        int bottom = 0;
        for (const int at : piece) {
            owners[static_cast<std::size_t>(at)] = owner;
            left = std::min(left, at % width);
            right = std::max(right, at % width);
            top = std::min(top, at / width);
            bottom = std::max(bottom, at / width);
        }
        auto& line = lines[owner - 1U];
        if (static_cast<float>(bottom - top + 1) > kGlyph * line.height()) {
            line.first = std::min(line.first, left);
            line.last = std::max(line.last, right);
            glyphs.push_back({owner - 1U, left, right, top, bottom});
        }
    }
    return owners;
}

/// The first and last column with ink; tails count. Where whole glyphs were seen (ownersOf), nothing far beside them does: small
/// print that runs along the edge comes up beside a line.
void findEnds(const Plane& upright, const std::vector<std::uint8_t>& owners, std::uint8_t own, PrintedLine& line) {
    const int beside = static_cast<int>(kBeside * line.height());
    const int from = line.last < 0 ? 0 : std::max(0, line.first - beside);
    const int to = line.last < 0 ? upright.width - 1 : std::min(upright.width - 1, line.last + beside);
    const float reach = 0.35F * line.height();
    const int top = std::max(0, static_cast<int>(std::ceil(line.top - reach / 2)));
    const int bottom = std::min(upright.height - 1, static_cast<int>(line.baseline + reach));
    std::vector<float> columns(static_cast<std::size_t>(upright.width), 0);
    for (int x = from; x <= to; ++x)
        for (int y = top; y <= bottom; ++y) {
            const auto owner = owners[static_cast<std::size_t>(y * upright.width + x)];
            const bool isNear = static_cast<float>(y) > line.upper && static_cast<float>(y) < line.lower;
            if (radiusAt(x, y) < kPrinted && (owner == own || (owner == 0 && isNear)))
                columns[static_cast<std::size_t>(x)] += std::max(0.0F, upright.at(x, y) - kGrey);
        }
    const float least = std::max(0.8F, 0.06F * line.height());
    line.first = 0;
    while (line.first + 1 < upright.width && columns[static_cast<std::size_t>(line.first)] < least)
        ++line.first;
    line.last = upright.width - 1;
    while (line.last > line.first && columns[static_cast<std::size_t>(line.last)] < least)
        --line.last;
}

} // namespace

FlatDisc flatten(const Frame& frame, const Disc& disc) {
    const Path path(disc, 0);
    // A large disc is brought down: several samples a pixel, so that nothing falls through.
    const int samples = disc.minor > 1.35F * kDiscRadius ? 2 : 1;
    Plane grey(kSide, kSide);
    FlatDisc flat;
    flat.washed = Plane(kSide, kSide);
    int clipped = 0;
    int inside = 0;
    for (int y = 0; y < kSide; ++y)
        for (int x = 0; x < kSide; ++x) {
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
    flat.ink = Plane(kSide, kSide);
    std::vector<float> printed;
    for (int y = 0; y < kSide; ++y)
        for (int x = 0; x < kSide; ++x) {
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

CodePrint withoutSmallPrint(const FlatDisc& disc) {
    CodePrint print{disc.ink, withFaintLifted(disc.ink), Plane(kSide, kSide), {}};
    // Pieces of what is lifted: a faint glyph would fall apart into small ones.
    const Plane ink = print.lifted;
    struct Piece {
        std::vector<int> pixels;
        int left;
        int right;
        int top;
        int bottom;
        float innermost; ///< of the radius
        float outermost;
        int alongEdge{0}; ///< pixels at the edge
        bool isAtEdge{false};
        bool isFromOutside{false};
        Extent extent{0, 0};
        [[nodiscard]] float size() const { return extent.whole; }
    };
    std::vector<Piece> pieces;
    std::vector<bool> isSeen(ink.values.size(), false);
    for (int start = 0; start < static_cast<int>(ink.values.size()); ++start) {
        if (isSeen[static_cast<std::size_t>(start)] || ink.values[static_cast<std::size_t>(start)] <= kPiece)
            continue;
        Piece piece{{start}, ink.width, 0, ink.height, 0, 2, 0, 0, false, false};
        isSeen[static_cast<std::size_t>(start)] = true;
        for (std::size_t next = 0; next < piece.pixels.size(); ++next) {
            const int at = piece.pixels[next];
            const int x = at % ink.width;
            const int y = at / ink.width;
            piece.innermost = std::min(piece.innermost, radiusAt(x, y));
            piece.outermost = std::max(piece.outermost, radiusAt(x, y));
            piece.alongEdge += std::abs(radiusAt(x, y) - disc.edge + kAtEdge / 2) < kAtEdge / 2 ? 1 : 0;
            piece.left = std::min(piece.left, x);
            piece.right = std::max(piece.right, x);
            piece.top = std::min(piece.top, y);
            piece.bottom = std::max(piece.bottom, y);
            for (const int step : {-1, 1, -ink.width, ink.width}) {
                const int to = at + step;
                if (to < 0 || to >= static_cast<int>(ink.values.size()) || (step == -1 && x == 0) ||
                    (step == 1 && x + 1 == ink.width) || isSeen[static_cast<std::size_t>(to)] ||
                    ink.values[static_cast<std::size_t>(to)] <= kPiece)
                    continue;
                isSeen[static_cast<std::size_t>(to)] = true;
                piece.pixels.push_back(to);
            }
        }
        piece.extent = extentOf(piece.pixels, ink.width);
        piece.isAtEdge = piece.outermost > disc.edge - kAtEdge;
        piece.isFromOutside = piece.isAtEdge || (piece.innermost > kAlong && piece.size() > kLongPiece);
        pieces.push_back(std::move(piece));
    }
    // How large a glyph of the code is: what most of the ink is part of. Only where several are alike: blurred into each other,
    // glyphs say nothing about their size.
    std::vector<const Piece*> bySize;
    std::size_t all = 0;
    for (const auto& piece : pieces)
        if (!piece.isFromOutside) {
            bySize.push_back(&piece);
            all += piece.pixels.size();
        }
    std::stable_sort(bySize.begin(), bySize.end(), [](const Piece* a, const Piece* b) { return a->extent.glyph < b->extent.glyph; });
    std::size_t sum = 0;
    float usual = 0;
    for (const auto* piece : bySize)
        if ((sum += piece->pixels.size()) * 2 >= all) {
            usual = piece->extent.glyph;
            break;
        }
    const auto alike = std::count_if(pieces.begin(), pieces.end(), [&](const Piece& piece) {
        return piece.extent.glyph > 0.72F * usual && piece.extent.glyph < 1.4F * usual;
    });
    for (const auto& piece : pieces) {
        if (!piece.isFromOutside && (alike < 3 || piece.size() > kSmallPiece * usual))
            continue;
        const bool isLarge = piece.size() > kSmallPiece * usual;
        if (piece.isAtEdge && alike >= 3 && isLarge && piece.size() < kLikeGlyph * usual && piece.innermost < kAlong &&
            static_cast<float>(piece.alongEdge) < kTouch * usual)
            continue;
        if (piece.isAtEdge && isLarge && piece.innermost < kInside) {
            if (print.atEdge.width == 0)
                print.atEdge = Plane(ink.width, ink.height);
            for (const int at : piece.pixels)
                if (radiusAt(at % ink.width, at / ink.width) < kHides) // a ring hides nothing
                    print.atEdge.values[static_cast<std::size_t>(at)] = 1;
        }
        const auto reach = static_cast<int>(0.08F * usual);
        const bool isPart = std::any_of(pieces.begin(), pieces.end(), [&](const Piece& other) {
            return other.size() > kSmallPiece * usual && piece.left >= other.left - reach && piece.right <= other.right + reach &&
                   piece.top >= other.top - reach && piece.bottom <= other.bottom + reach;
        });
        if (isPart && !piece.isFromOutside)
            continue;
        // And the blur around it.
        const auto takeOff = [&](std::size_t at) {
            if (!piece.isFromOutside)
                print.small.values[at] = disc.ink.values[at] > kShade ? ink.values[at] : 0;
            print.ink.values[at] = print.lifted.values[at] = 0;
        };
        for (const int at : piece.pixels) {
            for (int dy = -kBlurAround; dy <= kBlurAround; ++dy)
                for (int dx = -kBlurAround; dx <= kBlurAround; ++dx) {
                    const int x = std::clamp(at % ink.width + dx, 0, ink.width - 1);
                    const int y = std::clamp(at / ink.width + dy, 0, ink.height - 1);
                    if (ink.at(x, y) <= kPiece)
                        takeOff(static_cast<std::size_t>(y * ink.width + x));
                }
            takeOff(static_cast<std::size_t>(at));
        }
    }
    return print;
}

Plane withFaintLifted(Plane ink) {
    constexpr int kCoarse = 4;
    constexpr float kFaintest = 0.33F;
    const int side = kSide / kCoarse;
    Plane level(side, side); // of the darkest ink near, coarsely
    for (int y = 0; y < side; ++y)
        for (int x = 0; x < side; ++x) {
            float sum = 0;
            for (int fy = 0; fy < kCoarse; ++fy)
                for (int fx = 0; fx < kCoarse; ++fx)
                    sum += ink.at(x * kCoarse + fx, y * kCoarse + fy);
            level.at(x, y) = std::min(1.0F, 1.15F * sum / (kCoarse * kCoarse));
        }
    Plane across(side, side);
    widen(level, 4);
    for (int y = 0; y < side; ++y)
        for (int x = 0; x < side; ++x)
            across.at(x, y) = level.at(y, x);
    widen(across, 4);
    const Sums sums(across);
    for (int y = 0; y < side; ++y)
        for (int x = 0; x < side; ++x) {
            const int left = std::max(0, x - 3);
            const int top = std::max(0, y - 3);
            const int right = std::min(side - 1, x + 3);
            const int bottom = std::min(side - 1, y + 3);
            level.at(y, x) = static_cast<float>(sums.around(x, y, 3)) / static_cast<float>((right - left + 1) * (bottom - top + 1));
        }
    for (int y = 0; y < kSide; ++y)
        for (int x = 0; x < kSide; ++x) {
            const float near = level.between(static_cast<float>(x) / kCoarse - 0.5F, static_cast<float>(y) / kCoarse - 0.5F);
            ink.at(x, y) = std::min(1.2F, ink.at(x, y) / std::clamp(near, kFaintest, 1.0F));
        }
    return ink;
}

std::vector<float> levelAngles(const Plane& ink, std::size_t most) {
    struct Spot {
        float x;
        float y;
        float ink;
    };
    std::vector<Spot> spots;
    for (int y = 0; y + 1 < kSide; y += 2)
        for (int x = 0; x + 1 < kSide; x += 2) {
            if (radiusAt(x, y) > 0.88F)
                continue;
            const float here = (ink.at(x, y) + ink.at(x + 1, y) + ink.at(x, y + 1) + ink.at(x + 1, y + 1)) / 4;
            if (here > 0.35F)
                spots.push_back({static_cast<float>(x - kDiscRadius) / 2, static_cast<float>(y - kDiscRadius) / 2,
                                 std::min(1.0F, here)});
        }
    constexpr int kAngles = 90;
    constexpr int kBins = kDiscRadius + 8;
    std::vector<float> scores(kAngles);
    const auto scoreAt = [&](float angle) {
        std::array<float, kBins> rows{};
        const float cosine = std::cos(angle);
        const float sine = std::sin(angle);
        for (const auto& spot : spots) {
            // Each spot is shared out between two rows: whole rows would favour angles along the pixels.
            const float row = spot.x * sine + spot.y * cosine + kBins / 2.0F;
            const int upper = static_cast<int>(row);
            const float part = row - static_cast<float>(upper);
            rows[static_cast<std::size_t>(std::clamp(upper, 0, kBins - 1))] += spot.ink * (1 - part);
            rows[static_cast<std::size_t>(std::clamp(upper + 1, 0, kBins - 1))] += spot.ink * part;
        }
        float score = 0;
        for (std::size_t i = 2; i + 2 < rows.size(); ++i) {
            const float step = rows[i + 1] + rows[i + 2] - rows[i - 1] - rows[i - 2];
            score += step * step;
        }
        return score;
    };
    for (int i = 0; i < kAngles; ++i)
        scores[static_cast<std::size_t>(i)] = scoreAt(static_cast<float>(i) * std::numbers::pi_v<float> / kAngles);
    const auto score = [&](int i) { return scores[static_cast<std::size_t>((i % kAngles + kAngles) % kAngles)]; };
    constexpr float kStep = std::numbers::pi_v<float> / kAngles;
    struct Peak {
        float score;
        float angle;
    };
    const auto refined = [&](int i) {
        Peak peak{score(i), static_cast<float>(i) * kStep};
        for (const float off : {-0.5F, -0.25F, 0.25F, 0.5F})
            if (const float finer = scoreAt((static_cast<float>(i) + off) * kStep); finer > peak.score)
                peak = {finer, (static_cast<float>(i) + off) * kStep};
        return peak;
    };
    std::vector<int> tops;
    for (int i = 0; i < kAngles; ++i)
        if (score(i) >= score(i - 1) && score(i) >= score(i + 1) && score(i) >= score(i - 2) && score(i) >= score(i + 2))
            tops.push_back(i);
    std::stable_sort(tops.begin(), tops.end(), [&](int a, int b) { return score(a) > score(b); });
    std::vector<float> angles;
    const auto add = [&](int i) {
        const auto peak = refined(i);
        const bool isKnown = std::any_of(angles.begin(), angles.end(), [&](float other) {
            return std::abs(std::remainder(peak.angle - other, std::numbers::pi_v<float>)) < 1.5F * kStep;
        });
        if (!isKnown && angles.size() < most)
            angles.push_back(peak.angle);
    };
    for (const int top : tops) {
        add(top);
        // Upright strokes above each other make columns as uneven as lines make rows: across it, the next best guess.
        int across = top + kAngles / 2;
        for (int i = top + kAngles / 2 - 3; i <= top + kAngles / 2 + 3; ++i)
            if (score(i) > score(across))
                across = i;
        add(across);
    }
    return angles;
}

Plane turned(const Plane& ink, float angle) {
    Plane upright(kSide, kSide);
    const float cosine = std::cos(angle);
    const float sine = std::sin(angle);
    for (int y = 0; y < kSide; ++y)
        for (int x = 0; x < kSide; ++x) {
            if (radiusAt(x, y) > 0.98F)
                continue;
            const auto dx = static_cast<float>(x - kDiscRadius);
            const auto dy = static_cast<float>(y - kDiscRadius);
            upright.at(x, y) = ink.between(dx * cosine + dy * sine + kDiscRadius, dy * cosine - dx * sine + kDiscRadius);
        }
    return upright;
}

Print findLines(const Plane& upright, float valley) {
    const auto rows = smoothed(rowsOf(upright));
    const float most = *std::max_element(rows.begin(), rows.end());
    if (most < 3)
        return {};
    // Bands of rows with ink; where two lines nearly touch, the valley between parts them.
    struct Band {
        int top;
        int bottom;
    };
    std::vector<Band> bands;
    const float quiet = std::max(1.0F, 0.02F * most);
    const int height = upright.height;
    for (int y = 0; y < height; ++y) {
        if (rows[static_cast<std::size_t>(y)] <= quiet)
            continue;
        int end = y;
        while (end + 1 < height && rows[static_cast<std::size_t>(end + 1)] > quiet)
            ++end;
        bands.push_back({y, end});
        y = end;
    }
    std::vector<Band> parted;
    const auto part = [&](auto&& self, Band band) -> void {
        int at = -1;
        float deepest = static_cast<float>(band.bottom - band.top) > kTallest * kDiscRadius ? std::max(valley, kTallValley) : valley;
        const int least = std::max(5, 3 * (band.bottom - band.top) / 10); // of either line
        for (int y = band.top + least; y <= band.bottom - least; ++y) {
            float above = 0;
            float below = 0;
            for (int k = band.top; k < y; ++k)
                above = std::max(above, rows[static_cast<std::size_t>(k)]);
            for (int k = y + 1; k <= band.bottom; ++k)
                below = std::max(below, rows[static_cast<std::size_t>(k)]);
            const float ratio = rows[static_cast<std::size_t>(y)] / std::min(above, below);
            if (ratio < deepest) {
                deepest = ratio;
                at = y;
            }
        }
        if (at < 0) {
            parted.push_back(band);
            return;
        }
        self(self, {band.top, at - 1});
        self(self, {at + 1, band.bottom});
    };
    for (const auto& band : bands)
        part(part, band);
    std::vector<PrintedLine> lines;
    for (const auto& band : parted) {
        if (band.bottom - band.top < 4)
            continue;
        PrintedLine line;
        line.upper = static_cast<float>(band.top) - 0.5F;
        line.lower = static_cast<float>(band.bottom) + 0.5F;
        findCapitals(upright, line);
        if (line.height() >= 5)
            lines.push_back(line);
    }
    // Tails of Q and J hang below; rows up to half way to the next line are still this one's.
    for (std::size_t i = 0; i < lines.size(); ++i) {
        auto& line = lines[i];
        const float above = i > 0 ? (lines[i - 1].baseline + line.top) / 2 : 0;
        const float below = i + 1 < lines.size() ? (line.baseline + lines[i + 1].top) / 2 : static_cast<float>(height);
        line.upper = std::min(line.upper, above);
        line.lower = std::max(line.lower, below);
    }
    Print print;
    print.owners = ownersOf(upright, lines, print.glyphs, print.torn);
    for (std::size_t i = 0; i < lines.size(); ++i)
        findEnds(upright, print.owners, static_cast<std::uint8_t>(i + 1), lines[i]);
    print.lines = std::move(lines);
    return print;
}

float slantOf(const Print& print, const std::vector<std::size_t>& lines) {
    // Along the tops and along the feet, and the lesser of both: a tail of Q or J tells nothing.
    float least = 1e9F;
    for (const bool isTop : {true, false}) {
        float across = 0;
        float product = 0;
        for (const auto line : lines) {
            float n = 0;
            float meanX = 0;
            float meanY = 0;
            const auto forEach = [&](auto&& visit) {
                for (const auto& glyph : print.glyphs)
                    if (glyph.line == line)
                        visit(static_cast<float>(glyph.left + glyph.right) / 2, static_cast<float>(isTop ? glyph.top : glyph.bottom));
            };
            forEach([&](float x, float y) {
                n += 1;
                meanX += x;
                meanY += y;
            });
            if (n < 2)
                continue;
            meanX /= n;
            meanY /= n;
            forEach([&](float x, float y) {
                across += (x - meanX) * (x - meanX);
                product += (x - meanX) * (y - meanY);
            });
        }
        if (across < 1)
            return 0;
        if (std::abs(product / across) < std::abs(least))
            least = product / across;
    }
    return least;
}

Strip makeStrip(const Plane& upright, const Print& print, const std::vector<std::size_t>& lines) {
    constexpr float kCap = kBaseline - kCapTop;
    constexpr int kBetweenLines = 10;
    Strip strip;
    std::vector<int> widths;
    strip.width = 2 * kStripMargin;
    for (const auto index : lines) {
        const auto& line = print.lines[index];
        widths.push_back(static_cast<int>(std::ceil(static_cast<float>(line.last - line.first + 1) * kCap / line.height())));
        strip.width += widths.back();
    }
    strip.width += kBetweenLines * (static_cast<int>(lines.size()) - 1);
    strip.width = (strip.width + 3) / 4 * 4;
    strip.ink.assign(static_cast<std::size_t>(strip.width) * kStripHeight, 0.0F);
    const auto rows = static_cast<float>(upright.height);
    const auto across = static_cast<float>(upright.width);
    int left = kStripMargin;
    for (std::size_t i = 0; i < lines.size(); ++i) {
        const auto& line = print.lines[lines[i]];
        const auto own = static_cast<std::uint8_t>(lines[i] + 1);
        const float scale = line.height() / kCap;
        const int samples = std::clamp(static_cast<int>(std::ceil(scale)), 1, 4);
        const auto inkAt = [&](float x, float y) {
            if (x < 0 || y < 0 || x > across - 1 || y > rows - 1)
                return 0.0F;
            const auto owner = print.owners[static_cast<std::size_t>(std::lround(y)) * static_cast<std::size_t>(upright.width) +
                                            static_cast<std::size_t>(std::lround(x))];
            if (owner != own && (owner != 0 || y < line.upper - 1 || y > line.lower + 1))
                return 0.0F;
            return std::clamp(upright.between(x, y), 0.0F, 1.0F);
        };
        // A little of what is beside a line's ends, but not of the next line.
        const int beside = kBetweenLines / 2;
        for (int x = -beside; x < widths[i] + beside; ++x)
            for (int y = 0; y < kStripHeight; ++y) {
                float sum = 0;
                for (int sy = 0; sy < samples; ++sy)
                    for (int sx = 0; sx < samples; ++sx) {
                        const float ox = (static_cast<float>(sx) + 0.5F) / static_cast<float>(samples);
                        const float oy = (static_cast<float>(sy) + 0.5F) / static_cast<float>(samples);
                        sum += inkAt(static_cast<float>(line.first) + (static_cast<float>(x) + ox) * scale - 0.5F,
                                     line.top + (static_cast<float>(y) - kCapTop + oy) * scale - 0.5F);
                    }
                strip.ink[static_cast<std::size_t>(y) * static_cast<std::size_t>(strip.width) +
                          static_cast<std::size_t>(left + x)] = sum / static_cast<float>(samples * samples);
            }
        strip.lines.push_back({left, left + widths[i] - 1, static_cast<float>(line.first), scale, line.top, line.baseline, {}});
        for (const auto& part : print.torn)
            if (part.line == lines[i])
                strip.lines.back().torn.emplace_back(static_cast<float>(part.left), static_cast<float>(part.right));
        left += widths[i] + kBetweenLines;
    }
    return strip;
}

std::vector<float> lostInk(const Plane& washed, const Strip& strip, std::size_t columns) {
    const Sums sums(washed);
    const float usual = quantileOf(strip.ink, 0.95);
    std::vector<float> out(columns, 0.0F);
    for (std::size_t c = 0; c < columns; ++c) {
        const auto x = static_cast<float>(strip.width) * (static_cast<float>(c) + 0.5F) / static_cast<float>(columns);
        for (const auto& line : strip.lines) {
            const float height = line.baseline - line.top;
            if (x < static_cast<float>(line.left) - kBesideStrip || x > static_cast<float>(line.right) + kBesideStrip)
                continue;
            const float middle = line.first + (x - static_cast<float>(line.left)) * line.scale;
            const auto reach = static_cast<int>(height / 6);
            // Squares, three above each other, on the glyph and to either side of it.
            for (const float off : {-0.45F, -0.15F, 0.15F, 0.45F})
                for (const float part : {0.2F, 0.5F, 0.8F}) {
                    const int atX = std::clamp(static_cast<int>(middle + off * height), reach, washed.width - 1 - reach);
                    const int atY = std::clamp(static_cast<int>(line.top + part * height), reach, washed.height - 1 - reach);
                    const auto share = static_cast<float>(sums.around(atX, atY, reach)) /
                                       static_cast<float>((2 * reach + 1) * (2 * reach + 1));
                    out[c] = std::max(out[c], share);
                }
            for (const auto& [left, right] : line.torn)
                if (middle > left - 0.1F * height && middle < right + 0.1F * height)
                    out[c] = 1;
            float darkest = 0;
            for (int sx = std::max(0, static_cast<int>(x) - kGlyphReach); sx <= std::min(strip.width - 1, static_cast<int>(x) + kGlyphReach); ++sx)
                for (int sy = static_cast<int>(kCapTop); sy <= static_cast<int>(kBaseline); ++sy)
                    darkest = std::max(darkest, strip.ink[static_cast<std::size_t>(sy) * static_cast<std::size_t>(strip.width) + static_cast<std::size_t>(sx)]);
            if (darkest < kFaint * usual)
                out[c] = 1;
        }
    }
    return out;
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
