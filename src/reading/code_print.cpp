#include "reading/code_print.h"

#include "reading/statistics.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace discal::reading {

namespace {

constexpr float kShade = 0.2F;     ///< less, before faint ink was lifted, is no part of a glyph
constexpr float kSmallPiece = 0.62F; ///< of a glyph's size: what is smaller is small print, or dirt
constexpr float kInside = 0.86F;    ///< of the radius: what comes from outside and reaches farther in might hide a glyph
constexpr float kHides = 0.78F;     ///< of the radius: farther out there is no room for a glyph
constexpr int kBlurAround = 3;       ///< pixels of the flat disc
constexpr float kTouch = 0.7F;      ///< of a glyph's size, in pixels at the edge: a finger lies along it, a glyph touches it
constexpr float kLikeGlyph = 1.5F;  ///< of a glyph's size: what is no larger may be one
constexpr float kAtEdge = 0.015F;   ///< of the radius: what reaches so near the edge is no print: a finger, what is left of a ring
constexpr float kLongPiece = 36;    ///< pixels of the flat disc: longer than a glyph of the small print
constexpr float kAlong = 0.74F;     ///< of the radius: a large piece that is wholly farther out is part of a ring

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

} // namespace

CodePrint withoutSmallPrint(const FlatDisc& disc) {
    CodePrint print{disc.ink, withFaintLifted(disc.ink), Plane(kDiscSide, kDiscSide), {}};
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
    std::vector<const Piece*> whole; // that small ones may be part of
    for (const auto& piece : pieces)
        if (piece.size() > kSmallPiece * usual)
            whole.push_back(&piece);
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
        const bool isPart = std::any_of(whole.begin(), whole.end(), [&](const Piece* other) {
            return piece.left >= other->left - reach && piece.right <= other->right + reach && piece.top >= other->top - reach &&
                   piece.bottom <= other->bottom + reach;
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
    const int side = kDiscSide / kCoarse;
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
    for (int y = 0; y < kDiscSide; ++y)
        for (int x = 0; x < kDiscSide; ++x) {
            const float near = level.between(static_cast<float>(x) / kCoarse - 0.5F, static_cast<float>(y) / kCoarse - 0.5F);
            ink.at(x, y) = std::min(1.2F, ink.at(x, y) / std::clamp(near, kFaintest, 1.0F));
        }
    return ink;
}

} // namespace discal::reading
