#include "storage/journal_maker.h"

#include "core/text/base_n.h"

#include <algorithm>
#include <iterator>
#include <sstream>
#include <stdexcept>
#include <stdlib.h>
#include <unistd.h>

namespace discal::tests {

namespace json = boost::json;
using journal::DeviceId;
using journal::Line;
using journal::Uuid;
using storage::Blob;
using storage::Delivery;
using storage::Journal;

std::string wordsOf(const Error& error) {
    return "error code " + std::to_string(static_cast<int>(error.code)) + ", \"" + error.detail + "\", " +
           std::to_string(error.number);
}

SideFolder::SideFolder() {
    const bool hasMemory = ::access("/dev/shm", W_OK) == 0;
    const std::filesystem::path root = hasMemory ? "/dev/shm" : std::filesystem::temp_directory_path();
    std::string pattern = (root / "discal-test-XXXXXX").string();
    if (::mkdtemp(pattern.data()) == nullptr)
        throw std::runtime_error("no temporary folder");
    m_path = pattern;
}

SideFolder::~SideFolder() {
    std::error_code ec;
    std::filesystem::remove_all(m_path, ec);
}

Journal::WriteOptions writeOptions(std::uint64_t seed, std::string program) {
    Journal::WriteOptions options;
    options.program = std::move(program);
    options.newSeed = [choices = Choices(seed)]() mutable { return choices.bytes<32>(); };
    return options;
}

std::unique_ptr<Journal> openWriter(const storage::Place& place, std::uint64_t seed) {
    return good(Journal::openForWriting(place, writeOptions(seed)));
}

std::unique_ptr<Journal> openReader(const storage::Place& place) {
    return good(Journal::openForReading(place));
}

JournalMaker::JournalMaker(Journal& journal, std::uint64_t seed)
    : now(good(time::parseUtc("2025-08-30T07:15:00.000Z"))), m_journal(&journal), m_choices(seed) {}

Uuid JournalMaker::newId() {
    return Uuid::v7(now, m_choices.bytes<10>());
}

Line JournalMaker::line(std::string kind, std::vector<Uuid> about, json::object body, int version) {
    now += time::milliseconds(20'000 + static_cast<std::int64_t>(m_choices.below(40'000)));
    upMs += 30'000;
    Line out;
    out.id = newId();
    out.kind = std::move(kind);
    out.version = version;
    out.act = out.id;
    out.about = std::move(about);
    m_lamport = 1 + std::max(m_lamport, good(m_journal->projections().greatestLamport()));
    out.lamport = m_lamport;
    out.by = by;
    out.at = now;
    out.offset = offset;
    out.zone = zone;
    out.boot = boot;
    out.upMs = upMs;
    out.body = std::move(body);
    return out;
}

Result<Uuid> JournalMaker::tryAppend(const Line& line, const std::vector<Blob>& blobs) {
    const auto bytes = journal::encodeLine(line);
    if (!bytes)
        return fail(bytes.error());
    if (const auto head = m_journal->append({*bytes}, blobs); !head)
        return fail(head.error());
    return line.id;
}

Uuid JournalMaker::append(const Line& line, const std::vector<Blob>& blobs) {
    return good(tryAppend(line, blobs));
}

Uuid JournalMaker::appendAct(std::vector<Line> lines) {
    std::vector<std::string> bytes;
    for (Line& line : lines) {
        line.act = lines.front().id;
        bytes.push_back(good(journal::encodeLine(line)));
    }
    (void)good(m_journal->append(bytes));
    return lines.front().id;
}

Uuid JournalMaker::started(const std::string& name) {
    json::object body{
        {"public_key", text::base64url(m_journal->publicKey())}, {"name", name}, {"app", "test"}};
    if (const auto& begun = m_journal->newChain(); begun && !begun->device.empty())
        body["continues"] = json::object{{"device", begun->device},
                                         {"seq", begun->head.seq},
                                         {"hash", journal::hexOf(begun->head.hash)},
                                         {"why", storage::textOf(begun->why)}};
    return append(line("device.started", {}, std::move(body)));
}

Uuid JournalMaker::founded(const std::string& name) {
    m_subject = newId();
    return append(line("station.founded", {m_subject}, {{"name", name}}));
}

Uuid JournalMaker::enrolled(const DeviceId& device, const std::string& role) {
    return append(line("device.enrolled", {}, {{"device", device.text()}, {"role", role}}));
}

Uuid JournalMaker::sheetReceived(const std::string& first, int count) {
    m_subject = newId();
    return sheetReceivedAs(m_subject, first, count);
}

Uuid JournalMaker::sheetReceivedAs(const Uuid& sheet, const std::string& first, int count) {
    return append(line("sheet.received", {sheet}, {{"first", first}, {"count", count}, {"per_row", 5}}));
}

Uuid JournalMaker::handed(const Uuid& sheet, const std::string& first, int count, const DeviceId& to) {
    return append(line("sheet.handed", {sheet}, {{"first", first}, {"count", count}, {"to", to.text()}}));
}

Uuid JournalMaker::taken(const Uuid& sheet, const std::string& first, int count) {
    return append(line("sheet.taken", {sheet}, {{"first", first}, {"count", count}}));
}

Line JournalMaker::noteLine(const std::string& code, const std::string& sex) {
    m_subject = newId();
    return line("butterfly.noted", {m_subject},
                {{"code", code},
                 {"sex", sex},
                 {"origin", "reared"},
                 {"taken", {{"lat_e7", 525'000'000}, {"lon_e7", 134'000'000}, {"uncertainty_mm", 8000}}}});
}

Uuid JournalMaker::note(const std::string& code, const std::string& sex) {
    return append(noteLine(code, sex));
}

Uuid JournalMaker::held(const Uuid& butterfly, const std::string& cage) {
    return append(line("butterfly.held", {butterfly}, {{"cage", cage}}));
}

Uuid JournalMaker::released(const Uuid& butterfly) {
    return append(
        line("butterfly.released", {butterfly},
             {{"place", {{"lat_e7", 525'100'000}, {"lon_e7", 134'100'000}, {"uncertainty_mm", 5000}}}}));
}

Uuid JournalMaker::releasedTogether(const std::vector<Uuid>& butterflies) {
    std::vector<Line> lines;
    for (const Uuid& id : butterflies)
        lines.push_back(line("butterfly.released", {id}, {}));
    return appendAct(std::move(lines));
}

Uuid JournalMaker::happened(const std::string& kind, const Uuid& butterfly, json::object body) {
    return append(line(kind, {butterfly}, std::move(body)));
}

Uuid JournalMaker::retagged(const Uuid& butterfly, const std::string& code) {
    return append(line("butterfly.retagged", {butterfly}, {{"code", code}}));
}

Uuid JournalMaker::recaptured(const std::string& code, std::optional<Uuid> butterfly) {
    m_subject = butterfly ? *butterfly : newId();
    return append(line("butterfly.recaptured", {m_subject}, {{"code", code}, {"wear", 2}}));
}

Uuid JournalMaker::spoiled(const Uuid& butterfly, const std::string& code, const std::string& next) {
    return append(line("tag.spoiled", {butterfly}, {{"code", code}, {"next", next}}));
}

Uuid JournalMaker::compared(const std::vector<Uuid>& butterflies, const std::string& offered,
                            const std::string& says) {
    return append(line("tag.compared", butterflies, {{"offered", offered}, {"says", says}}));
}

Uuid JournalMaker::tagLine(const std::string& kind, const std::string& first, int count) {
    return append(line(kind, {}, {{"first", first}, {"count", count}}));
}

Uuid JournalMaker::correct(const Uuid& of, const std::string& field, json::value value,
                           const std::vector<Uuid>& over) {
    json::object set;
    set[field] = std::move(value);
    return append(line("entry.corrected", {},
                       {{"of", of.text()},
                        {"set", std::move(set)},
                        {"over", journal::idsToJson(over)},
                        {"why", "read again"}}));
}

Uuid JournalMaker::withdraw(const Uuid& act, const std::vector<Uuid>& over) {
    return append(line("entry.withdrawn", {},
                       {{"act", act.text()}, {"over", journal::idsToJson(over)}, {"why", "undone"}}));
}

Uuid JournalMaker::settled(const std::string& doubtKey, const std::vector<Uuid>& evidence,
                           const std::string& choice, const std::vector<Uuid>& over) {
    return append(line("doubt.settled", {},
                       {{"key", doubtKey},
                        {"evidence", journal::idsToJson(evidence)},
                        {"choice", choice},
                        {"why", "looked at the paper"},
                        {"over", journal::idsToJson(over)}}));
}

Uuid JournalMaker::unknown(const std::string& kind, int version, const std::vector<Uuid>& about,
                           json::object body) {
    return append(line(kind, about, std::move(body), version));
}

Uuid JournalMaker::named(const std::string& initials) {
    m_blob = good(storage::makeBlob(m_choices.bytes<16>(), initials));
    m_subject = newId();
    return append(
        line("person.named", {m_subject}, {{"initials", {{"blob", journal::hexOf(m_blob.sha256)}}}}),
        {m_blob});
}

Uuid JournalMaker::eraseBlob(const journal::Hash& blob, const std::string& why) {
    return append(line("blob.erased", {}, {{"blob", journal::hexOf(blob)}, {"why", why}}));
}

Delivery delivery(Journal& from, const DeviceId& device, std::int64_t fromSeq) {
    storage::JournalFile& file = from.file();
    const storage::Chain chain =
        device == from.device() ? good(from.signedChain()) : good(file.chain(device)).value();
    Delivery out;
    out.device = device;
    out.publicKey = chain.publicKey;
    out.from = fromSeq;
    out.prev = good(file.hash(device, fromSeq - 1)).value();
    out.head = chain.signedHead;
    out.jws = chain.jws.value_or("");
    if (out.head.seq >= fromSeq)
        good(file.visit(device, fromSeq, [&](std::int64_t seq, std::string_view line, const journal::Hash&) {
            out.lines.emplace_back(line);
            return seq < out.head.seq;
        }));
    return out;
}

LooseChain::LooseChain(std::uint64_t seed) : m_key(journal::KeyPair::fromSeed(Choices(seed).bytes<32>())) {}

LooseChain::LooseChain(std::uint64_t seed, Journal& journal) : LooseChain(seed) {
    if (journal.device() != device())
        throw std::runtime_error("another seed made this journal");
    good(journal.file().visit(device(), 1, [&](std::int64_t, std::string_view line, const journal::Hash&) {
        add(std::string(line));
        return true;
    }));
}

Delivery LooseChain::delivery(std::size_t fromSeq, std::size_t toSeq) const {
    Delivery out;
    out.device = device();
    out.publicKey = m_key.publicKey;
    out.from = static_cast<std::int64_t>(fromSeq);
    out.head = {0, journal::chainStart(m_key.publicKey)};
    out.prev = out.head.hash;
    for (std::size_t seq = 1; seq <= toSeq; ++seq) {
        out.head = {static_cast<std::int64_t>(seq), journal::chainNext(out.head.hash, line(seq))};
        if (seq + 1 == fromSeq)
            out.prev = out.head.hash;
        if (seq >= fromSeq)
            out.lines.push_back(line(seq));
    }
    out.jws = journal::signHead(m_key, out.head);
    return out;
}

std::vector<std::string> linesOf(storage::JournalFile& file) {
    std::vector<std::string> out;
    for (const storage::Chain& chain : good(file.chains()))
        good(file.visit(chain.device, 1, [&](std::int64_t seq, std::string_view line, const journal::Hash&) {
            out.push_back(chain.device.text() + " " + std::to_string(seq) + " " + std::string(line));
            return true;
        }));
    for (const storage::ForkLine& fork : good(file.forks()))
        out.push_back("fork " + fork.device.text() + " " + std::to_string(fork.seq) + " " + fork.line);
    return out;
}

std::string difference(const std::string& one, const std::string& other) {
    const auto rows = [](const std::string& dump) {
        std::vector<std::string> out;
        std::istringstream in(dump);
        for (std::string row; std::getline(in, row);)
            out.push_back(row);
        return out;
    };
    return one == other ? std::string() : difference(rows(one), rows(other));
}

std::string difference(const std::vector<std::string>& one, const std::vector<std::string>& other) {
    if (one == other)
        return {};
    std::vector<std::string> a = one;
    std::vector<std::string> b = other;
    std::sort(a.begin(), a.end());
    std::sort(b.begin(), b.end());
    std::vector<std::string> onlyA;
    std::vector<std::string> onlyB;
    std::set_difference(a.begin(), a.end(), b.begin(), b.end(), std::back_inserter(onlyA));
    std::set_difference(b.begin(), b.end(), a.begin(), a.end(), std::back_inserter(onlyB));
    std::string out = "they differ";
    for (std::size_t i = 0; i < onlyA.size() && i < 4; ++i)
        out += "\n  one:   " + onlyA[i];
    for (std::size_t i = 0; i < onlyB.size() && i < 4; ++i)
        out += "\n  other: " + onlyB[i];
    return out;
}

} // namespace discal::tests
