#include "reading/printed_lines.h"

#include "reading/statistics.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace discal::reading {

namespace {

constexpr float kGrey = 0.25F;     ///< less ink than that is paper: shade, or a camera's noise
constexpr int kGlyphReach = 4;      ///< pixels of a strip: to either side of a glyph's middle
constexpr float kFaint = 0.62F;     ///< of the usual ink: so faint a glyph may have lost a part
constexpr float kBesideStrip = 5;  ///< pixels of a strip
constexpr float kTallest = 0.62F;   ///< of the radius: a higher line is two that touch
constexpr float kTallValley = 0.7F; ///< ink left between them, of the line with less
constexpr float kGlyph = 0.5F;     ///< of a line's height: what hangs together and is higher is a glyph
constexpr float kBeside = 0.35F;   ///< of a line's height: so far beside whole glyphs there may be parts of one
constexpr float kHalf = 0.45F;     ///< of full ink: where a glyph's edge is taken to be

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

std::vector<float> levelAngles(const Plane& ink, std::size_t most) {
    struct Spot {
        float x;
        float y;
        float ink;
    };
    std::vector<Spot> spots;
    for (int y = 0; y + 1 < kDiscSide; y += 2)
        for (int x = 0; x + 1 < kDiscSide; x += 2) {
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

} // namespace discal::reading
