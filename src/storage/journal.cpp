#include "storage/journal.h"

#include "storage/durable_file.h"

#include <algorithm>
#include <array>
#include <fcntl.h>
#include <sys/statvfs.h>
#include <unistd.h>

namespace discal::storage {

namespace json = boost::json;
using journal::DeviceId;
using journal::Head;

namespace {

constexpr std::array<std::string_view, 7> kWhys{"first start", "key missing", "other machine",  "copied",
                                                "behind mark", "off mark",    "ahead elsewhere"};
/// Room for some thousand lines, kept so that a full disk does not stop a day. Our choice.
constexpr off_t kReserveBytes = 1 << 20;
/// Below this much room people are warned: about a day of pictures. Our choice.
constexpr std::uint64_t kNearlyFullBytes = 32U << 20U;
constexpr std::int64_t kTailLines = 1000;
/// A -wal this long is moved even if nobody is idle: about 16 MB.
constexpr int kLongestWal = 4000;
/// The same on a disk that was full: a short -wal leaves the room to the lines.
constexpr int kLongestWalWhenFull = 60;

std::optional<std::uint64_t> freeBytes(const std::filesystem::path& file) {
    const auto folder = file.has_parent_path() ? file.parent_path() : std::filesystem::path(".");
    struct statvfs info {};
    if (::statvfs(folder.c_str(), &info) != 0)
        return std::nullopt;
    return static_cast<std::uint64_t>(info.f_bavail) * info.f_frsize;
}

bool speaksOfErasure(const std::vector<std::string>& lines) {
    return std::any_of(lines.begin(), lines.end(),
                       [](const std::string& line) { return line.find("\"blob.erased\"") != std::string::npos; });
}

} // namespace

std::string_view textOf(NewChain why) { return kWhys[static_cast<std::size_t>(why)]; }

Journal::~Journal() {
    m_projections.reset();
    m_snapshot.reset();
}

Result<std::unique_ptr<Journal>> Journal::openForWriting(const Place& place, const WriteOptions& options) {
    std::unique_ptr<Journal> j(new Journal(place));
    auto lock = WriterLock::acquire(place.lock(), options.program);
    if (!lock)
        return fail(lock.error());
    j->m_lock.emplace(std::move(*lock));
    auto file = JournalFile::open(place, JournalFile::Access::Write);
    if (!file && file.error().code == Code::DiskFull && j->freeReserve())
        file = JournalFile::open(place, JournalFile::Access::Write);
    if (!file)
        return fail(file.error());
    j->m_file = std::move(*file);
    j->m_newSeed = options.newSeed;
    if (auto checked = j->checkTail(); !checked)
        return fail(checked.error());
    if (auto settled = j->settleIdentity(options); !settled)
        return fail(settled.error());
    auto projections = Projections::open(*j->m_file, JournalFile::Access::Write, options.progress);
    if (!projections) {
        // The journal is what matters; what it says can be kept in memory until there is room again.
        projections = Projections::openInMemory(*j->m_file, options.progress);
        if (!projections)
            return fail(projections.error());
        j->m_projectionsAside = true;
    }
    j->m_projections = std::move(*projections);
    // A crash may have come between the line that erases and the last of the bytes going.
    const auto isErasing = j->m_file->local("erasing");
    const auto erasedHere = j->erasedHere();
    if ((isErasing && *isErasing) || (erasedHere && !erasedHere->empty()))
        j->purgeNowOrLater();
    j->makeReserve();
    return j;
}

Result<std::unique_ptr<Journal>> Journal::openForReading(const Place& place, const Progress& progress) {
    std::unique_ptr<Journal> j(new Journal(place));
    auto file = JournalFile::open(place, JournalFile::Access::Read);
    if (!file)
        return fail(file.error());
    j->m_file = std::move(*file);
    const auto own = j->m_file->local("own_device");
    if (!own)
        return fail(own.error());
    if (*own)
        j->m_device = DeviceId::parse(**own).value_or(DeviceId());
    auto projections = Projections::open(*j->m_file, JournalFile::Access::Read, progress);
    if (!projections)
        return fail(projections.error());
    j->m_projections = std::move(*projections);
    if (const auto chain = j->m_file->chain(j->m_device); chain && *chain) {
        j->m_head = (*chain)->head;
        j->m_key.publicKey = (*chain)->publicKey;
    }
    return j;
}

Result<void> Journal::checkTail() {
    const auto report = m_file->verify(kTailLines);
    if (!report)
        return fail(report.error());
    if (report->isSound())
        return {};
    const auto& fault = report->faults.front();
    return fail(Code::Corrupt, "device " + fault.device.text() + ", line " + std::to_string(fault.seq), fault.seq);
}

Result<void> Journal::settleIdentity(const WriteOptions&) {
    const auto own = m_file->local("own_device");
    if (!own)
        return fail(own.error());
    const std::string previous = own->value_or("");
    const auto stored = loadKey(m_place.key());
    // A key that can't be read is a key that is missing; the journal does not depend on it.
    const bool hasKey = stored && *stored && (*stored)->pair.device().text() == previous;
    const auto mark = m_mark.read();
    // Whatever the reason: lines that the mark knows of and this file doesn't have are told.
    std::int64_t missing = 0;
    if (const auto marked = mark ? DeviceId::parse(mark->device) : fail(Code::NotFound)) {
        const auto chain = m_file->chain(*marked);
        if (!chain)
            return fail(chain.error());
        missing = std::max<std::int64_t>(0, mark->head.seq - (*chain ? (*chain)->head.seq : 0));
    }
    if (!hasKey) {
        if (previous.empty())
            return missing > 0 ? beginChain(NewChain::BehindMark, mark->device, missing)
                               : beginChain(NewChain::FirstStart, "", 0);
        return beginChain(NewChain::KeyMissing, previous, missing);
    }
    const StoredKey& key = **stored;
    if (key.isCopy())
        return beginChain(key.madeAt.machine != key.foundAt.machine ? NewChain::OtherMachine : NewChain::Copied,
                          previous, missing);
    const DeviceId device = key.pair.device();
    const auto chain = m_file->chain(device);
    if (!chain)
        return fail(chain.error());
    if (!*chain)
        return beginChain(NewChain::BehindMark, previous, missing);
    if (mark && mark->device == previous) {
        if (missing > 0)
            return beginChain(NewChain::BehindMark, previous, missing);
        const auto there = m_file->hash(device, mark->head.seq);
        if (!there)
            return fail(there.error());
        if (!*there || **there != mark->head.hash)
            return beginChain(NewChain::OffMark, previous, 0);
    }
    m_key = key.pair;
    m_device = device;
    m_head = (*chain)->head;
    m_mark.write(m_device, m_head);
    if (m_head.seq == 0) {
        // Begun, and never got to its first line: go on where we were.
        Continuation continuation;
        if (const auto noted = m_file->local("continues"); noted && *noted) {
            boost::json::error_code ec;
            const auto said = json::parse(**noted, ec);
            if (!ec && said.is_object()) {
                const auto& o = said.as_object();
                continuation.device = journal::textIn(o, "device").value_or("");
                continuation.head.seq = journal::numberIn(o, "seq").value_or(0);
                continuation.head.hash =
                    journal::hashFromHex(journal::textIn(o, "hash").value_or("")).value_or(journal::Hash{});
                continuation.missing = journal::numberIn(o, "missing").value_or(0);
                const auto* why = std::find(kWhys.begin(), kWhys.end(), journal::textIn(o, "why").value_or(""));
                if (why != kWhys.end())
                    continuation.why = static_cast<NewChain>(why - kWhys.begin());
            }
        }
        m_newChain = continuation;
    }
    return {};
}

Result<void> Journal::beginChain(NewChain why, const std::string& previous, std::int64_t missing) {
    Continuation continuation{why, previous, {}, missing};
    if (const auto id = DeviceId::parse(previous)) {
        const auto chain = m_file->chain(*id);
        if (!chain)
            return fail(chain.error());
        if (*chain)
            continuation.head = (*chain)->head;
    }
    const journal::KeyPair key = journal::KeyPair::fromSeed(m_newSeed());
    const DeviceId device = key.device();
    // The key first: a crash after it finds a key that is not the file's, and begins yet another chain.
    if (auto stored = storeKey(m_place.key(), key); !stored)
        return stored;
    if (auto added = m_file->addDevice(device, key.publicKey); !added)
        return added;
    if (auto noted = noteContinuation(continuation); !noted)
        return noted;
    if (auto noted = m_file->setLocal("own_device", device.text()); !noted)
        return noted;
    // Only now: until all of it is there we go on as who we were.
    m_key = key;
    m_device = device;
    m_head = {0, journal::chainStart(key.publicKey)};
    m_mark.write(m_device, m_head);
    m_newChain = continuation;
    return {};
}

Result<void> Journal::noteContinuation(const Continuation& continuation) {
    const json::object said{{"device", continuation.device},
                            {"seq", continuation.head.seq},
                            {"hash", journal::hexOf(continuation.head.hash)},
                            {"missing", continuation.missing},
                            {"why", textOf(continuation.why)}};
    return m_file->setLocal("continues", json::serialize(said));
}

Result<Head> Journal::append(const std::vector<std::string>& lines, const std::vector<Blob>& blobs,
                             const std::vector<Local>& locals) {
    if (!m_lock)
        return fail(Code::ReadOnly);
    auto moved = m_file->append(m_device, m_head, lines, blobs, locals);
    if (!moved && moved.error().code == Code::DiskFull && makeRoom())
        moved = m_file->append(m_device, m_head, lines, blobs, locals);
    if (!moved)
        return moved;
    std::vector<journal::Entry> entries;
    entries.reserve(lines.size());
    for (std::size_t i = 0; i < lines.size(); ++i)
        entries.push_back(journal::makeEntry(m_device, m_head.seq + 1 + static_cast<std::int64_t>(i), lines[i]));
    m_head = *moved;
    m_newChain.reset();
    m_mark.write(m_device, m_head);
    keepProjectionsGoing(m_projections->take(entries, m_head.hash));
    // The lines are saved, whatever becomes of this.
    if (speaksOfErasure(lines))
        purgeNowOrLater();
    if (m_file->walPages() > (m_reserveUsed ? kLongestWalWhenFull : kLongestWal))
        (void)m_file->checkpoint();
    return moved;
}

void Journal::keepProjectionsGoing(const Result<void>& taken) {
    if (taken)
        return;
    // Their file failed, not the journal. They go on in memory, read from the journal as it is now.
    if (auto inMemory = Projections::openInMemory(*m_file)) {
        m_projections = std::move(*inMemory);
        m_projectionsAside = true;
    }
}

Result<Receipt> Journal::receive(const Delivery& d) {
    if (!m_lock)
        return fail(Code::ReadOnly);
    if (DeviceId::of(d.publicKey) != d.device)
        return fail(Code::WrongDevice, d.device.text());
    if (auto verified = journal::verifyHead(d.publicKey, d.head, d.jws); !verified)
        return fail(verified.error());
    if (d.from < 1 || d.from - 1 + static_cast<std::int64_t>(d.lines.size()) != d.head.seq ||
        (d.from == 1 && d.prev != journal::chainStart(d.publicKey)))
        return fail(Code::BrokenChain, d.device.text(), d.from);
    std::vector<journal::Hash> hashes;
    journal::Hash h = d.prev;
    for (const std::string& line : d.lines) {
        if (line.size() < journal::kShortestLine || line.size() > journal::kLongestLine ||
            line.find('\n') != std::string::npos)
            return fail(Code::BrokenChain, d.device.text(), d.from + static_cast<std::int64_t>(hashes.size()));
        h = journal::chainNext(h, line);
        hashes.push_back(h);
    }
    if (h != d.head.hash)
        return fail(Code::BrokenChain, d.device.text(), d.head.seq);

    const auto ours = m_file->chain(d.device);
    if (!ours)
        return fail(ours.error());
    const Head before = *ours ? (*ours)->head : Head{0, journal::chainStart(d.publicKey)};
    if (d.from - 1 > before.seq)
        return fail(Code::Gap, d.device.text(), before.seq);

    JournalFile::Arrival arrival;
    arrival.device = d.device;
    arrival.before = before;
    Receipt receipt;
    Head at{d.from - 1, d.prev};
    for (std::size_t i = 0; i < d.lines.size(); ++i) {
        const std::int64_t seq = at.seq + 1;
        if (seq > before.seq) {
            // It goes on from our head, or from a branch that left our chain earlier.
            const bool continues = arrival.forked.empty() && (seq > before.seq + 1 || at.hash == before.hash);
            if (continues)
                arrival.fresh.push_back(d.lines[i]);
            else
                arrival.forked.push_back({d.device, seq, hashes[i], d.lines[i]});
        } else {
            const auto known = m_file->hash(d.device, seq);
            if (!known)
                return fail(known.error());
            if (*known && **known == hashes[i])
                ++receipt.known;
            else
                arrival.forked.push_back({d.device, seq, hashes[i], d.lines[i]});
        }
        at = {seq, hashes[i]};
    }
    if (d.lines.empty()) {
        // Nothing but a head: it must be one that we have, or another branch's signature would stand for our lines.
        const auto known = m_file->hash(d.device, d.head.seq);
        if (!known)
            return fail(known.error());
        if (*ours && (!*known || **known != d.head.hash))
            return fail(Code::Forked, d.device.text(), d.head.seq);
    }
    for (const Blob& blob : d.blobs) {
        if (blob.bytes.size() < 16 || blob.bytes.size() > kLargestBlobContent + 16 ||
            journal::sha256(blob.bytes) != blob.sha256)
            return fail(Code::Corrupt, "blob " + journal::hexOf(blob.sha256));
        const auto isErased = m_projections->isErased(blob.sha256);
        if (!isErased)
            return fail(isErased.error());
        if (!*isErased)
            arrival.blobs.push_back(blob);
    }
    receipt.fresh = static_cast<std::int64_t>(arrival.fresh.size());
    receipt.forked = static_cast<std::int64_t>(arrival.forked.size());
    receipt.blobs = static_cast<std::int64_t>(arrival.blobs.size());
    if (arrival.forked.empty()) {
        arrival.signedHead = d.head;
        arrival.jws = d.jws;
    }
    const bool isOursGoneOn = d.device == m_device && (receipt.fresh > 0 || receipt.forked > 0);
    if (isOursGoneOn) {
        // Two writers must never share a chain. Ours ends before their lines are in the file: a crash in between must
        // not leave us at a head that they stand at too.
        if (auto begun = beginChain(NewChain::AheadElsewhere, m_device.text(), 0); !begun)
            return fail(begun.error());
        receipt.startedNewChain = true;
    }
    if (auto added = m_file->addDevice(d.device, d.publicKey); !added)
        return fail(added.error());
    auto head = m_file->arrive(arrival);
    if (!head && head.error().code == Code::DiskFull && makeRoom())
        head = m_file->arrive(arrival);
    if (!head)
        return fail(head.error());
    receipt.head = *head;
    if (isOursGoneOn) {
        m_newChain->head = *head;
        (void)noteContinuation(*m_newChain);  // or else it goes on from an earlier line, which is as true
    }
    keepProjectionsGoing(m_projections->catchUp());
    if (speaksOfErasure(d.lines) || !arrival.blobs.empty())
        purgeNowOrLater();
    return receipt;
}

Result<Chain> Journal::signedChain() {
    if (!m_lock)
        return fail(Code::ReadOnly);
    const auto report = m_file->verify();
    if (!report)
        return fail(report.error());
    if (!report->isSound())
        return fail(Code::Corrupt, report->faults.front().device.text(), report->faults.front().seq);
    if (auto set = m_file->setSignedHead(m_device, m_head, journal::signHead(m_key, m_head)); !set)
        return fail(set.error());
    auto chain = m_file->chain(m_device);
    if (!chain)
        return fail(chain.error());
    return std::move(**chain);
}

Result<std::vector<journal::Hash>> Journal::erasedHere() {
    const auto erased = m_projections->erasedBlobs();
    if (!erased)
        return fail(erased.error());
    std::vector<journal::Hash> there;
    for (const auto& name : *erased) {
        const auto blob = m_file->blob(name);
        if (!blob)
            return fail(blob.error());
        if (*blob)
            there.push_back(name);
    }
    return there;
}

Result<void> Journal::purgeErased() {
    const auto there = erasedHere();
    if (!there)
        return fail(there.error());
    return m_file->eraseBlobs(*there);
}

void Journal::purgeNowOrLater() { m_isPurgeDue = !purgeErased(); }

Result<void> Journal::backup(const std::filesystem::path& target) {
    const auto report = m_file->verify();
    if (!report)
        return fail(report.error());
    if (!report->isSound()) {
        const auto& fault = report->faults.front();
        return fail(Code::Corrupt, fault.device.text() + " " + fault.detail, fault.seq);
    }
    return m_file->copyTo(target);
}

Result<void> Journal::idle() {
    if (!m_lock)
        return {};
    if (m_isPurgeDue)
        purgeNowOrLater();
    if (m_file->walPages() > 0)
        if (auto moved = m_file->checkpoint(); !moved)
            return moved;
    if (!m_reserveUsed)
        m_file->growWal();
    return m_projections->flush();
}

void Journal::makeReserve() {
    if (!m_place.vfs.empty() || m_reserveUsed)
        return;
    const int fd = ::open(m_place.reserve().c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
    if (fd < 0)
        return;  // it is there already, or there is no room; warnings() tells the latter
    const bool isMade = ::posix_fallocate(fd, 0, kReserveBytes) == 0;
    ::close(fd);
    if (!isMade)
        ::unlink(m_place.reserve().c_str());
}

bool Journal::freeReserve() {
    std::error_code ec;
    if (!m_place.vfs.empty() || !std::filesystem::remove(m_place.reserve(), ec))
        return false;
    m_reserveUsed = true;
    return true;
}

bool Journal::makeRoom() {
    // Of the many pages of the -wal the file needs only the newest of each. That takes some room itself, before it
    // gives any back: the reserve's.
    const bool isFreed = freeReserve();
    const int before = m_file->walPages();
    const bool isMoved = m_file->checkpoint(JournalFile::Wal::Cut) && m_file->walPages() < before;
    return isFreed || isMoved;
}

std::vector<Warning> Journal::warnings() const {
    std::vector<Warning> out;
    if (const auto free = freeBytes(m_place.side); free && *free < kNearlyFullBytes)
        out.push_back(Warning::DiskNearlyFull);
    if (m_reserveUsed)
        out.push_back(Warning::ReserveUsed);
    if (m_projectionsAside)
        out.push_back(Warning::ProjectionsAside);
    return out;
}

} // namespace discal::storage
