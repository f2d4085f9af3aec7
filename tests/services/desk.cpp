#include "desk.h"

namespace discal::tests {

using services::sample::ReplayClock;

namespace {

time::Instant startOfTests() {
    return need(time::parseUtc("2026-09-05T13:30:00Z"));
}

} // namespace

Desk::Desk(const std::string& phone)
    : clock(phone, startOfTests(), std::chrono::hours(-5), "America/Chicago"),
      m_randomness(1, "lines of " + phone), m_keys(1, "device " + phone) {
    open();
    need(writer().ensureStarted({phone, "tests", {}}));
}

void Desk::open() {
    storage::Journal::WriteOptions options;
    options.program = "tests";
    options.newSeed = [this] { return m_keys.bytes<32>(); };
    m_journal = need(storage::Journal::openForWriting(storage::Place(m_folder.path() / "j.discal"), options));
    m_services =
        std::make_unique<services::sample::PhoneServices>(*m_journal, clock, m_randomness, positions);
    need(session().resume());
}

void Desk::restart() {
    m_services.reset();
    m_journal.reset();
    open();
}

void Desk::hearFix(std::int64_t accuracyMm, std::int32_t latE7, std::int32_t lonE7) {
    positions.fixes = {{clock.trueTime(), clock.now().upMs, latE7, lonE7, accuracyMm}};
}

void Desk::receiveSheet(const std::string& first, std::uint32_t count) {
    need(stock().receive({first, count, {}, 5}));
}

services::Tagging::Noted Desk::note(const std::string& code, const std::string& sex,
                                    const std::string& origin) {
    services::Tagging::Note note;
    if (!code.empty())
        note.code = code;
    note.sex = sex;
    note.origin = origin;
    return need(tagging().note(note));
}

butterfly::Butterfly Desk::find(const std::string& which) {
    return need(tagging().find(which));
}

std::string Desk::nextCode() {
    const auto next = need(stock().nextFree());
    return next ? next->text() : std::string();
}

std::vector<std::string> Desk::doubts() {
    std::vector<std::string> keys;
    for (const auto& d : need(projections().doubts()))
        if (!d.settled)
            keys.push_back(d.doubt.key());
    return keys;
}

journal::Line Desk::lineOf(const services::SavedLine& saved) {
    const auto bytes = need(journal().file().line(journal().device(), saved.seq));
    return need(journal::parseLine(bytes.value_or("")));
}

Result<void> exchange(storage::Journal& from, storage::Journal& to) {
    if (auto own = from.signedChain(); !own)
        return fail(own.error());
    const auto chains = from.file().chains();
    if (!chains)
        return fail(chains.error());
    for (const storage::Chain& chain : *chains) {
        if (!chain.jws)
            continue;
        storage::Delivery delivery;
        delivery.device = chain.device;
        delivery.publicKey = chain.publicKey;
        delivery.prev = journal::chainStart(chain.publicKey);
        delivery.head = chain.signedHead;
        delivery.jws = *chain.jws;
        const auto visited = from.file().visit(
            chain.device, 1, [&](std::int64_t seq, std::string_view line, const journal::Hash&) {
                delivery.lines.emplace_back(line);
                return seq < chain.signedHead.seq;
            });
        if (!visited)
            return fail(visited.error());
        const auto names = from.file().blobNames();
        if (!names)
            return fail(names.error());
        for (const journal::Hash& name : *names) {
            auto blob = from.file().blob(name);
            if (!blob)
                return fail(blob.error());
            if (*blob)
                delivery.blobs.push_back(std::move(**blob));
        }
        if (auto receipt = to.receive(delivery); !receipt)
            return fail(receipt.error());
    }
    return {};
}

std::filesystem::path sampleSession(const std::string& name) {
    return std::filesystem::path(__FILE__).parent_path().parent_path().parent_path() / "sample-sessions" /
           name;
}

} // namespace discal::tests
