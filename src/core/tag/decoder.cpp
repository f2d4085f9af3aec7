#include "core/tag/decoder.h"

#include "core/tag/look_alike.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>

namespace discal::tag {

namespace {

constexpr double kNever = -std::numeric_limits<double>::infinity();
constexpr std::size_t kBeam = 24;
constexpr float kHopeless = -9.0F;  ///< logarithm: a glyph less probable in a column isn't tried there
constexpr std::size_t kFullest = 12; ///< spellings of a frame that are weighed
/// One frame may speak against a code by no more than that: it may have been cut badly, or a finger came by.
constexpr double kMostAgainst = 14;
/// How much the second reader's word counts beside the network's. Tuned on drawn frames.
constexpr double kSecondWeight = 0.6;
constexpr double kSecondMissed = -4.0; ///< logarithm: it passed a glyph over
constexpr double kSecondExtra = -4.0;  ///< or saw one where none is
constexpr double kSecondWrong = -5.5;  ///< or took it for another, of which it said nothing
constexpr double kSameInkApart = 2;     ///< logarithm: by so much the second reader may prefer one of two texts that are one drawing
constexpr double kSpellsIt = -0.7;   ///< logarithm a glyph: a frame shows a code, if no worse
constexpr double kLikeOther = -0.4;    ///< a letter that looks like this digit, or the other way: it does not know which can stand

/// In many typefaces these are one drawing; where letters and digits stand is known, so either's ink is as good as the other's.
constexpr std::array kSameInk{std::pair{'O', '0'}, std::pair{'I', '1'}};

bool isDigit(char glyph) { return glyph >= '0' && glyph <= '9'; }

std::size_t indexOf(char glyph) {
    const auto at = kCodeGlyphs.find(glyph);
    return at;
}

char inkOf(char glyph) {
    for (const auto& [letter, digit] : kSameInk)
        if (glyph == letter)
            return digit;
    return glyph;
}

double logSum(double a, double b) {
    if (a < b)
        std::swap(a, b);
    return b == kNever ? a : a + std::log1p(std::exp(b - a));
}

/// How well the second reader's glyphs fit the text: the best way of laying one beside the other.
double secondScore(const std::vector<SeenGlyph>& seen, const std::string& text) {
    const auto match = [](const SeenGlyph& glyph, char wanted) {
        double best = kSecondWrong;
        for (const auto& [choice, share] : glyph.choices) {
            const double likely = std::log(std::max(1e-4, static_cast<double>(share)));
            if (choice == wanted)
                best = std::max(best, likely);
            else if (isDigit(choice) != isDigit(wanted) && looksLike(choice, wanted))
                best = std::max(best, likely + kLikeOther);
        }
        return best;
    };
    std::vector<double> row(text.size() + 1);
    for (std::size_t j = 0; j <= text.size(); ++j)
        row[j] = static_cast<double>(j) * kSecondMissed;
    for (const auto& glyph : seen) {
        double diagonal = row[0];
        row[0] += kSecondExtra;
        for (std::size_t j = 1; j <= text.size(); ++j) {
            const double now = std::max({diagonal + match(glyph, text[j - 1]), row[j] + kSecondExtra, row[j - 1] + kSecondMissed});
            diagonal = row[j];
            row[j] = now;
        }
    }
    return row.back();
}

/// Of each glyph of the text, how probable it is against every other glyph in its place; the least of them.
double weakestGlyph(const GlyphColumns& columns, const std::string& text, double whole) {
    double weakest = 1;
    for (std::size_t i = 0; i < text.size(); ++i) {
        double others = kNever;
        std::string changed = text;
        for (const char glyph : kCodeGlyphs) {
            if (glyph == text[i] || isDigit(glyph) != isDigit(text[i]))
                continue;
            changed[i] = glyph;
            others = logSum(others, spellingProbability(columns, changed));
        }
        weakest = std::min(weakest, 1 / (1 + std::exp(others - whole)));
    }
    return weakest;
}

/// The same for texts that are one drawing.
std::string inkOf(std::string text) {
    for (char& glyph : text)
        glyph = inkOf(glyph);
    return text;
}

GlyphColumns shared(const GlyphColumns& columns) {
    GlyphColumns out = columns;
    for (auto& column : out)
        for (const auto& [letter, digit] : kSameInk) {
            auto& a = column[indexOf(letter)];
            auto& b = column[indexOf(digit)];
            a = b = static_cast<float>(logSum(static_cast<double>(a), static_cast<double>(b)));
        }
    return out;
}

/// Whether with more ink the glyph might be the other. Of letters nearly each can be part of some other: any will do.
bool mayBePartOf(char glyph, char other) {
    constexpr std::array<std::string_view, 10> kMoreInk{"8", "47", "", "89", "", "689", "8", "29", "", "8"};
    return !isDigit(glyph) || kMoreInk.at(static_cast<std::size_t>(glyph - '0')).find(other) != std::string_view::npos;
}

/// The column in which each glyph of the text is seen best, along the likeliest path (Viterbi).
std::vector<std::size_t> placesOf(const GlyphColumns& columns, const std::string& text) {
    const std::size_t states = 2 * text.size() + 1;
    std::vector<std::size_t> symbols(states, kBetweenGlyphs);
    for (std::size_t i = 0; i < text.size(); ++i)
        symbols[2 * i + 1] = indexOf(text[i]);
    std::vector<double> now(states, kNever);
    std::vector<std::vector<std::size_t>> from(columns.size(), std::vector<std::size_t>(states, 0));
    for (std::size_t c = 0; c < columns.size(); ++c) {
        std::vector<double> next(states, kNever);
        for (std::size_t s = 0; s < states; ++s) {
            double best = c == 0 ? (s < 2 ? 0 : kNever) : now[s];
            std::size_t before = s;
            for (const std::size_t back : {std::size_t{1}, std::size_t{2}}) {
                const bool mayCome = c > 0 && s >= back && (back == 1 || (s % 2 == 1 && inkOf(text[s / 2]) != inkOf(text[s / 2 - 1])));
                if (mayCome && now[s - back] > best) {
                    best = now[s - back];
                    before = s - back;
                }
            }
            next[s] = best + static_cast<double>(columns[c][symbols[s]]);
            from[c][s] = before;
        }
        now = std::move(next);
    }
    std::vector<std::size_t> places(text.size(), 0);
    std::vector<float> most(text.size(), -1e9F);
    std::size_t s = now[states - 1] > now[states - 2] ? states - 1 : states - 2;
    for (std::size_t c = columns.size(); c-- > 0; s = from[c][s])
        if (s % 2 == 1 && columns[c][symbols[s]] > most[s / 2]) {
            most[s / 2] = columns[c][symbols[s]];
            places[s / 2] = c;
        }
    return places;
}

std::string withoutGlyph(const std::string& text, std::size_t i) {
    std::string gap = text;
    gap[i] = '.';
    return gap;
}

} // namespace

double spellingProbability(const GlyphColumns& columns, const std::string& text) {
    const std::size_t states = 2 * text.size() + 1;
    if (columns.empty() || text.empty())
        return kNever;
    std::vector<std::size_t> symbols(states, kBetweenGlyphs);
    std::vector<bool> mayLeap(states, false); // from the glyph before, with nothing between: never from one drawing to the same
    for (std::size_t i = 0; i < text.size(); ++i) {
        const auto index = indexOf(text[i]);
        if (index == std::string_view::npos)
            return kNever;
        symbols[2 * i + 1] = index;
        mayLeap[2 * i + 1] = i > 0 && inkOf(text[i]) != inkOf(text[i - 1]);
    }
    // In probabilities, scaled column by column: logarithms of sums would take most of the time.
    std::vector<double> now(states, 0);
    std::vector<double> next(states);
    double scale = 0;
    now[0] = 1;
    bool isFirst = true;
    for (const auto& column : columns) {
        double most = 0;
        for (std::size_t s = 0; s < states; ++s) {
            double sum = isFirst ? (s < 2 ? 1 : 0) : now[s];
            if (!isFirst && s >= 1)
                sum += now[s - 1];
            if (!isFirst && mayLeap[s])
                sum += now[s - 2];
            next[s] = sum == 0 ? 0 : sum * std::exp(static_cast<double>(column[symbols[s]]));
            most = std::max(most, next[s]);
        }
        if (most <= 0)
            return kNever;
        scale += std::log(most);
        for (double& value : next)
            value /= most;
        std::swap(now, next);
        isFirst = false;
    }
    const double last = now[states - 1] + now[states - 2];
    return last > 0 ? scale + std::log(last) : kNever;
}

Decoder::Decoder(const std::vector<Code>& codes, const std::vector<Scheme>& schemes) : m_schemes(schemes) {
    for (const auto& scheme : schemes)
        m_shapes.insert({scheme.letterCount(), scheme.digitCount()});
    for (const auto& code : codes) {
        const auto compact = code.compact();
        m_shapes.insert({code.letters().size(), code.digits().size()});
        if (!m_listed.emplace(compact, 1).second)
            continue;
        for (std::size_t i = 0; i < compact.size(); ++i)
            m_near[withoutGlyph(compact, i)].push_back(compact);
    }
}

bool Decoder::canGrow(const std::string& text) const {
    const auto letters = static_cast<std::size_t>(
        std::find_if(text.begin(), text.end(), isDigit) - text.begin());
    const std::size_t digits = text.size() - letters;
    for (std::size_t i = letters; i < text.size(); ++i)
        if (!isDigit(text[i]))
            return false;
    if (m_shapes.empty())
        return letters <= kMaxLetters && digits <= kMaxDigits;
    return std::any_of(m_shapes.begin(), m_shapes.end(), [&](const Shape& shape) {
        return digits == 0 ? letters <= shape.letters : letters == shape.letters && digits <= shape.digits;
    });
}

bool Decoder::isWhole(const std::string& text) const {
    const auto letters = static_cast<std::size_t>(
        std::find_if(text.begin(), text.end(), isDigit) - text.begin());
    const std::size_t digits = text.size() - letters;
    if (m_shapes.empty())
        return digits >= kMinDigits && text.size() >= kMinGlyphs;
    return m_shapes.contains({letters, digits}) && admits(text);
}

bool Decoder::admits(const std::string& text) const {
    if (m_listed.contains(text))
        return true;
    const auto code = codeOf(text);
    if (!code)
        return false;
    bool hasShape = false;
    for (const auto& scheme : m_schemes)
        if (scheme.letterCount() == code->letters().size() && scheme.digitCount() == code->digits().size()) {
            hasShape = true;
            if (scheme.admits(*code))
                return true;
        }
    return !hasShape; // a shape of the list's alone: nothing says which letters can't occur
}

std::vector<Decoder::Spelling> Decoder::spellings(const GlyphColumns& columns, std::size_t most) const {
    return spelt(m_shapes.empty() ? columns : shared(columns), most);
}

std::vector<Decoder::Spelling> Decoder::spelt(const GlyphColumns& columns, std::size_t most) const {
    // Prefixes with the probability of ending in a glyph, and in what is between (Hannun 2017, doi:10.23915/distill.00008).
    struct Ends {
        double glyph{kNever};
        double between{kNever};
        [[nodiscard]] double both() const { return logSum(glyph, between); }
    };
    std::map<std::string, Ends> beam{{std::string(), {kNever, 0}}};
    for (const auto& column : columns) {
        std::map<std::string, Ends> next;
        for (const auto& [text, ends] : beam) {
            const double both = ends.both();
            auto& same = next[text];
            same.between = logSum(same.between, both + static_cast<double>(column[kBetweenGlyphs]));
            if (!text.empty())
                same.glyph = logSum(same.glyph, ends.glyph + static_cast<double>(column[indexOf(text.back())]));
            for (std::size_t g = 0; g < kCodeGlyphs.size(); ++g) {
                if (column[g] < kHopeless)
                    continue;
                const char glyph = kCodeGlyphs[g];
                const double from = !text.empty() && inkOf(text.back()) == inkOf(glyph) ? ends.between : both;
                if (from == kNever)
                    continue;
                std::string grown = text + glyph;
                if (!canGrow(grown))
                    continue;
                auto& more = next[std::move(grown)];
                more.glyph = logSum(more.glyph, from + static_cast<double>(column[g]));
            }
        }
        if (next.size() > kBeam) {
            std::vector<double> scores;
            for (const auto& [text, ends] : next)
                scores.push_back(ends.both());
            std::nth_element(scores.begin(), scores.begin() + kBeam, scores.end(), std::greater<>());
            const double least = scores[kBeam];
            std::erase_if(next, [&](const auto& entry) { return entry.second.both() <= least; });
        }
        beam = std::move(next);
    }
    std::vector<Spelling> found;
    for (const auto& [text, ends] : beam)
        if (isWhole(text))
            found.push_back({text, ends.both(), m_listed.contains(text)});
    std::stable_sort(found.begin(), found.end(), [](const Spelling& a, const Spelling& b) { return a.score > b.score; });
    if (found.size() > most)
        found.resize(most);
    return found;
}

void Decoder::take(Evidence evidence) {
    if (evidence.columns.empty())
        return;
    if (m_frames.size() == kMostFrames)
        m_frames.erase(m_frames.begin());
    if (!m_shapes.empty()) {
        evidence.columns = shared(evidence.columns);
        evidence.upsideDown = shared(evidence.upsideDown);
    }
    m_frames.push_back(std::move(evidence));
}

void Decoder::forget() { m_frames.clear(); }

std::optional<Code> Decoder::codeOf(const std::string& compact) {
    const auto code = parseAny(compact);
    if (!code)
        return {};
    return *code;
}

double Decoder::rarityOf(const std::string& listed) const {
    double capacity = 0;
    for (const char glyph : listed)
        capacity += std::log(isDigit(glyph) ? 10.0 : 26.0);
    const auto isAlike = [&](const std::string& other) {
        return other.size() == listed.size() &&
               std::equal(other.begin(), other.end(), listed.begin(), [](char a, char b) { return isDigit(a) == isDigit(b); });
    };
    const auto alike = std::count_if(m_listed.begin(), m_listed.end(), [&](const auto& entry) { return isAlike(entry.first); });
    return capacity - std::log(static_cast<double>(std::max<std::ptrdiff_t>(1, alike)));
}

double Decoder::aheadOfUpsideDown(const std::string& text, double best) const {
    double rival = 0;
    bool isRival = false;
    for (const auto& frame : m_frames) {
        auto found = spelt(frame.upsideDown, 2);
        std::erase_if(found, [&](const Spelling& one) { return one.text == text; }); // 619 is 619 both ways up
        isRival = isRival || !found.empty();
        // The second reader never saw it: as if it had agreed.
        rival += found.empty() ? -kMostAgainst : found.front().score;
    }
    return isRival ? best - rival : kMostAgainst;
}

Decision Decoder::decide() const {
    Decision decision;
    // Who may have been meant: what each frame spells best, and what of the list is one glyph away from it.
    std::set<std::string> meant;
    for (const auto& frame : m_frames) {
        const auto found = spelt(frame.columns, kFullest);
        for (std::size_t i = 0; i < found.size(); ++i) {
            meant.insert(found[i].text);
            if (i >= 3)
                continue;
            for (std::size_t k = 0; k < found[i].text.size(); ++k)
                if (const auto near = m_near.find(withoutGlyph(found[i].text, k)); near != m_near.end())
                    meant.insert(near->second.begin(), near->second.end());
        }
    }
    if (meant.empty())
        return decision;
    std::map<std::string, double> scores;
    for (const auto& text : meant)
        scores[text] = 0;
    for (const auto& frame : m_frames) {
        std::map<std::string, double> of;
        double most = kNever;
        for (const auto& text : meant) {
            double score = spellingProbability(frame.columns, text);
            if (frame.hasGlyphs)
                score += kSecondWeight * secondScore(frame.glyphs, text);
            of[text] = score;
            most = std::max(most, score);
        }
        if (most == kNever)
            continue;
        for (auto& [text, score] : of)
            scores[text] += std::max(score, most - kMostAgainst);
    }
    // Frames of one tag share their faults (the same smear, the same glare): together they tell less than each for itself.
    const double share = std::pow(static_cast<double>(m_frames.size()), -0.3);
    std::vector<std::pair<double, std::string>> order;
    for (const auto& [text, score] : scores)
        order.emplace_back(score * share, text);
    std::stable_sort(order.begin(), order.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
    // Of spellings that are one drawing, the listed one is meant.
    const std::string ink = inkOf(order.front().second);
    for (std::size_t i = 0; i < order.size() && order[0].first - order[i].first < kSameInkApart; ++i)
        if (!m_listed.contains(order.front().second) && m_listed.contains(order[i].second) && inkOf(order[i].second) == ink)
            std::swap(order[0], order[i]);
    decision.best = order.front().second;
    decision.isListed = m_listed.contains(decision.best);
    decision.ahead = kMostAgainst;
    decision.aheadOfListed = kMostAgainst;
    for (std::size_t i = 1; i < order.size(); ++i) {
        const double behind = order[0].first - order[i].first;
        if (m_listed.contains(order[i].second))
            decision.aheadOfListed = std::min(decision.aheadOfListed, behind);
        if (inkOf(order[i].second) != ink)
            decision.ahead = std::min(decision.ahead, behind);
    }
    // The tag may be held the other way up. That somebody else's then reads as one of ours is the rarer, the fewer of all codes
    // of that shape are ours.
    const double rarity = decision.isListed ? rarityOf(decision.best) : 0;
    decision.ahead = std::min(decision.ahead, share * (aheadOfUpsideDown(decision.best, scores[decision.best]) + rarity));
    // In all: what was taken for a digit may be a letter of the same ink.
    const bool isLongerPossible = m_shapes.empty() || std::any_of(m_shapes.begin(), m_shapes.end(), [&](const Shape& shape) {
        return shape.letters + shape.digits > decision.best.size();
    });
    const auto roomy = std::count_if(m_frames.begin(), m_frames.end(), [](const Evidence& frame) { return frame.hasRoom; });
    decision.mayBeLonger = isLongerPossible && 2 * static_cast<std::size_t>(roomy) >= m_frames.size();
    std::vector<double> lost(decision.best.size(), 1);
    int asked = 0;
    int agreed = 0;
    double bestFrame = kNever;
    for (const auto& frame : m_frames) {
        const double score = spellingProbability(frame.columns, decision.best);
        bestFrame = std::max(bestFrame, score);
        decision.frames += score > kSpellsIt * static_cast<double>(decision.best.size()) ? 1 : 0;
        decision.weakest = std::max(decision.weakest, weakestGlyph(frame.columns, decision.best, score));
        if (score > kSpellsIt * static_cast<double>(decision.best.size())) {
            const auto places = placesOf(frame.columns, decision.best);
            for (std::size_t i = 0; i < lost.size(); ++i)
                lost[i] = std::min(lost[i], frame.lost.empty() ? 0.0 : static_cast<double>(frame.lost.at(places[i])));
        }
        if (frame.hasGlyphs) {
            ++asked;
            agreed += secondScore(frame.glyphs, decision.best) > kSecondMissed ? 1 : 0;
        }
    }
    for (std::size_t i = 0; i < lost.size(); ++i) {
        const auto near = m_near.find(withoutGlyph(decision.best, i));
        const bool isRisk = !decision.isListed || (near != m_near.end() && std::any_of(near->second.begin(), near->second.end(), [&](const std::string& other) {
            return other != decision.best && mayBePartOf(decision.best[i], other[i]);
        }));
        if (isRisk)
            decision.lost = std::max(decision.lost, lost[i]);
    }
    decision.score = bestFrame / static_cast<double>(decision.best.size());
    decision.isAgreed = asked > 0 && 2 * agreed >= asked;
    return decision;
}

} // namespace discal::tag
