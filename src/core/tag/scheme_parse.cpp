#include "core/tag/glyphs.h"
#include "core/tag/look_alike.h"
#include "core/tag/scheme.h"

#include <algorithm>

// How typed text becomes a code of a scheme. A wrong code taken silently is the worst outcome, a question the
// second worst: hence every rule below that turns a repair into a question.

namespace discal::tag {

namespace {

constexpr std::size_t kMaxReadings = 16;

bool isDigit(char c) {
    return c >= '0' && c <= '9';
}

/// One way to take a glyph string, place by place.
struct Candidate {
    std::string glyphs;
    int doubtfulness = 0; ///< 0 as typed; 1 for a strong likeness, 3 for a weak one, a glyph
};

struct Option {
    char glyph;
    int doubtfulness;
};

std::vector<Option> optionsAt(const Scheme& scheme, std::size_t place, char typed) {
    const bool wantsLetter = place < scheme.letterCount();
    const auto legal = [&](char c) { return wantsLetter ? scheme.allowsLetter(c) : isDigit(c); };
    if (legal(typed))
        return {{typed, 0}};
    std::vector<Option> out;
    for (const LookAlike& pair : lookAlikePairs()) {
        if (pair.a != typed && pair.b != typed)
            continue;
        if (const char other = pair.a == typed ? pair.b : pair.a; legal(other))
            out.push_back({other, pair.likeness == Likeness::Strong ? 1 : 3});
    }
    return out;
}

/// Every legal reading of as many glyphs as the scheme has, best first. At most 3^6 of them: only letter
/// places have more than one option, and no glyph has more than three there.
std::vector<Candidate> candidates(const Scheme& scheme, std::string_view glyphs) {
    std::vector<Candidate> out{{}};
    for (std::size_t place = 0; place < glyphs.size(); ++place) {
        const std::vector<Option> options = optionsAt(scheme, place, glyphs[place]);
        std::vector<Candidate> longer;
        longer.reserve(out.size() * options.size());
        for (const Candidate& candidate : out) {
            for (const Option& option : options)
                longer.push_back(
                    {candidate.glyphs + option.glyph, candidate.doubtfulness + option.doubtfulness});
        }
        out = std::move(longer);
    }
    std::stable_sort(out.begin(), out.end(),
                     [](const Candidate& a, const Candidate& b) { return a.doubtfulness < b.doubtfulness; });
    return out;
}

/// Whether the one reading follows from the text without an assumption of ours.
bool isSafeRepair(const Scheme& scheme, std::string_view typed, const Candidate& reading) {
    std::size_t letters = 0;
    std::size_t digits = 0;
    for (std::size_t place = 0; place < typed.size(); ++place) {
        if (typed[place] != reading.glyphs[place])
            ++(place < scheme.letterCount() ? letters : digits);
    }
    const bool onlyStrong = reading.doubtfulness == static_cast<int>(letters + digits);
    const bool bothWays = letters > 0 && digits > 0;
    const bool wholeGroup = (letters > 0 && letters == scheme.letterCount()) || digits == scheme.digitCount();
    return onlyStrong && !bothWays && !wholeGroup;
}

struct Interpretation {
    enum class Kind : std::uint8_t { Exact, Repaired, Asks, NotACode } kind = Kind::NotACode;
    std::vector<std::string> readings{}; ///< glyphs without the space
};

/// "RKD 14": the letters are whole and legal, digits follow, but too few.
std::optional<std::string> withLeadingZeros(const Scheme& scheme, const std::string& glyphs) {
    const std::size_t letters = scheme.letterCount();
    const std::size_t whole = letters + scheme.digitCount();
    if (glyphs.size() <= letters || glyphs.size() >= whole)
        return std::nullopt;
    for (std::size_t place = 0; place < glyphs.size(); ++place) {
        if (place < letters ? !scheme.allowsLetter(glyphs[place]) : !isDigit(glyphs[place]))
            return std::nullopt;
    }
    std::string out = glyphs;
    out.insert(letters, whole - glyphs.size(), '0');
    return out;
}

Interpretation interpret(const Scheme& scheme, std::string_view typed) {
    using Kind = Interpretation::Kind;
    const auto scanned = scanGlyphs(typed);
    const std::size_t border = scheme.letterCount();
    if (!scanned || !scanned->dashesOnlyAt(border))
        return {};
    const std::string& glyphs = scanned->text;
    if (glyphs.size() != border + scheme.digitCount()) {
        if (auto padded = withLeadingZeros(scheme, glyphs))
            return {Kind::Asks, {std::move(*padded)}};
        return {};
    }

    const std::vector<Candidate> straight = candidates(scheme, glyphs);
    if (straight.size() == 1 && straight.front().doubtfulness == 0)
        return {Kind::Exact, {glyphs}};

    // Neighbours swapped over the border ("RK0D14") explain both odd glyphs at once: offered first.
    std::vector<Candidate> swapped;
    if (border > 0 && isDigit(glyphs[border - 1]) && !isDigit(glyphs[border])) {
        std::string other = glyphs;
        std::swap(other[border - 1], other[border]);
        swapped = candidates(scheme, other);
    }
    if (swapped.empty() && straight.size() == 1 && isSafeRepair(scheme, glyphs, straight.front()))
        return {Kind::Repaired, {straight.front().glyphs}};

    Interpretation out;
    swapped.insert(swapped.end(), straight.begin(), straight.end());
    for (const Candidate& candidate : swapped) {
        const auto& have = out.readings;
        if (have.size() < kMaxReadings && std::find(have.begin(), have.end(), candidate.glyphs) == have.end())
            out.readings.push_back(candidate.glyphs);
    }
    out.kind = out.readings.empty() ? Kind::NotACode : Kind::Asks;
    return out;
}

} // namespace

Result<Parsed> Scheme::parseTyped(std::string_view typed) const {
    using Kind = Interpretation::Kind;
    const Interpretation found = interpret(*this, typed);
    switch (found.kind) {
    case Kind::Exact:
    case Kind::Repaired: {
        const std::string_view glyphs = found.readings.front();
        return Parsed{{glyphs.substr(0, m_letters), glyphs.substr(m_letters)}, found.kind == Kind::Repaired};
    }
    case Kind::Asks: {
        std::string list;
        for (const std::string& reading : found.readings)
            list += (list.empty() ? "" : " ") + reading;
        return fail(discal::Code::AmbiguousCode, std::move(list));
    }
    case Kind::NotACode:
        break;
    }
    return fail(discal::Code::NotACode, legalForm());
}

Result<Code> Scheme::parse(std::string_view typed) const {
    return parseTyped(typed).map([](Parsed parsed) { return std::move(parsed.code); });
}

std::vector<Code> Scheme::readings(std::string_view typed) const {
    std::vector<Code> out;
    for (const std::string& reading : interpret(*this, typed).readings) {
        const std::string_view glyphs = reading;
        out.push_back(Code(glyphs.substr(0, m_letters), glyphs.substr(m_letters)));
    }
    return out;
}

} // namespace discal::tag
