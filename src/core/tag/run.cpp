#include "core/tag/run.h"

#include "core/tag/glyphs.h"

#include <algorithm>
#include <cassert>

namespace discal::tag {

namespace {

using Span = RunSet::Span;

/// The run in ordinals of its shape with all letters: one span, or one for each stretch between excluded
/// letters. Sorted, never touching. Of a run that breaks the contract, the codes that exist.
std::vector<Span> spansOf(const Run& run) {
    const std::uint64_t capacity = run.scheme.capacity();
    if (run.first >= capacity || run.count == 0)
        return {};
    const std::uint64_t last = run.first + std::min<std::uint64_t>(run.count, capacity - run.first) - 1;
    if (run.scheme.excludedLetters().empty())
        return {{run.first, last}};

    const Scheme plain = run.scheme.withAllLetters();
    std::uint64_t block = 1; // codes with the same letters: these follow each other in both schemes
    for (std::size_t i = 0; i < plain.digitCount(); ++i)
        block *= 10;
    std::vector<Span> out;
    for (std::uint64_t from = run.first; from <= last;) {
        const std::uint64_t to = std::min(last, from - from % block + block - 1);
        const std::uint64_t first = plain.ordinal(run.scheme.at(from));
        if (!out.empty() && out.back().last + 1 == first)
            out.back().last = first + (to - from);
        else
            out.push_back({first, first + (to - from)});
        from = to + 1;
    }
    return out;
}

std::vector<Span> both(const std::vector<Span>& a, const std::vector<Span>& b) {
    std::vector<Span> out;
    for (auto i = a.begin(), j = b.begin(); i != a.end() && j != b.end();) {
        const std::uint64_t first = std::max(i->first, j->first);
        const std::uint64_t last = std::min(i->last, j->last);
        if (first <= last)
            out.push_back({first, last});
        if (i->last < j->last)
            ++i;
        else
            ++j;
    }
    return out;
}

void insert(std::vector<Span>& spans, Span added) {
    // The first that overlaps or touches what is added; last + 1 can't overflow, as ordinals are below 2^63.
    const auto from = std::find_if(spans.begin(), spans.end(),
                                   [&](const Span& span) { return span.last + 1 >= added.first; });
    auto to = from;
    for (; to != spans.end() && to->first <= added.last + 1; ++to) {
        added.first = std::min(added.first, to->first);
        added.last = std::max(added.last, to->last);
    }
    spans.insert(spans.erase(from, to), added);
}

void cut(std::vector<Span>& spans, Span removed) {
    std::vector<Span> out;
    out.reserve(spans.size() + 1);
    for (const Span& span : spans) {
        if (span.last < removed.first || span.first > removed.last) {
            out.push_back(span);
            continue;
        }
        if (span.first < removed.first)
            out.push_back({span.first, removed.first - 1});
        if (span.last > removed.last)
            out.push_back({removed.last + 1, span.last});
    }
    spans = std::move(out);
}

/// The last code of a label: in full, or its digits alone with the letters of the first.
Result<Code> parseLast(const Scheme& scheme, const Code& first, std::string_view typed) {
    const auto scanned = scanGlyphs(typed);
    const bool digitsAlone = scheme.letterCount() > 0 && scanned && scanned->dashes == 0 &&
                             scanned->text.size() == scheme.digitCount() &&
                             scanned->text.find_first_not_of("0123456789") == std::string::npos;
    if (digitsAlone)
        return Code::fromText(std::string(first.letters()) + ' ' + scanned->text);
    return scheme.parse(typed);
}

} // namespace

bool Run::isValid() const noexcept {
    return count >= 1 && count <= kMaxRunLength && first < scheme.capacity() &&
           count <= scheme.capacity() - first;
}

bool Run::contains(const Code& code) const noexcept {
    if (!scheme.admits(code))
        return false;
    const std::uint64_t ordinal = scheme.ordinal(code);
    return ordinal >= first && ordinal - first < count;
}

Code Run::at(std::uint32_t i) const {
    assert(i < count);
    return scheme.at(first + i);
}

Code Run::last() const {
    return at(count - 1);
}

std::optional<Run> Run::intersect(const Run& other) const {
    if (!scheme.hasShapeOf(other.scheme))
        return std::nullopt;
    const std::vector<Span> shared = both(spansOf(*this), spansOf(other));
    const auto joint = scheme.withoutLetters(other.scheme.excludedLetters());
    if (shared.empty() || !joint)
        return std::nullopt;
    // Each run is all codes between two, of the letters it allows; so what they share is again such a run.
    std::uint64_t total = 0;
    for (const Span& span : shared)
        total += span.last - span.first + 1;
    const Code lowest = scheme.withAllLetters().at(shared.front().first);
    return Run{*joint, joint->ordinal(lowest), static_cast<std::uint32_t>(total)};
}

std::vector<Run> Run::subtract(const Run& other) const {
    std::vector<Span> left = spansOf(*this);
    if (scheme.hasShapeOf(other.scheme)) {
        for (const Span& span : spansOf(other))
            cut(left, span);
    }
    const Scheme plain = scheme.withAllLetters();
    std::vector<Run> out;
    for (const Span& span : left) {
        const std::uint64_t from = scheme.ordinal(plain.at(span.first));
        const auto length = static_cast<std::uint32_t>(span.last - span.first + 1);
        if (!out.empty() && out.back().first + out.back().count == from)
            out.back().count += length;
        else
            out.push_back({scheme, from, length});
    }
    return out;
}

std::string Run::text() const {
    const Code from = at(0);
    const Code to = last();
    if (from == to)
        return from.text();
    return from.text() + '-' + (from.letters() == to.letters() ? std::string(to.digits()) : to.text());
}

Result<Run> makeRun(const Scheme& scheme, std::uint64_t first, std::uint32_t count) {
    if (count < 1 || count > kMaxRunLength)
        return fail(discal::Code::OutOfRange, "count", count);
    if (first >= scheme.capacity())
        return fail(discal::Code::OutOfRange, "first");
    if (count > scheme.capacity() - first)
        return fail(discal::Code::OutOfRange, "last");
    return Run{scheme, first, count};
}

Result<Run> parseRun(const Scheme& scheme, std::string_view first, std::uint32_t count) {
    const auto code = scheme.parse(first);
    if (!code)
        return fail(code.error());
    return makeRun(scheme, scheme.ordinal(*code), count);
}

Result<Run> parseRun(const Scheme& scheme, std::string_view first, std::string_view last) {
    const auto from = scheme.parse(first);
    if (!from)
        return fail(from.error());
    const auto to = parseLast(scheme, *from, last);
    if (!to)
        return fail(to.error());
    const std::uint64_t begin = scheme.ordinal(*from);
    const std::uint64_t end = scheme.ordinal(*to);
    if (end < begin)
        return fail(discal::Code::OutOfRange, "last");
    if (end - begin >= kMaxRunLength)
        return fail(discal::Code::OutOfRange, "count", static_cast<std::int64_t>(end - begin + 1));
    return makeRun(scheme, begin, static_cast<std::uint32_t>(end - begin + 1));
}

Result<Run> parseRun(std::string_view first, std::uint32_t count) {
    const auto scheme = Scheme::learn(first);
    if (!scheme)
        return fail(scheme.error());
    return parseRun(*scheme, first, count);
}

Result<Run> parseRun(std::string_view first, std::string_view last) {
    const auto scheme = Scheme::learn(first);
    if (!scheme)
        return fail(scheme.error());
    return parseRun(*scheme, first, last);
}

void RunSet::add(const Run& run) {
    assert(run.isValid());
    const std::vector<Span> added = spansOf(run);
    if (added.empty())
        return;
    std::vector<Span>& spans = m_spans[run.scheme.withAllLetters()];
    for (const Span& span : added)
        insert(spans, span);
}

void RunSet::add(const Code& code) {
    const Scheme plain = Scheme::of(code);
    add(Run{plain, plain.ordinal(code), 1});
}

void RunSet::add(const RunSet& other) {
    if (this == &other)
        return;
    for (const auto& [plain, added] : other.m_spans) {
        std::vector<Span>& spans = m_spans[plain];
        for (const Span& span : added)
            insert(spans, span);
    }
}

void RunSet::remove(const Run& run) {
    const auto found = m_spans.find(run.scheme.withAllLetters());
    if (found == m_spans.end())
        return;
    for (const Span& span : spansOf(run))
        cut(found->second, span);
    if (found->second.empty())
        m_spans.erase(found);
}

void RunSet::remove(const Code& code) {
    const Scheme plain = Scheme::of(code);
    remove(Run{plain, plain.ordinal(code), 1});
}

void RunSet::remove(const RunSet& other) {
    if (this == &other) {
        m_spans.clear();
        return;
    }
    for (const auto& [plain, removed] : other.m_spans) {
        const auto found = m_spans.find(plain);
        if (found == m_spans.end())
            continue;
        for (const Span& span : removed)
            cut(found->second, span);
        if (found->second.empty())
            m_spans.erase(found);
    }
}

bool RunSet::contains(const Code& code) const {
    const Scheme plain = Scheme::of(code);
    const auto found = m_spans.find(plain);
    if (found == m_spans.end())
        return false;
    const std::uint64_t ordinal = plain.ordinal(code);
    const auto& spans = found->second;
    const auto after = std::upper_bound(spans.begin(), spans.end(), ordinal,
                                        [](std::uint64_t o, const Span& span) { return o < span.first; });
    return after != spans.begin() && ordinal <= std::prev(after)->last;
}

RunSet RunSet::intersect(const RunSet& other) const {
    RunSet out;
    for (const auto& [plain, spans] : m_spans) {
        const auto found = other.m_spans.find(plain);
        if (found == other.m_spans.end())
            continue;
        if (std::vector<Span> shared = both(spans, found->second); !shared.empty())
            out.m_spans.emplace(plain, std::move(shared));
    }
    return out;
}

std::uint64_t RunSet::count() const noexcept {
    std::uint64_t out = 0;
    for (const auto& [plain, spans] : m_spans) {
        for (const Span& span : spans)
            out += span.last - span.first + 1;
    }
    return out;
}

std::vector<Run> RunSet::runs() const {
    std::vector<Run> out;
    for (const auto& [plain, spans] : m_spans) {
        for (const Span& span : spans) {
            for (std::uint64_t from = span.first; from <= span.last;) {
                const std::uint64_t length = std::min<std::uint64_t>(kMaxRunLength, span.last - from + 1);
                out.push_back({plain, from, static_cast<std::uint32_t>(length)});
                from += length;
            }
        }
    }
    return out;
}

} // namespace discal::tag
