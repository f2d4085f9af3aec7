#include "reading/tag_reader.h"

#include "reading/code_print.h"
#include "reading/disc_finder.h"
#include "reading/flat_disc.h"
#include "reading/printed_lines.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>

namespace discal::reading {

using services::Frame;
using services::Refusal;

namespace {

constexpr std::size_t kDiscs = 5;   ///< tried in a frame
constexpr std::size_t kAngles = 8;  ///< tried of a disc, each both ways up
constexpr std::size_t kLikely = 4;  ///< the first of them, before anything else
/// Of the tallest line's height: lower ones are small print. Letters may be set smaller than digits, so there are several
/// guesses; the later ones are tried where print is clear but spells no code.
constexpr std::array kSmallPrint{0.55F, 0.78F, 0.42F};
constexpr double kLegible = -0.35;  ///< of the strip's columns, mean logarithm of the likeliest glyph: it is print, upright
constexpr double kNoPrint = -0.7;   ///< the same: no print, however it is turned
constexpr double kOtherPrint = -0.15; ///< the same: print that is clear, though it spells no possible code
/// Ink left between two lines: sharp first; then blurred, or with a tail of Q or J that reaches into the next.
constexpr float kSharpValley = 0.14F;
constexpr float kBlurredValley = 0.5F;
constexpr std::size_t kAgain = 2;   ///< angles of either kind that are tried in other ways
constexpr double kClear = -0.06;    ///< score a glyph: no other way of cutting will be clearer
constexpr double kGood = -0.3;       ///< score a glyph: no other guess at the small print is needed
constexpr float kAside = 0.33F;       ///< of a capital's height: half a glyph's width is more
constexpr float kEdge = 0.95F;        ///< of the radius
constexpr float kHidden = 0.7F;       ///< of a capital's height: so near a line there may be another glyph
constexpr float kHiddenBeside = 0.06F; ///< of a capital's height squared: less beside a line hides no glyph
constexpr float kHiddenAside = 0.25F;  ///< of a capital's height
constexpr float kHiddenLine = 0.35F;   ///< and less above or below no line
constexpr float kPartInk = 0.03F;      ///< of a capital's height squared: more may be part of a glyph
constexpr float kWideStep = 1.75F;   ///< of the usual step from glyph to glyph
constexpr double kHopeless = -2.2;   ///< clearness: not worth spelling
constexpr int kWidest = 640;         ///< pixels of a strip
constexpr double kHopeful = -1.2;   ///< score a glyph: worth asking the second reader
constexpr double kLikePrint = -1.5;   ///< score a glyph: more like print of a tag than like anything else
constexpr float kLikeTag = 0.7F;      ///< score of a disc that is hardly anything else
constexpr float kSlightlyAskew = 0.05F; ///< slope of the lines: worth turning the disc by a better angle
constexpr float kFarAskew = 0.7F;       ///< slope: those are no lines
constexpr float kAskew = 0.16F;         ///< slope: glyphs aren't what they look like
constexpr float kSmallest = 62;     ///< pixels of the frame, half a disc: below, a tag is too far

struct Cut {
    Strip strip;
    tag::GlyphColumns columns;
    std::string text;
    double score{-1e9}; ///< a glyph
    bool isListed{false};
    bool hasRoom{false};
    float angle{0};
    double clearest{-1e9}; ///< of all cuts of the disc, where none spells a possible code well: how clear the clearest is
    tag::GlyphColumns upsideDown; ///< the same angle the other way up, where that spells a code too
};

/// Which of two ways to believe: one of ours before one that isn't, if it is read well at all.
bool isBetter(const Cut& a, const Cut& b) {
    const double listed = 0.25; // a glyph: by so much print on its head may look clearer than a code of ours
    return a.score + (a.isListed ? listed : 0) > b.score + (b.isListed ? listed : 0);
}

/// Which lines are at least as high as this share of the tallest.
std::vector<std::size_t> codeLines(const Print& print, float share) {
    float tallest = 0;
    for (const auto& line : print.lines)
        tallest = std::max(tallest, line.height());
    std::vector<std::size_t> code;
    for (std::size_t i = 0; i < print.lines.size(); ++i)
        if (print.lines[i].height() >= share * tallest && print.lines[i].last - print.lines[i].first >= 3)
            code.push_back(i);
    return code;
}

/// How sure the network is of what it sees, whether or not that is a code.
double clearness(const tag::GlyphColumns& columns) {
    double sum = 0;
    for (const auto& column : columns)
        sum += static_cast<double>(*std::max_element(column.begin(), column.end()));
    return sum / static_cast<double>(columns.size());
}

/// Whether a glyph may have gone lost: between two of a line there is room for another, or a line isn't in the middle above or
/// below the next.
bool hasRoom(const Print& print, const std::vector<std::size_t>& lines, const Strip& strip, const tag::GlyphColumns& columns) {
    for (std::size_t i = 1; i < lines.size(); ++i) {
        const auto& a = print.lines[lines[i - 1]];
        const auto& b = print.lines[lines[i]];
        const float apart = std::abs(static_cast<float>(a.first + a.last - b.first - b.last)) / 2;
        if (apart > kAside * std::min(a.height(), b.height()))
            return true;
    }
    // Print that reaches the edge was cut off by it, or the disc was found wrongly.
    for (const auto index : lines) {
        const auto& line = print.lines[index];
        for (const int x : {line.first, line.last})
            for (const float y : {line.top, line.baseline})
                if (std::hypot(static_cast<float>(x - kDiscRadius), y - kDiscRadius) > kEdge * kDiscRadius)
                    return true;
    }
    // Middles of the glyphs, line by line: a new line begins behind a margin without ink, and so does what is behind a blank.
    std::vector<std::pair<float, std::size_t>> middles;
    std::size_t before = tag::kBetweenGlyphs;
    std::size_t began = 0;
    for (std::size_t i = 0; i <= columns.size(); ++i) {
        const std::size_t glyph = i == columns.size() ? tag::kBetweenGlyphs
                                                      : static_cast<std::size_t>(std::max_element(columns[i].begin(), columns[i].end()) -
                                                                                 columns[i].begin());
        if (glyph != before && before != tag::kBetweenGlyphs)
            middles.emplace_back(static_cast<float>(began + i - 1) / 2, before);
        if (glyph != before)
            began = i;
        before = glyph;
    }
    if (strip.width <= 0 || middles.size() < 3)
        return false;
    std::vector<float> steps;
    for (std::size_t i = 1; i < middles.size(); ++i)
        steps.push_back(middles[i].first - middles[i - 1].first);
    auto sorted = steps;
    std::nth_element(sorted.begin(), sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2), sorted.end());
    const float usual = sorted[sorted.size() / 2];
    for (std::size_t i = 1; i < middles.size(); ++i) {
        // Between letters and digits there may be a blank, or another line.
        const bool isBorder = (middles[i].second < 10) != (middles[i - 1].second < 10);
        if (!isBorder && steps[i - 1] > kWideStep * usual && lines.size() < 3)
            return true;
    }
    return false;
}

/// Whether what came in over the edge may hide a glyph of these lines: beside one, or a line above or below.
bool mayHideGlyph(const Plane& atEdge, const Print& print, const std::vector<std::size_t>& lines) {
    for (const auto index : lines) {
        const auto& line = print.lines[index];
        const float height = line.height();
        const auto hiddenIn = [&](float left, float right, float top, float bottom) {
            int count = 0;
            for (int y = std::max(0, static_cast<int>(top)); y <= std::min(atEdge.height - 1, static_cast<int>(bottom)); ++y)
                for (int x = std::max(0, static_cast<int>(left)); x <= std::min(atEdge.width - 1, static_cast<int>(right)); ++x)
                    count += atEdge.at(x, y) > 0.5F ? 1 : 0;
            return static_cast<float>(count) / (height * height);
        };
        const auto first = static_cast<float>(line.first);
        const auto last = static_cast<float>(line.last);
        const float wide = kHidden * height;
        // Lines are centred: with a glyph hidden at one end, what is seen lies towards the other.
        const float aside = (first + last) / 2 - static_cast<float>(kDiscRadius);
        if ((aside > kHiddenAside * height && hiddenIn(first - wide, first, line.top, line.baseline) > kHiddenBeside) ||
            (aside < -kHiddenAside * height && hiddenIn(last, last + wide, line.top, line.baseline) > kHiddenBeside) ||
            (lines.size() == 1 && (hiddenIn(first, last, line.top - 1.3F * height, line.top) > kHiddenLine ||
                                   hiddenIn(first, last, line.baseline, line.baseline + 1.3F * height) > kHiddenLine)))
            return true;
    }
    return false;
}

Cut cutAt(const Plane& upright, const Plane& atEdge, const Print& print, const std::vector<std::size_t>& lines,
          const GlyphNetwork& network, const tag::Decoder& decoder) {
    Cut cut;
    if (lines.empty() || lines.size() > 4)
        return cut;
    cut.strip = makeStrip(upright, print, lines);
    if (cut.strip.width > kWidest)
        return cut;
    cut.columns = network.read(cut.strip);
    if (clearness(cut.columns) < kHopeless)
        return cut;
    if (const auto best = decoder.spellings(cut.columns, 1); !best.empty()) {
        cut.text = best.front().text;
        cut.score = best.front().score / static_cast<double>(cut.text.size());
        cut.isListed = best.front().isListed;
        cut.hasRoom = hasRoom(print, lines, cut.strip, cut.columns) || (atEdge.width > 0 && mayHideGlyph(atEdge, print, lines));
    }
    return cut;
}

/// The upright disc with what was taken off for its size put back where it lies in one of these lines: parts of a faint glyph.
/// Nothing if there is none.
std::optional<Plane> withPartsBack(const Plane& upright, const Plane& small, const Print& print, const std::vector<std::size_t>& lines) {
    std::optional<Plane> out;
    for (const auto index : lines) {
        const auto& line = print.lines[index];
        const float height = line.height();
        const int left = std::max(0, static_cast<int>(static_cast<float>(line.first) - height));
        const int right = std::min(small.width - 1, static_cast<int>(static_cast<float>(line.last) + height));
        const int top = std::max(0, static_cast<int>(line.top));
        const int bottom = std::min(small.height - 1, static_cast<int>(line.baseline));
        float ink = 0;
        for (int y = top; y <= bottom; ++y)
            for (int x = left; x <= right; ++x)
                ink += small.at(x, y);
        if (ink < kPartInk * height * height)
            continue;
        if (!out)
            out = upright;
        for (int y = top; y <= bottom; ++y)
            for (int x = left; x <= right; ++x)
                out->at(x, y) = std::max(out->at(x, y), small.at(x, y));
    }
    return out;
}

/// What is cut out of the disc at an angle.
struct Ink {
    const Plane& code;
    const Plane& small;
    const Plane& atEdge; ///< or empty
};

/// The best of the ways of cutting out the code at this angle.
Cut bestAt(const Ink& ink, float angle, float valley, const GlyphNetwork& network, const tag::Decoder& decoder) {
    auto upright = turned(ink.code, angle);
    auto print = findLines(upright, valley);
    auto slant = slantOf(print, codeLines(print, kSmallPrint.front()));
    if (std::abs(slant) > kSlightlyAskew && std::abs(slant) < kFarAskew) {
        angle -= std::atan(slant);
        upright = turned(ink.code, angle);
        print = findLines(upright, valley);
        slant = slantOf(print, codeLines(print, kSmallPrint.front()));
    }
    Cut best;
    best.angle = angle;
    if (std::abs(slant) > kAskew)
        return best; // aslant, 7 looks like 1
    const auto atEdge = ink.atEdge.width > 0 ? turned(ink.atEdge, angle) : Plane();
    const auto small = ink.small.width > 0 ? turned(ink.small, angle) : Plane();
    std::size_t tried = 0;
    for (const float share : kSmallPrint) {
        const auto code = codeLines(print, share);
        if (code.size() == tried)
            continue;
        tried = code.size();
        auto cut = cutAt(upright, atEdge, print, code, network, decoder);
        if (const auto whole = small.width > 0 && !cut.columns.empty() ? withPartsBack(upright, small, print, code) : std::nullopt) {
            const auto again = findLines(*whole, valley);
            auto other = cutAt(*whole, atEdge, again, codeLines(again, share), network, decoder);
            if (other.score > std::min(kGood, cut.score))
                cut = std::move(other);
            else
                cut.hasRoom = true; // something is there that wasn't read
        }
        const bool isPrint = !cut.columns.empty() && clearness(cut.columns) > kLegible;
        if (cut.score > best.score || best.columns.empty())
            best = std::move(cut);
        if (!isPrint || best.score > kGood)
            break;
    }
    best.angle = angle;
    return best;
}

/// Tries all angles; where none is read well, the likeliest ones again, as if glare or blur were in the way.
Cut bestCut(const FlatDisc& flat, const GlyphNetwork& network, const tag::Decoder& decoder) {
    std::vector<Cut> cuts;
    const auto large = withoutSmallPrint(flat);
    const auto angles = levelAngles(large.lifted, kAngles);
    for (std::size_t i = 0; i < angles.size(); ++i) {
        if (i == kLikely && std::any_of(cuts.begin(), cuts.end(), [](const Cut& cut) { return cut.score > kGood; }))
            break;
        if (i == kLikely && std::all_of(cuts.begin(), cuts.end(), [](const Cut& cut) {
                return cut.columns.empty() || clearness(cut.columns) < kNoPrint;
            }))
            return *std::min_element(cuts.begin(), cuts.end(), isBetter); // leaves, cloth: no print at all
        auto cut = bestAt({large.ink, large.small, large.atEdge}, angles[i], kSharpValley, network, decoder);
        auto other = bestAt({large.ink, large.small, large.atEdge}, angles[i] + std::numbers::pi_v<float>, kSharpValley, network, decoder);
        if (isBetter(other, cut))
            std::swap(cut, other);
        if (other.score > kHopeful)
            cut.upsideDown = other.columns;
        cuts.push_back(std::move(cut));
        cuts.push_back(std::move(other));
        if (cuts[cuts.size() - 2].score > kClear)
            return cuts[cuts.size() - 2];
    }
    std::stable_sort(cuts.begin(), cuts.end(), isBetter);
    if (cuts.empty() || cuts.front().score > kGood)
        return cuts.empty() ? Cut{} : cuts.front();
    // Those that come near a code, and those that show print, though of no code's shape.
    std::vector<float> again;
    const auto add = [&](const Cut& cut) {
        if (std::find(again.begin(), again.end(), cut.angle) == again.end())
            again.push_back(cut.angle);
    };
    std::vector<Cut*> byClearness;
    for (auto& cut : cuts)
        if (!cut.columns.empty())
            byClearness.push_back(&cut);
    std::stable_sort(byClearness.begin(), byClearness.end(),
                     [](const Cut* a, const Cut* b) { return clearness(a->columns) > clearness(b->columns); });
    const double clearest = byClearness.empty() ? -1e9 : clearness(byClearness.front()->columns);
    for (std::size_t i = 0; i < std::min(kAgain, cuts.size()); ++i) {
        add(cuts[i]);
        if (i < byClearness.size())
            add(*byClearness[i]);
    }
    const Plane none;
    for (const float angle : again) {
        cuts.push_back(bestAt({large.lifted, large.small, large.atEdge}, angle, kSharpValley, network, decoder));
        if (cuts.back().score > kGood)
            return cuts.back();
        cuts.push_back(bestAt({flat.ink, none, none}, angle, kBlurredValley, network, decoder));
        if (cuts.back().score > kGood)
            return cuts.back();
    }
    std::stable_sort(cuts.begin(), cuts.end(), isBetter);
    cuts.front().clearest = clearest;
    return cuts.front();
}

/// What a person can do about a tag that wasn't read, by the disc that looks most like one. Borders between the reasons: our
/// choice, by drawn frames.
Refusal hindranceOf(const Disc& disc, const FlatDisc& flat, double score) {
    const bool isWashedOut = flat.clipped > 0.4F;
    if (disc.score < 0.42F && !isWashedOut)
        return Refusal::NoTag;
    if (isWashedOut)
        return Refusal::Glare;
    if (disc.minor < kSmallest)
        return Refusal::TooFar;
    if (disc.coverage < 0.75F && flat.covered > 0.1F && flat.contrast > 0.28F)
        return Refusal::Covered;
    if (flat.contrast < 0.36F)
        return Refusal::Blurred;
    if (flat.clipped > 0.1F)
        return Refusal::Glare;
    return score > kLikePrint || disc.score > kLikeTag ? Refusal::Blurred : Refusal::NoTag; // round and inked, but no print of a tag
}

} // namespace

TagSight TagReader::look(const Frame& frame, const tag::Decoder& decoder) {
    TagSight sight;
    Cut best;
    std::optional<Disc> disc; // that `best` is on
    Plane washed;
    for (const auto& candidate : findDiscs(frame, kDiscs)) {
        auto flat = flatten(frame, candidate);
        auto cut = bestCut(flat, m_network, decoder);
        if (!disc) // the first one looks most like a tag
            sight.hindrance = hindranceOf(candidate, flat, cut.score);
        sight.hasOtherPrint = sight.hasOtherPrint || cut.clearest > kOtherPrint;
        if (!disc || isBetter(cut, best)) {
            disc = candidate;
            best = std::move(cut);
            washed = std::move(flat.washed);
        }
        // A bottle cap has print too: what isn't on the list might be something else than the tag.
        if (best.score > kGood && (best.isListed || best.score > kClear))
            break;
    }
    if (!disc)
        return sight;
    sight.upright = picture(frame, *disc, best.angle);
    if (best.columns.empty())
        return sight;
    tag::Evidence evidence;
    evidence.lost = lostInk(turned(washed, best.angle), best.strip, best.columns.size());
    evidence.columns = std::move(best.columns);
    evidence.upsideDown = std::move(best.upsideDown);
    evidence.hasRoom = best.hasRoom;
    if (m_second != nullptr && best.score > kHopeful) {
        evidence.glyphs = m_second->read(best.strip);
        evidence.hasGlyphs = true;
    }
    sight.evidence = std::move(evidence);
    return sight;
}

} // namespace discal::reading
