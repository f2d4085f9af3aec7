#include "core/doubt/rules.h"
#include "core/journal/subjects.h"
#include "storage/projections_batch.h"
#include "storage/sqlite_errors.h"

#include <SQLiteCpp/SQLiteCpp.h>
#include <algorithm>
#include <filesystem>
#include <future>
#include <sqlite3.h>

namespace discal::storage {

namespace json = boost::json;
using butterfly::Butterfly;
using journal::Amended;
using journal::Entry;
using journal::Kind;
using journal::Order;
using journal::Uuid;

namespace {

/// Lines taken between two commits of the projections while nobody is idle. So many are read again after a crash, some
/// milliseconds; and so rarely does a tap pay for writing the pages of all of them.
constexpr int kLinesACommit = 250;
/// Lines read at once when catching up.
constexpr std::size_t kLinesABatch = 4000;

bool isUuidKey(std::string_view key) { return key.size() == 36 && key[8] == '-' && key[13] == '-'; }

bool isCodeKey(std::string_view key) { return key.starts_with("code "); }

/// Lines about the tag itself, or that we can't read: a code is folded from them. Of all others the butterfly tells.
bool isAboutTag(const std::string& word, Kind kind, std::int64_t version) {
    return word.starts_with("tag.") || version > journal::knownVersion(kind);
}

} // namespace

Result<void> Projections::take(const std::vector<Entry>& entries, const journal::Hash& headHash) {
    return guarded([&]() -> Result<void> {
        if (entries.empty())
            return {};
        try {
            begin();
            const std::int64_t number = chainNumber(entries.front().device, "");
            if (m_chains.at(static_cast<std::size_t>(number - 1)).doneSeq + 1 != entries.front().seq) {
                // Earlier ones could not be taken: the disk failed, and there was no room in memory.
                doCatchUp({});
                return {};
            }
            std::vector<Incoming> incoming;
            for (const Entry& entry : entries)
                incoming.push_back({entry, chainNumber(entry.device, ""), headHash, {}, {}});
            project(incoming);
            m_linesSinceCommit += static_cast<int>(entries.size());
            if (m_linesSinceCommit >= kLinesACommit)
                commit();
        } catch (...) {
            rollback();
            throw;
        }
        return {};
    });
}

Result<void> Projections::catchUp(const Progress& progress) {
    return guarded([&]() -> Result<void> {
        doCatchUp(progress);
        return {};
    });
}

Result<void> Projections::rebuild(const Progress& progress) {
    return guarded([&]() -> Result<void> {
        doRebuild(progress);
        return {};
    });
}

void Projections::doRebuild(const Progress& progress) {
    commit();
    const char* file = sqlite3_db_filename(m_db->getHandle(), "main");
    if (file != nullptr && *file != '\0' && m_journal.place().vfs.empty()) {
        // Quicker than dropping every page of a large file; readers keep the old one until they close it.
        m_prepared.clear();
        m_db.reset();
        for (const char* suffix : {"", "-wal", "-shm"})
            std::filesystem::remove(m_journal.place().state().string() + suffix);
        openDatabase(JournalFile::Access::Write);
    }
    createTables();
    loadRoles();
    doCatchUp(progress);
}

void Projections::doCatchUp(const Progress& progress) {
    // Lines read from beside their chain that now stand in it would be folded twice.
    const bool isFilled = std::any_of(m_chains.begin(), m_chains.end(), [&](const ChainRow& row) {
        return !row.branch.empty() && standsInChain(row.device, row.doneSeq, row.branch);
    });
    if (isFilled) {
        commit();
        createTables();
        loadRoles();
    }
    /// The next lines of one chain: read here, and made sense of by another thread while these are projected.
    struct Ahead {
        std::int64_t chain;
        journal::DeviceId device;
        std::int64_t nextSeq;
        std::int64_t lastSeq;
        std::vector<Incoming> lines;
        std::size_t at{0};
        std::future<std::vector<Incoming>> next;
    };
    try {
        begin();
        std::vector<Ahead> aheads;
        std::vector<Incoming> spent;
        std::int64_t all = 0;
        std::int64_t done = 0;
        for (const Chain& chain : need(m_journal.chains())) {
            const std::int64_t n = chainNumber(chain.device, "");
            const std::int64_t next = m_chains.at(static_cast<std::size_t>(n - 1)).doneSeq + 1;
            if (next <= chain.head.seq) {
                aheads.push_back({n, chain.device, next, chain.head.seq, {}, 0, {}});
                all += chain.head.seq - next + 1;
            }
        }
        const auto readOn = [&](Ahead& ahead) {
            std::vector<std::pair<std::string, journal::Hash>> raw;
            const std::int64_t from = ahead.nextSeq;
            need(m_journal.visit(ahead.device, from,
                                 [&](std::int64_t seq, std::string_view line, const journal::Hash& hash) {
                                     raw.emplace_back(line, hash);
                                     ahead.nextSeq = seq + 1;
                                     return raw.size() < kLinesABatch / 4 && seq < ahead.lastSeq;
                                 }));
            // Lines that are done with are freed there too: that takes nearly as long as parsing them.
            // With no thread to be had it is done when asked for.
            return std::async(std::launch::async | std::launch::deferred, [device = ahead.device, chain = ahead.chain, from, raw = std::move(raw),
                                 done = std::exchange(spent, {})]() mutable {
                done.clear();
                std::vector<Incoming> lines;
                lines.reserve(raw.size());
                for (std::size_t i = 0; i < raw.size(); ++i) {
                    Incoming& in = lines.emplace_back();
                    in.entry = journal::makeEntry(device, from + static_cast<std::int64_t>(i),
                                                  std::move(raw[i].first));
                    in.chain = chain;
                    in.hash = raw[i].second;
                    if (in.entry.line)
                        in.subjects = journal::subjectsOf(*in.entry.line, device, in.entry.line->body);
                }
                return lines;
            });
        };
        const auto refill = [&](Ahead& ahead) {
            if (!ahead.next.valid())
                ahead.next = readOn(ahead);
            ahead.lines = ahead.next.get();
            ahead.at = 0;
            if (ahead.nextSeq <= ahead.lastSeq)
                ahead.next = readOn(ahead);
        };
        std::vector<Incoming> batch;
        int batches = 0;
        const auto finishBatch = [&] {
            project(batch);
            done += static_cast<std::int64_t>(batch.size());
            spent = std::exchange(batch, {});
            commit();
            // Each moves every page that was written since, and syncs: some batches share one.
            constexpr int kBatchesACheckpoint = 10;
            if (++batches % kBatchesACheckpoint == 0)
                sqlite3_wal_checkpoint_v2(m_db->getHandle(), nullptr, SQLITE_CHECKPOINT_PASSIVE, nullptr, nullptr);
            begin();
            if (progress)
                progress(done, all);
        };
        for (;;) {
            // The one that stands first in the order: then nearly every line can be stepped.
            Ahead* first = nullptr;
            for (Ahead& ahead : aheads) {
                if (ahead.at == ahead.lines.size() && (ahead.next.valid() || ahead.nextSeq <= ahead.lastSeq))
                    refill(ahead);
                if (ahead.at == ahead.lines.size())
                    continue;
                if (first == nullptr ||
                    ahead.lines[ahead.at].entry.order() < first->lines[first->at].entry.order())
                    first = &ahead;
            }
            if (first == nullptr)
                break;
            batch.push_back(std::move(first->lines[first->at++]));
            if (batch.size() >= kLinesABatch)
                finishBatch();
        }
        for (const ForkLine& fork : need(m_journal.forks())) {
            const std::string branch = journal::hexOf(fork.hash);
            const bool isKnown = std::any_of(m_chains.begin(), m_chains.end(), [&](const ChainRow& r) {
                return r.device == fork.device && r.branch == branch;
            });
            if (!isKnown && !standsInChain(fork.device, fork.seq, branch))
                batch.push_back({journal::makeEntry(fork.device, fork.seq, fork.line),
                                 chainNumber(fork.device, branch), fork.hash, {}, {}});
        }
        if (!batch.empty())
            finishBatch();
        commit();
    } catch (...) {
        rollback();
        throw;
    }
}

void Projections::project(std::vector<Incoming>& entries) {
    Batch batch;
    for (Incoming& in : entries) {
        route(in, batch);
        setDone(in.chain, in.entry.seq, in.hash);
    }
    if (batch.roles)
        deriveRoles(batch);
    if (batch.roles || batch.erasures)
        deriveErasures();
    for (const std::string& key : batch.refold)
        fold(key, batch);
    std::vector<const Butterfly*> changed;
    for (const std::string& id : batch.changedButterflies)
        changed.push_back(&batch.butterflies.at(id));
    // Nothing below reads the rows of these butterflies before they are put, so another thread may write their stories
    // meanwhile; for a tap that wouldn't pay.
    constexpr std::size_t kWorthAThread = 100;
    auto stories = std::async(changed.size() < kWorthAThread ? std::launch::deferred
                                                             : std::launch::async | std::launch::deferred,
                              [&changed] {
                                  std::vector<std::string> out;
                                  for (const Butterfly* b : changed)
                                      out.push_back(json::serialize(butterfly::toJson(*b)));
                                  return out;
                              });
    for (const Butterfly* b : changed)
        storeCarried(*b, batch.carriedBefore[b->id.text()]);
    for (const std::string& id : batch.sheets)
        deriveSheet(id);
    for (const std::string& code : batch.codes)
        deriveCode(code, batch);
    for (const std::string& key : batch.doubtKeys)
        resettle(key);
    const auto written = stories.get();
    for (std::size_t i = 0; i < changed.size(); ++i)
        storeStory(*changed[i], written[i]);
}

void Projections::touchRow(const std::string& key, const Order& order, std::int64_t chain) {
    auto& insert = prepared("INSERT INTO touch (key, lamport, chain, seq) VALUES (?, ?, ?, ?) ON CONFLICT DO NOTHING");
    insert.bindNoCopy(1, key);
    insert.bind(2, order.lamport);
    insert.bind(3, chain);
    insert.bind(4, order.seq);
    insert.exec();
}

void Projections::touch(const std::string& key, const Incoming& in) { touchRow(key, in.entry.order(), in.chain); }

/// Makes the event of the line in `in`; its place in the chain stays.
void Projections::route(Incoming& in, Batch& batch) {
    const Entry& entry = in.entry;
    const bool isFork = !m_chains.at(static_cast<std::size_t>(in.chain - 1)).branch.empty();
    const std::string place = "line-at " + entry.device.text() + "/" + std::to_string(entry.seq);
    if (isFork) {
        // All that stand beside the chain at this place, whichever came first.
        std::vector<Uuid> evidence;
        for (const ChainRow& row : m_chains)
            if (row.device == entry.device && !row.branch.empty() && (row.n == in.chain || row.doneSeq == entry.seq))
                if (const Entry other = row.n == in.chain ? entry : readEntry(row.n, entry.seq); other.line)
                    evidence.push_back(other.line->id);
        writeDoubts(place + " fork", {{"chain.forked", place + " fork", doubt::Severity::CannotBeRight, evidence}});
    }
    if (!entry.line) {
        writeDoubts(place, {{"line.unreadable", place, doubt::Severity::CannotBeRight, {}}});
        return;
    }
    const journal::Line& line = *entry.line;
    // Only what stands later amends: where nothing later has come, nothing has to be looked up.
    const bool isLast = line.lamport > m_greatestLamport;
    m_greatestLamport = std::max(m_greatestLamport, line.lamport);
    const Kind kind = journal::kindOf(line.kind);
    const bool isAboutItsTag = isAboutTag(line.kind, kind, line.version);
    if (in.subjects.empty())
        in.subjects = journal::subjectsOf(line, entry.device, line.body);

    touch("id " + line.id.text(), in);
    if (line.act != line.id)
        touch("id " + line.act.text(), in);
    for (const std::string& key : in.subjects)
        if (!isCodeKey(key) || isAboutItsTag)
            touch(key, in);

    const bool isAmended = !isLast && (isTouched(journal::correctionsOf(line.id)) ||
                                       isTouched(journal::withdrawalsOf(line.act)));
    if (isAmended || isAmending(kind)) {
        disturb(entry, batch);
        return;
    }
    const std::string mainSubject = line.about.empty() ? std::string() : line.about.front().text();
    in.event = journal::unamended(std::move(in.entry));
    for (const std::string& key : in.subjects)
        stepSubject(key, in.event, key == mainSubject, batch);
}

/// The chain, or branch of one, that the entry was read from.
std::int64_t Projections::chainOf(const Entry& entry) {
    std::vector<std::int64_t> chains;
    auto& select = prepared("SELECT chain FROM touch WHERE key = ? AND lamport = ? AND seq = ?");
    select.bind(1, "id " + entry.line->id.text());
    select.bind(2, entry.line->lamport);
    select.bind(3, entry.seq);
    while (select.executeStep())
        chains.push_back(select.getColumn(0).getInt64());
    select.tryReset();
    for (const std::int64_t n : chains)
        if (m_chains.at(static_cast<std::size_t>(n - 1)).device == entry.device &&
            (chains.size() == 1 || readEntry(n, entry.seq).bytes == entry.bytes))
            return n;
    throw Failure({Code::Corrupt, entry.device.text(), entry.seq});
}

/// The lines that a correction or withdrawal names.
std::vector<Entry> Projections::amendedBy(const Entry& amendment) {
    const journal::Line& line = *amendment.line;
    const Kind kind = journal::kindOf(line.kind);
    const auto named = kind == Kind::EntryCorrected   ? journal::idIn(line.body, "of")
                       : kind == Kind::EntryWithdrawn ? journal::idIn(line.body, "act")
                                                      : std::nullopt;
    if (!named)
        return {};
    std::vector<Entry> targets = entriesTouching("id " + named->text());
    std::erase_if(targets, [&](const Entry& target) {
        return !target.line || target.order() >= amendment.order() ||
               (kind == Kind::EntryCorrected ? target.line->id : target.line->act) != *named;
    });
    return targets;
}

/// All that is read otherwise once `entry` has come: itself, or what it amends, directly or by way of others.
void Projections::disturb(const Entry& entry, Batch& batch) {
    // There may be many ways from one line to another, so each is looked at once.
    std::set<std::pair<Order, std::string>> seen;
    std::vector<Entry> open{entry};
    while (!open.empty()) {
        const Entry next = std::move(open.back());
        open.pop_back();
        if (!next.line || !seen.emplace(next.order(), next.bytes).second)
            continue;
        for (Entry& target : amendedBy(next))
            open.push_back(std::move(target));
        const Amended event = journal::unamended(next);
        if (!isAmending(event.kind) || event.isNewer)
            disturbSubjects(next, event, batch);
    }
}

/// Subjects of a line that is amended: those of the line as written and as any correction would have it.
void Projections::disturbSubjects(const Entry& entry, const Amended& event, Batch& batch) {
    const journal::Line& line = *entry.line;
    std::set<std::string> keys;
    const auto add = [&](const json::object& body) {
        for (auto& key : journal::subjectsOf(line, entry.device, body))
            keys.insert(std::move(key));
    };
    add(line.body);
    std::map<std::string, std::vector<json::value>, std::less<>> corrected;
    for (const Entry& correction : correctionsOf(line.id)) {
        if (!correction.line || correction.order() <= entry.order())
            continue;
        if (const auto* set = journal::objectIn(correction.line->body, "set"))
            for (const auto& member : *set)
                corrected[std::string(member.key())].push_back(member.value());
    }
    for (const auto& [name, values] : corrected)
        for (const json::value& value : values) {
            json::object body = line.body;
            body[name] = value;
            add(body);
        }
    if (line.kind.starts_with("tag.")) {
        // The codes of a run follow from three members together.
        std::vector<json::object> bodies{line.body};
        for (const std::string_view name : {"first", "count", "scheme"})
            if (const auto at = corrected.find(name); at != corrected.end())
                for (std::size_t i = bodies.size(); i-- > 0;)
                    for (const json::value& value : at->second) {
                        bodies.push_back(bodies[i]);
                        bodies.back()[name] = value;
                    }
        for (const json::object& body : bodies)
            add(body);
    }
    // No butterfly may carry a code that the line would give it, were it read by a newer Discal: the tag
    // itself is marked.
    const bool marksTags = isAboutTag(line.kind, event.kind, line.version) || journal::isNamedByNewer(entry, *this);
    const std::int64_t chain = chainOf(entry);
    for (const std::string& key : keys) {
        if (isCodeKey(key)) {
            batch.codes.insert(key.substr(5));
            if (!marksTags)
                continue;
        }
        touchRow(key, entry.order(), chain);
        if (key == journal::kRolesSubject)
            batch.roles = true;
        else if (key == journal::kErasuresSubject)
            batch.erasures = true;
        else if (key.starts_with("doubt "))
            batch.doubtKeys.insert(key.substr(6));
        else if (!isCodeKey(key))
            batch.refold.insert(key);
    }
    writeDoubts(journal::correctionsOf(line.id), doubt::about(journal::amended(entry, *this)));
}

void Projections::stepSubject(const std::string& key, const Amended& event, bool isMainSubject, Batch& batch) {
    if (isCodeKey(key)) {
        batch.codes.insert(key.substr(5));
        return;
    }
    if (key == journal::kRolesSubject) {
        batch.roles = true;
        return;
    }
    if (key == journal::kErasuresSubject) {
        batch.erasures = true;
        return;
    }
    if (key.starts_with("doubt ")) {
        batch.doubtKeys.insert(key.substr(6));
        return;
    }
    if (key.starts_with("line ") || key.starts_with("act ") || batch.refold.count(key) != 0)
        return;
    const Noun noun = isMainSubject ? nounOf(event.line.kind) : Noun::Other;
    if (isUuidKey(key) && noun == Noun::Butterfly) {
        auto cached = batch.butterflies.find(key);
        if (cached == batch.butterflies.end() && event.kind == Kind::ButterflyNoted && !isTouchedTwice(key)) {
            // Its first line; if others came before, they are folded together.
            Butterfly fresh;
            fresh.id = event.line.about.front();
            butterfly::step(fresh, event);
            for (const auto& carried : fresh.codes)
                batch.codes.insert(carried.code);
            batch.butterflies.emplace(key, std::move(fresh));
            batch.changedButterflies.insert(key);
            return;
        }
        if (cached == batch.butterflies.end()) {
            auto row = loadButterfly(key);
            if (row) {
                batch.carriedBefore[key] = row->codes;
                cached = batch.butterflies.emplace(key, std::move(*row)).first;
            }
        }
        if (cached != batch.butterflies.end() && cached->second.last < event.order) {
            Butterfly& b = cached->second;
            const auto codesBefore = b.codes;
            const bool neededNewer = b.needsNewer;
            const std::string deviceBefore = b.device;
            butterfly::step(b, event);
            batch.changedButterflies.insert(key);
            // Most lines leave its tags as they were; then nothing about them has to be derived.
            if (b.codes != codesBefore || b.needsNewer != neededNewer || b.device != deviceBefore)
                for (const auto& carried : b.codes)
                    batch.codes.insert(carried.code);
            return;
        }
    }
    batch.refold.insert(key);
}

void Projections::deriveErasures() {
    prepared("DELETE FROM erased").exec();
    for (const Entry& entry : entriesTouching(std::string(journal::kErasuresSubject))) {
        const auto blob = journal::hashFromHex(
            entry.line ? journal::textIn(entry.line->body, "blob").value_or("") : std::string_view());
        // Only an office erases; where no station has been founded, whoever holds the phone. What is erased stays so:
        // amendments don't count.
        if (!blob || (!m_roles.station().empty() && !isOffice(entry.device, entry.order())))
            continue;
        auto& insert = prepared("INSERT INTO erased (blob) VALUES (?) ON CONFLICT DO NOTHING");
        insert.bind(1, journal::hexOf(*blob));
        insert.exec();
    }
}

} // namespace discal::storage
