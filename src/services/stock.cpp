#include "services/stock.h"

#include "core/tag/scheme.h"

#include <algorithm>
#include <map>
#include <set>

namespace discal::services {

namespace json = boost::json;
using journal::Kind;
using tag::Sheet;

namespace {

json::object bodyOf(const tag::Run& run) {
    return {{"first", run.at(0).text()}, {"count", run.count}, {"scheme", run.scheme.pattern()}};
}

} // namespace

Result<tag::Parsed> Stock::read(std::string_view typed) {
    // Typed as printed, and of one of our sheets: no other scheme can read the same glyphs as another code. This is
    // nearly always so, and costs the same however many sheets there are.
    if (const auto printed = tag::parseAny(typed)) {
        const auto containing = m_writer.journal().projections().sheetsWith(*printed);
        if (!containing)
            return fail(containing.error());
        if (std::any_of(containing->begin(), containing->end(), [](const Sheet& s) { return s.run.has_value(); }))
            return tag::Parsed{*printed, false};
    }
    const auto sheets = m_writer.journal().projections().sheets();
    if (!sheets)
        return fail(sheets.error());
    std::set<std::string> seen;
    std::optional<tag::Parsed> found;
    std::optional<Error> why;
    for (const Sheet& sheet : *sheets) {
        if (!sheet.run || !seen.insert(sheet.run->scheme.pattern()).second)
            continue;
        auto parsed = sheet.run->scheme.parseTyped(typed);
        if (!parsed) {
            if (!why || parsed.error().code == discal::Code::AmbiguousCode)
                why = parsed.error();
        } else if (!found || (found->repaired && !parsed->repaired)) {
            found = *parsed;
        } else if (found->repaired == parsed->repaired && found->code != parsed->code) {
            return fail(discal::Code::AmbiguousCode, found->code.compact() + " " + parsed->code.compact());
        }
    }
    if (found)
        return *found;
    // Somebody else's tag, of another shape than ours.
    if (const auto foreign = tag::parseAny(typed); foreign && (!why || why->code != discal::Code::AmbiguousCode))
        return tag::Parsed{*foreign, false};
    else if (!why)
        return fail(foreign.error());
    return fail(*why);
}

Result<std::vector<tag::Code>> Stock::freeFrom(const Sheet& sheet, const std::optional<tag::Code>& after,
                                               std::size_t count) {
    std::vector<tag::Code> out;
    const auto& device = m_writer.journal().device();
    const auto holding = sheet.holders.find(device.text());
    if (holding == sheet.holders.end())
        return out;
    for (const tag::Run& run : holding->second.runs())
        for (std::uint32_t i = 0; i < run.count && out.size() < count; ++i) {
            const tag::Code code = run.at(i);
            // The last one itself too: after an undo, or when it flew, its tag is still on the sheet and comes first.
            if (after && code.text() < after->text())
                continue;
            const auto offered = m_writer.journal().projections().isOfferedBy(code, device);
            if (!offered)
                return fail(offered.error());
            if (*offered)
                out.push_back(code);
        }
    return out;
}

Result<void> Stock::lookUp() {
    // The last line of ours that put a tag on and stands, and what was read off the paper after it; not far
    // back, or the paper has been put away since.
    constexpr std::int64_t kLookBack = 500;
    auto& journal = m_writer.journal();
    for (std::int64_t seq = journal.head().seq; seq > std::max<std::int64_t>(0, journal.head().seq - kLookBack); --seq) {
        auto bytes = journal.file().line(journal.device(), seq);
        if (!bytes)
            return fail(bytes.error());
        if (!*bytes)
            break;
        const auto entry = journal::makeEntry(journal.device(), seq, std::move(**bytes));
        if (!entry.line)
            continue;
        const Kind kind = journal::kindOf(entry.line->kind);
        const bool isComparison = kind == Kind::TagCompared;
        if (!isComparison && kind != Kind::ButterflyNoted && kind != Kind::ButterflyRetagged &&
            kind != Kind::TagSpoiled)
            continue;
        const auto amended = journal.projections().amendedLine(entry);
        if (!amended)
            return fail(amended.error());
        const auto code = journal::textIn(amended->line.body, isComparison               ? "says"
                                                              : kind == Kind::TagSpoiled ? "next"
                                                                                         : "code");
        if (amended->isWithdrawn || !code)
            continue;
        const auto parsed = tag::Code::fromText(*code);
        if (!parsed)
            continue;
        if (!isComparison) {
            m_last = *parsed;
            break;
        }
        if (!m_at)
            m_at = *parsed;
    }
    return {};
}

Result<std::vector<tag::Code>> Stock::nextFree(std::size_t count) {
    auto& projections = m_writer.journal().projections();
    std::vector<tag::Code> out;
    const auto add = [&](const std::vector<tag::Code>& codes) {
        for (const tag::Code& code : codes)
            if (out.size() < count && std::find(out.begin(), out.end(), code) == out.end())
                out.push_back(code);
    };
    if (!m_last)
        if (auto done = lookUp(); !done)
            return fail(done.error());
    auto from = m_last;
    if (m_at && count > 0) {
        const auto offered = projections.isOfferedBy(*m_at, m_writer.journal().device());
        if (!offered)
            return fail(offered.error());
        if (*offered) {
            out.push_back(*m_at);
            from = m_at;
        }
    }
    const auto freed = projections.freedCodes();
    if (!freed)
        return fail(freed.error());
    for (const std::string& text : *freed) {
        const auto code = tag::Code::fromText(text);
        if (!code || out.size() >= count)
            continue;
        const auto offered = projections.isOfferedBy(*code, m_writer.journal().device());
        if (!offered)
            return fail(offered.error());
        if (*offered)
            add({*code});
    }
    if (from) {
        const auto current = projections.sheetsWith(*from);
        if (!current)
            return fail(current.error());
        for (const Sheet& sheet : *current) {
            const auto ahead = freeFrom(sheet, from, count);
            if (!ahead)
                return fail(ahead.error());
            add(*ahead);
        }
        if (out.size() >= count)
            return out;
    }
    const auto held = projections.sheetsHeldBy(m_writer.journal().device());
    if (!held)
        return fail(held.error());
    for (const Sheet& sheet : *held) {
        const auto free = freeFrom(sheet, std::nullopt, count);
        if (!free)
            return fail(free.error());
        add(*free);
        if (out.size() >= count)
            break;
    }
    return out;
}

Result<std::optional<tag::Code>> Stock::nextFree() {
    const auto codes = nextFree(1);
    if (!codes)
        return fail(codes.error());
    return codes->empty() ? std::nullopt : std::optional(codes->front());
}

Result<Saved> Stock::receive(const NewSheet& sheet) {
    const auto scheme =
        sheet.scheme ? tag::Scheme::fromPattern(*sheet.scheme) : tag::Scheme::learn(sheet.first);
    if (!scheme)
        return fail(scheme.error());
    const auto run = tag::parseRun(*scheme, sheet.first, sheet.count);
    if (!run)
        return fail(run.error());
    auto commit = m_writer.begin();
    json::object body = bodyOf(*run);
    if (sheet.perRow > 0)
        body["per_row"] = sheet.perRow;
    commit.add(Kind::SheetReceived, {commit.newId()}, std::move(body));
    return commit.save();
}

Result<Saved> Stock::handPieces(const tag::RunSet& codes, const journal::DeviceId* to) {
    const auto sheets = m_writer.journal().projections().sheets();
    if (!sheets)
        return fail(sheets.error());
    auto commit = m_writer.begin();
    for (const Sheet& sheet : *sheets) {
        const auto holding = sheet.holders.find(m_writer.journal().device().text());
        if (holding == sheet.holders.end())
            continue;
        // Back to whoever handed it to us; each part of a run to its own giver.
        const tag::RunSet here = codes.intersect(holding->second);
        const std::string own = m_writer.journal().device().text();
        const auto targets = to != nullptr ? std::map<std::string, tag::RunSet>{{to->text(), here}}
                                           : sheet.giversOf(here, own);
        for (const auto& [target, runs] : targets)
            for (const tag::Run& piece : runs.runs()) {
                json::object body = bodyOf(piece);
                body["to"] = target;
                commit.add(Kind::SheetHanded, {sheet.id}, std::move(body));
            }
    }
    if (commit.isEmpty())
        return fail(discal::Code::NothingToDo, "no tag of this run is with this device and came from another");
    return commit.save();
}

Result<Saved> Stock::hand(const tag::Run& run, const journal::DeviceId& to) {
    if (to == m_writer.journal().device())
        return fail(discal::Code::NotAllowed, "a run is handed to another device");
    tag::RunSet wanted;
    wanted.add(run);
    tag::RunSet held;
    const auto sheets = m_writer.journal().projections().sheetsHeldBy(m_writer.journal().device());
    if (!sheets)
        return fail(sheets.error());
    for (const Sheet& sheet : *sheets)
        held.add(sheet.holders.at(m_writer.journal().device().text()));
    tag::RunSet rest = wanted;
    rest.remove(held);
    if (!rest.isEmpty())
        return fail(discal::Code::NotAllowed, rest.runs().front().text() + " is not with this device");
    return handPieces(wanted, &to);
}

Result<Saved> Stock::giveBack(const tag::Run& run) {
    // What has been used stays with us: only free tags go back.
    tag::RunSet free;
    for (std::uint32_t i = 0; i < run.count; ++i) {
        const auto offered = m_writer.journal().projections().isOfferedBy(run.at(i), m_writer.journal().device());
        if (!offered)
            return fail(offered.error());
        if (*offered)
            free.add(run.at(i));
    }
    return handPieces(free, nullptr);
}

Result<Saved> Stock::take(const tag::Run& run) {
    const auto sheets = m_writer.journal().projections().sheets();
    if (!sheets)
        return fail(sheets.error());
    auto commit = m_writer.begin();
    tag::RunSet rest;
    rest.add(run);
    for (const Sheet& sheet : *sheets) {
        if (!sheet.run)
            continue;
        tag::RunSet printed;
        printed.add(*sheet.run);
        for (const tag::Run& piece : rest.intersect(printed).runs())
            commit.add(Kind::SheetTaken, {sheet.id}, bodyOf(piece));
        rest.remove(*sheet.run);
    }
    // A sheet that no line here speaks of: its own id, until the one who received it is heard.
    for (const tag::Run& piece : rest.runs())
        commit.add(Kind::SheetTaken, {commit.newId()}, bodyOf(piece));
    return commit.save();
}

Result<Saved> Stock::spoil(const tag::Code& code) {
    auto commit = m_writer.begin();
    commit.add(Kind::TagSpoiled, {}, {{"code", code.text()}});
    return commit.save();
}

Result<Saved> Stock::aboutRun(Kind kind, const tag::Run& run, const std::string& note) {
    if (run.count > 1000)
        return fail(discal::Code::OutOfRange, "at most 1000 tags at once");
    auto commit = m_writer.begin();
    json::object body = bodyOf(run);
    if (!note.empty()) {
        auto kept = commit.keep(note);
        if (!kept)
            return fail(kept.error());
        body["note"] = std::move(*kept);
    }
    commit.add(kind, {}, std::move(body));
    return commit.save();
}

Result<Saved> Stock::missing(const tag::Run& run) { return aboutRun(Kind::TagMissing, run, {}); }
Result<Saved> Stock::usedOnPaper(const tag::Run& run) { return aboutRun(Kind::TagPaper, run, {}); }
Result<Saved> Stock::giveAway(const tag::Run& run, const std::string& to) {
    return aboutRun(Kind::TagGiven, run, to);
}

} // namespace discal::services
