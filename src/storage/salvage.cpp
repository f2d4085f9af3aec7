#include "storage/salvage.h"

#include "core/text/base_n.h"
#include "storage/durable_file.h"
#include "storage/sqlite_errors.h"

#include <SQLiteCpp/SQLiteCpp.h>
#include <algorithm>
#include <map>
#include <set>

namespace discal::storage {

using journal::DeviceId;
using journal::Hash;

namespace {

/// One place of a chain, as far as it could be read.
struct Row {
    std::optional<std::string> line;
    std::optional<Hash> hash;
};

struct FoundChain {
    journal::PublicKey key{};
    std::map<std::int64_t, Row> rows;
    std::vector<ForkLine> forks;
    journal::Head signedHead;
    std::string jws;
};

std::string bytesOf(const SQLite::Column& column) {
    return {static_cast<const char*>(column.getBlob()), static_cast<std::size_t>(column.getBytes())};
}

std::optional<Hash> hashOf(const SQLite::Column& column) {
    if (column.getBytes() != 32)
        return std::nullopt;
    Hash hash{};
    std::memcpy(hash.data(), column.getBlob(), hash.size());
    return hash;
}

/// Steps through a query for as long as SQLite can; false if it stopped with an error.
template <class Use>
bool readWhatGoes(SQLite::Database& db, const char* sql, const Use& use, const std::function<void(SQLite::Statement&)>& bind = {}) {
    try {
        SQLite::Statement select(db, sql);
        if (bind)
            bind(select);
        while (select.executeStep())
            use(select);
        return true;
    } catch (const SQLite::Exception&) {
        return false;
    }
}

/// How many missing places in a row end the search for further lines of a chain.
constexpr std::int64_t kPatience = 3000;

/// `mostSeq`: no chain in a file of this size can be longer; a damaged seq is beyond it or below 1.
void readRows(SQLite::Database& db, const std::string& device, std::int64_t mostSeq, FoundChain& chain) {
    const auto take = [&](SQLite::Statement& s) {
        const std::int64_t seq = s.getColumn(0).getInt64();
        if (seq >= 1 && seq <= mostSeq)
            chain.rows[seq] = {bytesOf(s.getColumn(1)), hashOf(s.getColumn(2))};
    };
    const auto bind = [&](SQLite::Statement& s) { s.bind(1, device); };
    const bool upwards =
        readWhatGoes(db, "SELECT seq, line, hash FROM entry WHERE device = ? ORDER BY seq", take, bind);
    if (upwards)
        return;
    readWhatGoes(db, "SELECT seq, line, hash FROM entry WHERE device = ? ORDER BY seq DESC", take, bind);
    // Between two damaged pages: one by one.
    std::int64_t misses = 0;
    for (std::int64_t seq = 1; misses < kPatience && seq <= mostSeq; ++seq) {
        if (chain.rows.count(seq) != 0) {
            misses = 0;
            continue;
        }
        bool found = false;
        readWhatGoes(
            db, "SELECT seq, line, hash FROM entry WHERE device = ? AND seq = ?",
            [&](SQLite::Statement& s) {
                take(s);
                found = true;
            },
            [&](SQLite::Statement& s) {
                s.bind(1, device);
                s.bind(2, seq);
            });
        misses = found ? 0 : misses + 1;
    }
}

/// A row of `entry` takes at least a line of 2 bytes and a hash.
std::int64_t mostLines(const Place& place) {
    std::int64_t bytes = 0;
    for (const char* suffix : {"", "-wal"}) {
        std::error_code ec;
        const auto size = std::filesystem::file_size(place.database.string() + suffix, ec);
        bytes += ec ? 0 : static_cast<std::int64_t>(size);
    }
    return bytes / 34;
}

/// Rows of `entry` as they lie in raw pages, by device and seq; several where old pages are still there.
using RawRows = std::map<std::string, std::map<std::int64_t, std::vector<Row>>>;

/// Whatever in the raw bytes reads as a line, with what SQLite's record format puts around it: device (26 bytes) and
/// seq (big-endian, as short as it goes; none at all for 1) before it, the hash behind it.
/// Source: SQLite, "Database File Format", 2.1 Record Format. A line that spills into an overflow page is not found.
RawRows rowsInRawBytes(const Place& place) {
    RawRows out;
    const std::int64_t most = mostLines(place);
    for (const char* suffix : {"", "-wal"}) {
        const auto bytes = readWhole(place.database.string() + suffix);
        if (!bytes || !*bytes)
            continue;
        const std::string& raw = **bytes;
        constexpr std::string_view kStart = "{\"id\":\"";
        for (std::size_t at = raw.find(kStart); at != std::string::npos; at = raw.find(kStart, at + 1)) {
            boost::json::stream_parser parser;
            boost::json::error_code ec;
            const std::size_t used =
                parser.write_some(raw.data() + at, std::min(journal::kLongestLine, raw.size() - at), ec);
            if (ec || !parser.done() || at + used + 32 > raw.size() || !journal::parseLine({raw.data() + at, used}))
                continue;
            Row row{raw.substr(at, used), Hash{}};
            std::memcpy(row.hash->data(), raw.data() + at + used, 32);
            for (const std::size_t width : {0U, 1U, 2U, 3U, 4U, 6U, 8U}) {
                if (at < 26 + width)
                    break;
                const auto device = DeviceId::parse(std::string_view(raw).substr(at - width - 26, 26));
                if (!device)
                    continue;
                std::int64_t seq = width == 0 ? 1 : 0;
                for (std::size_t i = 0; i < width; ++i)
                    seq = seq * 256 + static_cast<std::uint8_t>(raw[at - width + i]);
                if (seq >= 1 && seq <= most)
                    out[device->text()][seq].push_back(row);
            }
        }
    }
    return out;
}

/// Devices whose row is lost are known by the first lines of their chains, which hold the key that makes the id.
std::vector<journal::PublicKey> keysIn(const RawRows& raw) {
    std::vector<journal::PublicKey> out;
    for (const auto& [device, rows] : raw) {
        const auto first = rows.find(1);
        if (first == rows.end())
            continue;
        for (const Row& row : first->second) {
            const auto parsed = journal::parseLine(*row.line);
            const auto key = text::fromBase64url(journal::textIn(parsed->body, "public_key").value_or(""));
            if (!key || key->size() != 32)
                continue;
            journal::PublicKey publicKey{};
            std::copy(key->begin(), key->end(), publicKey.begin());
            if (DeviceId::of(publicKey).text() == device) {
                out.push_back(publicKey);
                break;
            }
        }
    }
    return out;
}

/// Fills holes with a raw row where the chain proves that it stood there.
std::int64_t fillHoles(FoundChain& chain, const std::map<std::int64_t, std::vector<Row>>& raw) {
    std::int64_t healed = 0;
    std::int64_t last = chain.rows.empty() ? 0 : chain.rows.rbegin()->first;
    if (!raw.empty())
        last = std::max(last, raw.rbegin()->first);
    std::optional<Hash> before = journal::chainStart(chain.key);
    for (std::int64_t seq = 1; seq <= last; ++seq) {
        Row& row = chain.rows[seq];
        const auto found = raw.find(seq);
        const std::vector<Row> none;
        const std::vector<Row>& candidates = found == raw.end() ? none : found->second;
        const auto proves = [&](const std::string& line) {
            if (!before)
                return false;
            const Hash h = journal::chainNext(*before, line);
            const auto next = chain.rows.find(seq + 1);
            return (row.hash && h == *row.hash) ||
                   std::any_of(candidates.begin(), candidates.end(), [&](const Row& c) { return c.hash == h; }) ||
                   (next != chain.rows.end() && next->second.line && next->second.hash &&
                    journal::chainNext(h, *next->second.line) == *next->second.hash);
        };
        if (!row.line || !proves(*row.line)) {
            row.line.reset();
            for (const Row& candidate : candidates)
                if (proves(*candidate.line)) {
                    row = candidate;
                    ++healed;
                    break;
                }
        }
        if (row.line) {
            before = journal::chainNext(*before, *row.line);
        } else {
            // The line is lost, its hash may still prove the next one.
            if (!row.hash && !candidates.empty())
                row.hash = candidates.front().hash;
            before = row.hash;
        }
    }
    std::erase_if(chain.rows, [](const auto& r) { return !r.second.line && !r.second.hash; });
    return healed;
}

bool isWhole(const FoundChain& chain) {
    Hash h = journal::chainStart(chain.key);
    std::int64_t expected = 1;
    for (const auto& [seq, row] : chain.rows) {
        if (seq != expected++ || !row.line)
            return false;
        h = journal::chainNext(h, *row.line);
        if (row.hash != h)
            return false;
    }
    return true;
}

void addLost(SalvageReport& report, const DeviceId& device, std::int64_t seq) {
    if (!report.lost.empty() && report.lost.back().device == device &&
        report.lost.back().seq + report.lost.back().count == seq)
        ++report.lost.back().count;
    else
        report.lost.push_back({device, seq, 1});
}

/// A seq may be damaged as well: what lies behind the last line that proves itself is believed only as far as it is
/// without a gap, or as the signed head reaches.
std::int64_t lastCredible(const FoundChain& chain) {
    std::int64_t last = 0;
    for (const auto& [seq, row] : chain.rows)
        if (row.line || seq == last + 1)
            last = seq;
    const bool isSigned = !chain.jws.empty() && journal::verifyHead(chain.key, chain.signedHead, chain.jws);
    return isSigned ? std::max(last, chain.signedHead.seq) : last;
}

void writeChain(JournalFile& out, const DeviceId& device, const FoundChain& chain, SalvageReport& report) {
    need(out.addDevice(device, chain.key));
    JournalFile::Arrival arrival;
    arrival.device = device;
    arrival.before = {0, journal::chainStart(chain.key)};
    std::optional<Hash> before = arrival.before.hash;
    bool isWhole = true;
    std::int64_t expected = 1;
    const std::int64_t last = lastCredible(chain);
    for (const auto& [seq, row] : chain.rows) {
        if (seq > last)
            break;
        for (; expected < seq; ++expected) {
            addLost(report, device, expected);
            isWhole = false;
            before.reset();
        }
        ++expected;
        if (!row.line || !before) {
            // Without the hash before it nothing proves a line; the next one can be proven from this one's hash.
            addLost(report, device, seq);
            isWhole = false;
            before = row.hash;
            continue;
        }
        const Hash h = journal::chainNext(*before, *row.line);
        if (isWhole) {
            arrival.fresh.push_back(*row.line);
            ++report.lines;
        } else {
            arrival.forked.push_back({device, seq, h, *row.line});
            ++report.beside;
        }
        before = h;
        if (seq == chain.signedHead.seq && isWhole && h == chain.signedHead.hash &&
            journal::verifyHead(chain.key, chain.signedHead, chain.jws)) {
            arrival.signedHead = chain.signedHead;
            arrival.jws = chain.jws;
        }
    }
    for (; expected <= last; ++expected)
        addLost(report, device, expected);
    arrival.forked.insert(arrival.forked.end(), chain.forks.begin(), chain.forks.end());
    need(out.arrive(arrival));
}

} // namespace

Result<SalvageReport> salvage(const Place& from, const std::filesystem::path& to) {
    return guarded([&]() -> Result<SalvageReport> {
        if (std::filesystem::exists(to))
            return fail(Code::Exists, to.string());
        if (!std::filesystem::exists(from.database))
            return fail(Code::NotFound, from.database.string());
        std::map<DeviceId, FoundChain> chains;
        std::map<Hash, std::string> blobs;
        std::string own;
        SalvageReport report;
        try {
            SQLite::Database db(from.database.string(), SQLite::OPEN_READONLY, 2000);
            readWhatGoes(db, "SELECT id, public_key, head_seq, head_hash, head_jws FROM device", [&](SQLite::Statement& s) {
                const auto id = DeviceId::parse(s.getColumn(0).getString());
                const auto key = hashOf(s.getColumn(1));
                if (!id || !key || DeviceId::of(*key) != *id)
                    return;
                FoundChain& chain = chains[*id];
                chain.key = *key;
                chain.signedHead = {s.getColumn(2).getInt64(), hashOf(s.getColumn(3)).value_or(Hash{})};
                chain.jws = s.getColumn(4).getString();
            });
            readWhatGoes(db, "SELECT value FROM local WHERE name = 'own_device'",
                         [&](SQLite::Statement& s) { own = s.getColumn(0).getString(); });
            for (auto& [device, chain] : chains)
                readRows(db, device.text(), mostLines(from), chain);
            readWhatGoes(db, "SELECT device, seq, hash, line FROM fork", [&](SQLite::Statement& s) {
                const auto id = DeviceId::parse(s.getColumn(0).getString());
                const auto hash = hashOf(s.getColumn(2));
                if (id && hash && chains.count(*id) != 0)
                    chains[*id].forks.push_back({*id, s.getColumn(1).getInt64(), *hash, bytesOf(s.getColumn(3))});
            });
            std::int64_t lastBlob = 0;
            const auto takeBlob = [&](SQLite::Statement& s) {
                lastBlob = s.getColumn(0).getInt64();
                const auto name = hashOf(s.getColumn(1));
                std::string bytes = bytesOf(s.getColumn(2));
                if (name && journal::sha256(bytes) == *name)
                    blobs[*name] = std::move(bytes);
                else
                    ++report.lostBlobs;
            };
            for (int tries = 0; tries < 1000; ++tries) {
                if (readWhatGoes(db, "SELECT rowid, sha256, bytes FROM blob WHERE rowid > ? ORDER BY rowid", takeBlob,
                                 [&](SQLite::Statement& s) { s.bind(1, lastBlob); }))
                    break;
                ++lastBlob;
                ++report.lostBlobs;
            }
        } catch (const SQLite::Exception&) {
            // Not even its first page can be read: the raw bytes below are all there is.
        }
        // Only where something is missing: a large file has many bytes.
        const bool isAllThere = !chains.empty() && std::all_of(chains.begin(), chains.end(), [](const auto& c) {
            return isWhole(c.second);
        });
        RawRows raw = isAllThere ? RawRows() : rowsInRawBytes(from);
        for (const journal::PublicKey& key : keysIn(raw))
            chains[DeviceId::of(key)].key = key;
        for (auto& [device, chain] : chains)
            report.healed += fillHoles(chain, raw[device.text()]);
        std::erase_if(chains, [](const auto& c) { return c.second.rows.empty(); });
        if (chains.empty())
            return fail(Code::NotAJournal, from.database.string());

        const std::filesystem::path part = to.string() + ".part";
        for (const char* suffix : {"", "-wal", "-shm"})
            std::filesystem::remove(part.string() + suffix);
        {
            auto out = need(JournalFile::open(Place(part), JournalFile::Access::Write));
            for (const auto& [device, chain] : chains)
                writeChain(*out, device, chain, report);
            JournalFile::Arrival rest;
            if (!chains.empty() && !blobs.empty()) {
                rest.device = chains.begin()->first;
                rest.before = need(out->chain(rest.device)).value().head;
                for (auto& [name, bytes] : blobs)
                    rest.blobs.push_back({name, std::move(bytes)});
                need(out->arrive(rest));
                report.blobs = static_cast<std::int64_t>(rest.blobs.size());
            }
            if (!own.empty())
                need(out->setLocal("own_device", own));
            need(out->checkpoint());
        }
        need(renameDurably(part, to));
        return report;
    });
}

} // namespace discal::storage
