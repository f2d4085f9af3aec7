#include "services/amending.h"

#include "core/journal/subjects.h"

#include <algorithm>
#include <charconv>

namespace discal::services {

namespace json = boost::json;
using journal::Kind;
using journal::Uuid;

namespace {

bool canBeTakenBack(Kind kind) {
    switch (kind) {
    case Kind::DeviceStarted:
    case Kind::DeviceEnrolled:
    case Kind::StationFounded:
    case Kind::SessionOpened:
    case Kind::EntryWithdrawn:
    case Kind::BlobErased:
    case Kind::Unknown:
        return false;
    default:
        return true;
    }
}

/// Members that a person may say anew, by kind of value.
enum class Shape { Code, Number, Claim, Time, Text };

Shape shapeOf(std::string_view field) {
    if (field == "code" || field == "next" || field == "first")
        return Shape::Code;
    if (field == "at")
        return Shape::Time;
    if (field == "mated")
        return Shape::Claim;
    if (field.ends_with("_um") || field.ends_with("_min") || field.ends_with("_mm") || field == "wear" ||
        field == "count" || field == "people")
        return Shape::Number;
    return Shape::Text;
}

} // namespace

Result<Saved> Amending::correct(const Uuid& line, const std::string& field, const std::string& value,
                                const std::string& why) {
    auto& projections = m_writer.journal().projections();
    const auto entries = projections.linesWithId(line);
    if (!entries)
        return fail(entries.error());
    if (entries->empty())
        return fail(Code::NotFound, "line " + line.text());
    json::value said;
    switch (shapeOf(field)) {
    case Shape::Code: {
        const auto code = m_stock.read(value);
        if (!code)
            return fail(code.error());
        said = code->code.text();
        break;
    }
    case Shape::Number: {
        std::int64_t number = 0;
        const auto end = std::from_chars(value.data(), value.data() + value.size(), number);
        if (end.ec != std::errc() || end.ptr != value.data() + value.size())
            return fail(Code::BadInput, field + ": a whole number");
        said = number;
        break;
    }
    case Shape::Claim:
        if (value != "yes" && value != "no")
            return fail(Code::BadInput, field + ": yes or no");
        said = value == "yes";
        break;
    case Shape::Time: {
        const auto at = time::parseUtc(value);
        if (!at)
            return fail(Code::BadInput, "at: such as 2026-09-05T14:03:20Z");
        said = time::formatUtc(*at);
        break;
    }
    case Shape::Text:
        said = value;
        break;
    }
    if (field == "sex" && value != "female" && value != "male" && value != "unknown")
        return fail(Code::BadInput, "sex: one of female male unknown");
    if (field == "origin" && value != "wild" && value != "reared")
        return fail(Code::BadInput, "origin: one of wild reared");
    const auto amended = projections.amendedLine(entries->front());
    if (!amended)
        return fail(amended.error());
    // All that stand now are seen by whoever corrects, also those at odds.
    std::vector<Uuid> over = amended->appliedCorrections;
    for (const auto& odds : amended->atOdds)
        over.insert(over.end(), odds.corrections.begin(), odds.corrections.end());
    std::sort(over.begin(), over.end());
    over.erase(std::unique(over.begin(), over.end()), over.end());
    auto commit = m_writer.begin();
    m_stock.lookAgain();
    commit.add(Kind::EntryCorrected, {},
               {{"of", line.text()},
                {"set", json::object{{field, said}}},
                {"over", journal::idsToJson(over)},
                {"why", why}});
    return commit.save();
}

Result<Saved> Amending::withdraw(const Uuid& act, const std::string& why) {
    const auto lines = m_writer.journal().projections().linesOfAct(act);
    if (!lines)
        return fail(lines.error());
    if (lines->empty())
        return fail(Code::NotFound, "act " + act.text());
    auto commit = m_writer.begin();
    m_stock.lookAgain();
    commit.add(Kind::EntryWithdrawn, {}, {{"act", act.text()}, {"over", json::array()}, {"why", why}});
    return commit.save();
}

Result<std::optional<Uuid>> Amending::lastAct() {
    auto& journal = m_writer.journal();
    for (std::int64_t seq = journal.head().seq; seq > 0; --seq) {
        auto bytes = journal.file().line(journal.device(), seq);
        if (!bytes)
            return fail(bytes.error());
        if (!*bytes)
            break;
        const auto entry = journal::makeEntry(journal.device(), seq, std::move(**bytes));
        if (!entry.line || !canBeTakenBack(journal::kindOf(entry.line->kind)))
            continue;
        const auto amended = journal.projections().amendedLine(entry);
        if (!amended)
            return fail(amended.error());
        if (!amended->isWithdrawn)
            return std::optional(entry.line->act);
    }
    return std::optional<Uuid>();
}

Result<Saved> Amending::erasePerson(const Uuid& person, const std::string& why) {
    auto& journal = m_writer.journal();
    auto& projections = journal.projections();
    if (!projections.roles().station().empty() &&
        projections.roles().now(journal.device()) != station::Role::Office)
        return fail(Code::NotAllowed, "an office device of the station erases");
    const auto named = projections.linesOfSubject(person.text());
    if (!named)
        return fail(named.error());
    std::vector<std::string> blobs;
    const auto cite = [&](const json::object& body, std::string_view member) {
        if (const auto blob = journal::blobIn(body, member))
            blobs.emplace_back(*blob);
    };
    for (const auto& entry : *named)
        if (entry.line)
            cite(entry.line->body, "initials");
    if (blobs.empty())
        return fail(Code::NotFound, "person " + person.text());
    const auto chains = journal.file().chains();
    if (!chains)
        return fail(chains.error());
    for (const auto& chain : *chains) {
        const auto visited = journal.file().visit(chain.device, 1, [&](std::int64_t, std::string_view bytes, const auto&) {
            if (bytes.find(person.text()) == std::string_view::npos)
                return true;
            if (const auto line = journal::parseLine(bytes); line && line->by == person)
                for (const std::string_view member : {"note", "text"})
                    cite(line->body, member);
            return true;
        });
        if (!visited)
            return fail(visited.error());
    }
    std::sort(blobs.begin(), blobs.end());
    blobs.erase(std::unique(blobs.begin(), blobs.end()), blobs.end());
    auto commit = m_writer.begin();
    for (const std::string& blob : blobs)
        commit.add(Kind::BlobErased, {}, {{"blob", blob}, {"why", why}});
    return commit.save();
}

Result<Saved> Amending::settle(const std::string& doubtKey, const std::string& choice, const std::string& why) {
    auto& projections = m_writer.journal().projections();
    if (projections.roles().now(m_writer.journal().device()) != station::Role::Office)
        return fail(Code::NotAllowed, "an office device of the station settles doubts");
    const auto doubts = projections.doubts();
    if (!doubts)
        return fail(doubts.error());
    for (const auto& d : *doubts) {
        if (d.doubt.key() != doubtKey)
            continue;
        std::vector<Uuid> over;
        const auto earlier = projections.linesOfSubject(journal::doubtSubject(doubtKey));
        if (!earlier)
            return fail(earlier.error());
        for (const auto& entry : *earlier)
            if (entry.line)
                over.push_back(entry.line->id);
        auto commit = m_writer.begin();
        commit.add(Kind::DoubtSettled, {},
                   {{"key", doubtKey},
                    {"evidence", journal::idsToJson(d.doubt.evidence)},
                    {"choice", choice},
                    {"why", why},
                    {"over", journal::idsToJson(over)}});
        return commit.save();
    }
    return fail(Code::NotFound, "doubt " + doubtKey);
}

} // namespace discal::services
