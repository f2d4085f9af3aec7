#include "services/line_writer.h"

#include "core/text/base_n.h"

namespace discal::services {

namespace json = boost::json;
using journal::Uuid;

namespace {

std::string placeWordsIn(const json::object& body) {
    for (const char* member : {"place", "taken"})
        if (const auto* place = journal::objectIn(body, member))
            return std::string(journal::textIn(*place, "words").value_or(""));
    return {};
}

} // namespace

LineWriter::LineWriter(storage::Journal& journal, Clock& clock, Randomness& randomness)
    : m_journal(journal), m_clock(clock), m_randomness(randomness) {}

Uuid LineWriter::newId(const Moment& moment) { return Uuid::v7(moment.wall, m_randomness.bytes<10>()); }

Result<Saved> LineWriter::ensureStarted(const Start& start) {
    const auto& begun = m_journal.newChain();
    if (!begun)
        return Saved{};
    json::object body{{"public_key", text::base64url(m_journal.publicKey())},
                      {"name", start.name},
                      {"app", start.app}};
    if (start.sample)
        body["sample"] = *start.sample;
    if (!begun->device.empty())
        body["continues"] = json::object{{"device", begun->device},
                                         {"seq", begun->head.seq},
                                         {"hash", journal::hexOf(begun->head.hash)},
                                         {"why", storage::textOf(begun->why)}};
    Commit commit = begin();
    commit.add(journal::Kind::DeviceStarted, {}, std::move(body));
    return commit.save();
}

Uuid LineWriter::Commit::add(journal::Kind kind, std::vector<Uuid> about, json::object body) {
    journal::Line line;
    line.id = newId();
    if (!m_act)
        m_act = line.id;
    line.kind = journal::textOf(kind);
    line.version = journal::knownVersion(kind);
    line.act = *m_act;
    line.about = std::move(about);
    line.by = m_writer.m_recorder;
    line.at = m_moment.wall;
    line.offset = m_moment.offset;
    line.zone = m_moment.zone;
    line.boot = m_moment.boot;
    line.upMs = m_moment.upMs;
    line.body = std::move(body);
    m_lines.push_back(std::move(line));
    return m_lines.back().id;
}

Result<json::object> LineWriter::Commit::keep(std::string_view content) {
    auto blob = storage::makeBlob(m_writer.m_randomness.bytes<16>(), content);
    if (!blob)
        return fail(blob.error());
    json::object cited{{"blob", journal::hexOf(blob->sha256)}};
    m_blobs.push_back(std::move(*blob));
    return cited;
}

Result<Saved> LineWriter::Commit::save() {
    if (m_lines.empty())
        return Saved{};
    const auto lamport = m_writer.m_journal.projections().greatestLamport();
    if (!lamport)
        return fail(lamport.error());
    std::vector<std::string> bytes;
    std::int64_t next = *lamport + 1;
    for (journal::Line& line : m_lines) {
        line.lamport = next++;
        auto encoded = journal::encodeLine(line);
        if (!encoded)
            return fail(encoded.error());
        bytes.push_back(std::move(*encoded));
    }
    const auto head = m_writer.m_journal.append(bytes, m_blobs, m_locals);
    if (!head)
        return fail(head.error());
    Saved saved;
    std::int64_t seq = head->seq - static_cast<std::int64_t>(m_lines.size()) + 1;
    for (const journal::Line& line : m_lines)
        saved.lines.push_back({seq++, line.id, line.act, line.kind, placeWordsIn(line.body)});
    for (const auto& remember : m_whenSaved)
        remember();
    m_whenSaved.clear();
    if (m_writer.onSaved)
        for (const SavedLine& line : saved.lines)
            m_writer.onSaved(line);
    m_lines.clear();
    m_blobs.clear();
    m_locals.clear();
    m_act.reset();
    return saved;
}

} // namespace discal::services
