#include "simulated_disk.h"

#include <sqlite3.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <cassert>
#include <cstring>
#include <map>
#include <mutex>
#include <random>

namespace discal::tests {

namespace {

using Bytes = std::vector<std::uint8_t>;
using Guard = std::lock_guard<std::mutex>;

constexpr std::uint64_t kTearingUnit = 512; // the smallest block a disk writes whole
constexpr int kWalFrameHeaderSize = 24;     // SQLite file format, section 4.1
constexpr int kMaxPath = 512;
constexpr sqlite3_int64 kFirstMoment = 212'602'795'200'000; // Julian day in ms; any fixed moment would do

std::size_t toSize(std::uint64_t n) {
    return static_cast<std::size_t>(n);
}

/// Choices from a seed. The standard's distributions differ between libraries, its engines don't.
class Choice {
public:
    explicit Choice(std::uint64_t seed) : m_engine(seed) {}
    std::uint64_t below(std::uint64_t n) { return m_engine() % n; }
    bool coin() { return below(2) == 1; }

private:
    std::mt19937_64 m_engine;
};

/// A write of `data` at `offset`, or a truncation to `offset` bytes.
struct Operation {
    enum class Kind { Write, Truncate };
    Kind kind;
    std::uint64_t offset;
    Bytes data;
};

void writeInto(Bytes& file, std::uint64_t offset, const std::uint8_t* data, std::size_t size) {
    if (size == 0)
        return;
    if (file.size() < offset + size)
        file.resize(toSize(offset + size));
    std::copy_n(data, size, file.begin() + static_cast<std::ptrdiff_t>(offset));
}

void applyTo(Bytes& file, const Operation& op) {
    if (op.kind == Operation::Kind::Truncate) {
        file.resize(toSize(op.offset));
    } else {
        writeInto(file, op.offset, op.data.data(), op.data.size());
    }
}

void applyTornTo(Bytes& file, const Operation& op, Choice& choice) {
    const std::uint64_t end = op.offset + op.data.size();
    for (std::uint64_t at = op.offset; at < end;) {
        const std::uint64_t next = std::min(end, (at / kTearingUnit + 1) * kTearingUnit);
        if (choice.coin())
            writeInto(file, at, op.data.data() + (at - op.offset), toSize(next - at));
        at = next;
    }
}

/// The wal-index of one database, for as long as some handle maps it.
struct SharedMemory {
    std::vector<std::unique_ptr<std::uint8_t[]>> regions;
};

/// What a name leads to. Lives on without a name while a handle is open, as in POSIX.
struct Node {
    Bytes seen;    // the page cache
    Bytes durable; // what a crash can't take
    std::vector<Operation> waiting;
    std::weak_ptr<SharedMemory> shm;

    void perform(Operation op) {
        applyTo(seen, op);
        waiting.push_back(std::move(op));
    }

    void sync() {
        for (const Operation& op : waiting)
            applyTo(durable, op);
        waiting.clear();
    }

    void losePower(Choice& choice) {
        if (!waiting.empty()) {
            keepSome(choice);
            waiting.clear();
        }
        seen = durable;
        shm.reset();
    }

private:
    void keepSome(Choice& choice) {
        enum Fate { None, Prefix, Subset, Torn, All, FateCount };
        const std::uint64_t fate = choice.below(FateCount);
        const std::uint64_t prefix = choice.below(waiting.size() + 1);
        for (std::size_t i = 0; i < waiting.size(); ++i) {
            const Operation& op = waiting[i];
            if (fate == All || (fate == Prefix && i < prefix) || (fate == Subset && choice.coin())) {
                applyTo(durable, op);
            } else if (fate == Torn) {
                const std::uint64_t third = choice.below(3); // whole, torn, lost
                if (third == 0)
                    applyTo(durable, op);
                if (third == 1)
                    applyTornTo(durable, op, choice);
            }
        }
    }
};

using NodePtr = std::shared_ptr<Node>;

std::string folderOf(std::string_view fileName) {
    const std::size_t slash = fileName.rfind('/');
    return slash == std::string_view::npos ? std::string() : std::string(fileName.substr(0, slash));
}

/// Which name leads where, and what a crash may make of that.
class Directory {
public:
    NodePtr find(std::string_view fileName) const {
        const auto at = m_names.find(fileName);
        return at == m_names.end() ? nullptr : at->second.back();
    }

    /// A creation, or with null a deletion, that waits for a sync.
    void become(const std::string& fileName, NodePtr node) {
        auto [at, isNew] = m_names.try_emplace(fileName);
        if (isNew)
            at->second.push_back(nullptr);
        at->second.push_back(std::move(node));
    }

    void becomeDurably(std::string_view fileName, NodePtr node) {
        m_names[std::string(fileName)] = {std::move(node)};
    }

    /// The sync of a new file makes its name durable. A later deletion of it goes on waiting.
    void syncName(const std::string& fileName, const NodePtr& node) {
        const auto at = m_names.find(fileName);
        if (at == m_names.end())
            return;
        History& history = at->second;
        const auto self = std::find(history.begin(), history.end(), node);
        if (self != history.end())
            history.erase(history.begin(), self);
    }

    void syncFolder(const std::string& folder) {
        for (auto& [fileName, history] : m_names) {
            if (folderOf(fileName) == folder)
                history = {history.back()};
        }
    }

    void losePower(Choice& choice) {
        for (auto& [fileName, history] : m_names) {
            const NodePtr survivor = history[toSize(choice.below(history.size()))];
            if (survivor)
                survivor->losePower(choice);
            history = {survivor};
        }
    }

    std::vector<std::string> present() const {
        std::vector<std::string> names;
        for (const auto& [fileName, history] : m_names) {
            if (history.back())
                names.push_back(fileName);
        }
        return names;
    }

private:
    /// What a name has led to: the durable state first, the present one last; null for absent.
    using History = std::vector<NodePtr>;
    std::map<std::string, History, std::less<>> m_names;
};

struct Handle {
    DiskState* disk = nullptr;
    std::string name; // empty for a temporary file
    NodePtr node;
    std::uint64_t epoch = 0;
    int lockLevel = SQLITE_LOCK_NONE;
    std::shared_ptr<SharedMemory> shm;
    unsigned sharedMask = 0;
    unsigned exclusiveMask = 0;
    bool readOnly = false;
    bool deleteOnClose = false;
    bool isWal = false;
    bool syncsFolder = false; // at its next sync
    bool powersafeOverwrite = true;
    bool persistWal = false;
    /// For a main database: where SQLite keeps the names of its journal and WAL. Tells whose files they are.
    std::array<const char*, 2> companionNames{};
};

/// What SQLite allocates for us, szOsFile bytes.
struct OpenFile {
    sqlite3_file base;
    Handle* handle;
};

Handle& handleOf(sqlite3_file* file) {
    return *reinterpret_cast<OpenFile*>(file)->handle;
}

/// The calls that are counted and can fail.
enum class Call : std::size_t { Read, Write, Sync, Truncate, Open, Delete, ShmMap };

struct CallKind {
    int ioError;
    std::uint64_t Counters::*counter;
};

constexpr std::array<CallKind, 7> kCallKinds = {{
    {SQLITE_IOERR_READ, &Counters::reads},
    {SQLITE_IOERR_WRITE, &Counters::writes},
    {SQLITE_IOERR_FSYNC, &Counters::syncs},
    {SQLITE_IOERR_TRUNCATE, &Counters::truncates},
    {SQLITE_CANTOPEN, &Counters::opens},
    {SQLITE_IOERR_DELETE, &Counters::deletes},
    {SQLITE_IOERR_SHMMAP, &Counters::shmMaps},
}};

constexpr const CallKind& kindOf(Call call) {
    return kCallKinds[static_cast<std::size_t>(call)];
}

int resultOf(Fault fault, Call call) {
    if (fault == Fault::OutOfMemory)
        return SQLITE_IOERR_NOMEM;
    if (fault == Fault::DiskFull)
        return SQLITE_FULL;
    return kindOf(call).ioError;
}

bool fits(Fault fault, Call call) {
    if (fault == Fault::ShortWrite || fault == Fault::DiskFull)
        return call == Call::Write;
    if (fault == Fault::SyncFails)
        return call == Call::Sync;
    return true;
}

void add(Counters& sum, const Counters& c) {
    for (const CallKind& kind : kCallKinds)
        sum.*kind.counter += c.*kind.counter;
    sum.bytesWritten += c.bytesWritten;
    sum.pagesWrittenToWal += c.pagesWrittenToWal;
}

} // namespace

/// Everything behind the VFS. Public members take the mutex; private ones expect it held.
class DiskState {
public:
    explicit DiskState(DiskOptions options)
        : m_options(options), m_randomness(options.seed), m_faultChoice(options.seed) {}
    ~DiskState() { assert(m_handles.empty() && "close every connection before its disk goes"); }
    DiskState(const DiskState&) = delete;
    DiskState& operator=(const DiskState&) = delete;

    std::string vfsName;
    sqlite3_vfs vfs{};

    int open(const char* path, OpenFile& file, int flags, int* outFlags);
    int erase(const char* path, bool withFolder);
    int access(const char* path, int flags, int& found);
    void randomness(char* out, int size);
    sqlite3_int64 now();

    void close(Handle& h);
    int read(Handle& h, std::uint8_t* out, std::size_t amount, std::uint64_t offset);
    int write(Handle& h, const std::uint8_t* data, std::size_t amount, std::uint64_t offset);
    int truncate(Handle& h, std::uint64_t size);
    int sync(Handle& h);
    int fileSize(Handle& h, sqlite3_int64& size);
    int lock(Handle& h, int level);
    int unlock(Handle& h, int level);
    int checkReserved(Handle& h, int& reserved);
    int control(Handle& h, int op, void* arg);
    int sectorSize() const { return m_options.sectorSize; }
    int characteristics(const Handle& h) const;
    int shmMap(Handle& h, std::size_t region, std::size_t size, bool extend, void volatile** out);
    int shmLock(Handle& h, int offset, int n, int flags);
    void shmBarrier();
    void shmUnmap(Handle& h);

private:
    friend class SimulatedDisk; // the view from outside

    struct ScheduledFault {
        std::uint64_t n;
        Fault fault;
        Repeat repeat;
        bool hasFired = false;
    };

    struct CrashPoint {
        std::uint64_t writePoint;
        bool takesEffect; // the call in flight
    };

    void syncFile(Handle& h);
    bool isDead(const Handle& h) const { return m_frozen || h.epoch != m_epoch; }
    bool belongsToDead(const char* path) const;
    bool hasOtherAtLeast(const Handle& h, int level) const;

    std::optional<Fault> count(Call call, const std::string& fileName);
    bool reachesCrashPoint();
    bool wouldOverflow(const Handle& h, std::uint64_t end) const;
    void perform(Handle& h, Operation op);
    void endEpoch();

    const DiskOptions m_options;
    mutable std::mutex m_mutex;
    Directory m_directory;
    std::vector<Handle*> m_handles; // open ones, dead or alive
    std::uint64_t m_epoch = 0;      // handles of an earlier one are dead

    std::vector<ScheduledFault> m_faults;
    std::optional<CrashPoint> m_crashPoint;
    std::optional<std::uint64_t> m_capacity;
    bool m_full = false;
    bool m_frozen = false;

    std::map<std::string, Counters, std::less<>> m_counters;
    std::uint64_t m_calls = 0;
    std::uint64_t m_writePoints = 0;
    std::uint64_t m_faultsFired = 0;

    Choice m_randomness;
    Choice m_faultChoice;
    sqlite3_int64 m_now = kFirstMoment;
};

// Faults and crash points

std::optional<Fault> DiskState::count(Call call, const std::string& fileName) {
    ++m_calls;
    ++(m_counters[fileName].*kindOf(call).counter);
    for (ScheduledFault& f : m_faults) {
        const bool isSpent = f.hasFired && f.repeat == Repeat::Once;
        if (m_calls < f.n || isSpent || !fits(f.fault, call))
            continue;
        f.hasFired = true;
        ++m_faultsFired;
        return f.fault;
    }
    return std::nullopt;
}

bool DiskState::reachesCrashPoint() {
    ++m_writePoints;
    m_frozen = m_crashPoint && m_writePoints >= m_crashPoint->writePoint;
    return m_frozen;
}

/// Whether the connection that uses this journal or WAL died, though its call bears no handle.
bool DiskState::belongsToDead(const char* path) const {
    return std::any_of(m_handles.begin(), m_handles.end(), [&](const Handle* h) {
        const auto& names = h->companionNames;
        return path && isDead(*h) && std::find(names.begin(), names.end(), path) != names.end();
    });
}

void DiskState::endEpoch() {
    ++m_epoch;
    m_crashPoint.reset();
    m_frozen = false;
}

bool DiskState::wouldOverflow(const Handle& h, std::uint64_t end) const {
    if (!m_capacity || end <= h.node->seen.size())
        return false;
    std::uint64_t total = end - h.node->seen.size();
    for (const std::string& fileName : m_directory.present())
        total += m_directory.find(fileName)->seen.size();
    return total > *m_capacity;
}

void DiskState::perform(Handle& h, Operation op) {
    if (op.kind == Operation::Kind::Write)
        m_counters[h.name].bytesWritten += op.data.size();
    h.node->perform(std::move(op));
}

// Calls without a handle

int DiskState::open(const char* path, OpenFile& file, int flags, int* outFlags) {
    const Guard guard(m_mutex);
    if (m_frozen || belongsToDead(path))
        return SQLITE_IOERR;
    const std::string fileName = path ? path : "";
    if (const auto fault = count(Call::Open, fileName))
        return resultOf(*fault, Call::Open);

    NodePtr node = path ? m_directory.find(fileName) : nullptr;
    const bool isNew = !node;
    if (isNew && !(flags & SQLITE_OPEN_CREATE))
        return SQLITE_CANTOPEN;
    if (!isNew && (flags & SQLITE_OPEN_EXCLUSIVE))
        return SQLITE_CANTOPEN;
    if (isNew) {
        node = std::make_shared<Node>();
        if (path)
            m_directory.become(fileName, node);
    }

    auto h = std::make_unique<Handle>();
    h->disk = this;
    h->name = fileName;
    h->node = std::move(node);
    h->epoch = m_epoch;
    h->readOnly = (flags & SQLITE_OPEN_READONLY) != 0;
    h->deleteOnClose = (flags & SQLITE_OPEN_DELETEONCLOSE) != 0;
    h->isWal = (flags & SQLITE_OPEN_WAL) != 0;
    const int journals = SQLITE_OPEN_MAIN_JOURNAL | SQLITE_OPEN_SUPER_JOURNAL | SQLITE_OPEN_WAL;
    h->syncsFolder = isNew && (flags & journals) != 0;
    h->powersafeOverwrite = m_options.powersafeOverwrite;
    if (path && (flags & SQLITE_OPEN_MAIN_DB)) {
        h->companionNames = {sqlite3_filename_journal(path), sqlite3_filename_wal(path)};
    }
    m_handles.push_back(h.get());
    file.handle = h.release(); // close() takes it back
    if (outFlags)
        *outFlags = flags;
    return SQLITE_OK;
}

int DiskState::erase(const char* path, bool withFolder) {
    const Guard guard(m_mutex);
    if (m_frozen || belongsToDead(path))
        return SQLITE_IOERR;
    if (const auto fault = count(Call::Delete, path))
        return resultOf(*fault, Call::Delete);
    const bool crashes = reachesCrashPoint();
    if (crashes && !m_crashPoint->takesEffect)
        return SQLITE_IOERR;
    if (!m_directory.find(path))
        return crashes ? SQLITE_IOERR : SQLITE_IOERR_DELETE_NOENT;
    m_directory.become(path, nullptr);
    if (withFolder)
        m_directory.syncFolder(folderOf(path));
    return crashes ? SQLITE_IOERR : SQLITE_OK;
}

int DiskState::access(const char* path, int flags, int& found) {
    const Guard guard(m_mutex);
    if (m_frozen || belongsToDead(path))
        return SQLITE_IOERR;
    const NodePtr node = m_directory.find(path);
    // An empty file counts as none, as in the unix VFS.
    found = node && (flags != SQLITE_ACCESS_EXISTS || !node->seen.empty()) ? 1 : 0;
    return SQLITE_OK;
}

void DiskState::randomness(char* out, int size) {
    const Guard guard(m_mutex);
    std::generate_n(out, size, [this] { return static_cast<char>(m_randomness.below(256)); });
}

sqlite3_int64 DiskState::now() {
    const Guard guard(m_mutex);
    return m_now++;
}

// Calls on a file

void DiskState::close(Handle& h) {
    const Guard guard(m_mutex);
    const std::unique_ptr<Handle> owned(&h);
    std::erase(m_handles, &h);
    if (h.deleteOnClose && !h.name.empty() && !isDead(h) && m_directory.find(h.name) == h.node) {
        m_directory.become(h.name, nullptr);
    }
}

int DiskState::read(Handle& h, std::uint8_t* out, std::size_t amount, std::uint64_t offset) {
    const Guard guard(m_mutex);
    if (isDead(h))
        return SQLITE_IOERR;
    if (const auto fault = count(Call::Read, h.name))
        return resultOf(*fault, Call::Read);
    const Bytes& seen = h.node->seen;
    const std::size_t start = std::min(toSize(offset), seen.size());
    const std::size_t available = std::min(amount, seen.size() - start);
    std::copy_n(seen.begin() + static_cast<std::ptrdiff_t>(start), available, out);
    std::fill_n(out + available, amount - available, std::uint8_t{0}); // SQLite demands the zeroes
    return available == amount ? SQLITE_OK : SQLITE_IOERR_SHORT_READ;
}

int DiskState::write(Handle& h, const std::uint8_t* data, std::size_t amount, std::uint64_t offset) {
    const Guard guard(m_mutex);
    if (isDead(h))
        return SQLITE_IOERR;
    if (h.readOnly)
        return SQLITE_READONLY;
    const auto fault = count(Call::Write, h.name);
    if (h.isWal && amount == kWalFrameHeaderSize)
        ++m_counters[h.name].pagesWrittenToWal;
    Operation op{Operation::Kind::Write, offset, Bytes(data, data + amount)};
    if (reachesCrashPoint()) {
        if (m_crashPoint->takesEffect)
            perform(h, std::move(op));
        return SQLITE_IOERR;
    }
    if (fault == Fault::ShortWrite) {
        op.data.resize(amount / 2);
        perform(h, std::move(op));
    }
    if (fault == Fault::DiskFull)
        m_full = true;
    if (fault)
        return resultOf(*fault, Call::Write);
    if (m_full || wouldOverflow(h, offset + amount))
        return SQLITE_FULL;
    perform(h, std::move(op));
    return SQLITE_OK;
}

int DiskState::truncate(Handle& h, std::uint64_t size) {
    const Guard guard(m_mutex);
    if (isDead(h))
        return SQLITE_IOERR;
    if (h.readOnly)
        return SQLITE_READONLY;
    const auto fault = count(Call::Truncate, h.name);
    const bool crashes = reachesCrashPoint();
    if (crashes && !m_crashPoint->takesEffect)
        return SQLITE_IOERR;
    if (fault)
        return resultOf(*fault, Call::Truncate);
    perform(h, {Operation::Kind::Truncate, size, {}});
    return crashes ? SQLITE_IOERR : SQLITE_OK;
}

void DiskState::syncFile(Handle& h) {
    h.node->sync();
    m_directory.syncName(h.name, h.node);
    if (h.syncsFolder)
        m_directory.syncFolder(folderOf(h.name));
    h.syncsFolder = false;
}

int DiskState::sync(Handle& h) {
    const Guard guard(m_mutex);
    if (isDead(h))
        return SQLITE_IOERR;
    const auto fault = count(Call::Sync, h.name);
    const bool crashes = reachesCrashPoint();
    if (crashes && !m_crashPoint->takesEffect)
        return SQLITE_IOERR;
    if (fault == Fault::SyncFails && m_faultChoice.coin())
        h.node->waiting.clear();
    if (fault)
        return resultOf(*fault, Call::Sync);
    syncFile(h);
    return crashes ? SQLITE_IOERR : SQLITE_OK;
}

int DiskState::fileSize(Handle& h, sqlite3_int64& size) {
    const Guard guard(m_mutex);
    if (isDead(h))
        return SQLITE_IOERR;
    size = static_cast<sqlite3_int64>(h.node->seen.size());
    return SQLITE_OK;
}

int DiskState::characteristics(const Handle& h) const {
    const Guard guard(m_mutex);
    return h.powersafeOverwrite ? SQLITE_IOCAP_POWERSAFE_OVERWRITE : 0;
}

int DiskState::control(Handle& h, int op, void* arg) {
    const Guard guard(m_mutex);
    if (isDead(h))
        return SQLITE_IOERR;
    const auto askOrSet = [arg](bool& value) {
        int& wish = *static_cast<int*>(arg);
        if (wish < 0) {
            wish = value ? 1 : 0;
        } else {
            value = wish != 0;
        }
        return SQLITE_OK;
    };
    switch (op) {
    case SQLITE_FCNTL_VFSNAME:
        *static_cast<char**>(arg) = sqlite3_mprintf("%s", vfsName.c_str());
        return SQLITE_OK;
    case SQLITE_FCNTL_HAS_MOVED:
        *static_cast<int*>(arg) = m_directory.find(h.name) == h.node ? 0 : 1;
        return SQLITE_OK;
    case SQLITE_FCNTL_PERSIST_WAL:
        return askOrSet(h.persistWal);
    case SQLITE_FCNTL_POWERSAFE_OVERWRITE:
        return askOrSet(h.powersafeOverwrite);
    default:
        return SQLITE_NOTFOUND;
    }
}

// Locks: the ladder of "File Locking And Concurrency In SQLite Version 3", section 3

bool DiskState::hasOtherAtLeast(const Handle& h, int level) const {
    return std::any_of(m_handles.begin(), m_handles.end(), [&](const Handle* other) {
        return other != &h && other->node == h.node && !isDead(*other) && other->lockLevel >= level;
    });
}

int DiskState::lock(Handle& h, int level) {
    const Guard guard(m_mutex);
    if (isDead(h))
        return SQLITE_IOERR;
    if (level <= h.lockLevel)
        return SQLITE_OK;
    const int blocking = level == SQLITE_LOCK_SHARED ? SQLITE_LOCK_PENDING : SQLITE_LOCK_RESERVED;
    if (hasOtherAtLeast(h, blocking))
        return SQLITE_BUSY;
    if (level == SQLITE_LOCK_EXCLUSIVE && hasOtherAtLeast(h, SQLITE_LOCK_SHARED)) {
        h.lockLevel = SQLITE_LOCK_PENDING; // lets no new reader in while the old ones finish
        return SQLITE_BUSY;
    }
    h.lockLevel = level;
    return SQLITE_OK;
}

int DiskState::unlock(Handle& h, int level) {
    const Guard guard(m_mutex);
    if (isDead(h))
        return SQLITE_IOERR;
    h.lockLevel = std::min(h.lockLevel, level);
    return SQLITE_OK;
}

int DiskState::checkReserved(Handle& h, int& reserved) {
    const Guard guard(m_mutex);
    if (isDead(h))
        return SQLITE_IOERR;
    reserved = h.lockLevel >= SQLITE_LOCK_RESERVED || hasOtherAtLeast(h, SQLITE_LOCK_RESERVED) ? 1 : 0;
    return SQLITE_OK;
}

// Shared memory

int DiskState::shmMap(Handle& h, std::size_t region, std::size_t size, bool extend, void volatile** out) {
    const Guard guard(m_mutex);
    *out = nullptr;
    if (isDead(h))
        return SQLITE_IOERR;
    if (const auto fault = count(Call::ShmMap, h.name))
        return resultOf(*fault, Call::ShmMap);
    if (!h.shm)
        h.shm = h.node->shm.lock();
    if (!h.shm) {
        h.shm = std::make_shared<SharedMemory>();
        h.node->shm = h.shm;
    }
    auto& regions = h.shm->regions;
    while (extend && regions.size() <= region)
        regions.push_back(std::make_unique<std::uint8_t[]>(size));
    if (region < regions.size())
        *out = regions[region].get();
    return SQLITE_OK;
}

int DiskState::shmLock(Handle& h, int offset, int n, int flags) {
    const Guard guard(m_mutex);
    if (isDead(h))
        return SQLITE_IOERR;
    const unsigned mask = ((1U << n) - 1U) << offset;
    if (flags & SQLITE_SHM_UNLOCK) {
        h.sharedMask &= ~mask;
        h.exclusiveMask &= ~mask;
        return SQLITE_OK;
    }
    const bool wantsExclusive = (flags & SQLITE_SHM_EXCLUSIVE) != 0;
    for (const Handle* other : m_handles) {
        if (other == &h || other->shm != h.shm || isDead(*other))
            continue;
        if (other->exclusiveMask & mask)
            return SQLITE_BUSY;
        if (wantsExclusive && (other->sharedMask & mask))
            return SQLITE_BUSY;
    }
    (wantsExclusive ? h.exclusiveMask : h.sharedMask) |= mask;
    return SQLITE_OK;
}

void DiskState::shmBarrier() {
    const Guard guard(m_mutex); // the mutex is the barrier
}

void DiskState::shmUnmap(Handle& h) {
    const Guard guard(m_mutex);
    h.sharedMask = 0;
    h.exclusiveMask = 0;
    h.shm.reset(); // the last one frees it, a dead handle's copy too
}

// What SQLite calls. noexcept: an exception must not pass through C.

namespace {

int fileClose(sqlite3_file* f) noexcept {
    Handle& h = handleOf(f);
    h.disk->close(h);
    return SQLITE_OK;
}

int fileRead(sqlite3_file* f, void* out, int amount, sqlite3_int64 offset) noexcept {
    Handle& h = handleOf(f);
    return h.disk->read(h, static_cast<std::uint8_t*>(out), static_cast<std::size_t>(amount),
                        static_cast<std::uint64_t>(offset));
}

int fileWrite(sqlite3_file* f, const void* data, int amount, sqlite3_int64 offset) noexcept {
    Handle& h = handleOf(f);
    return h.disk->write(h, static_cast<const std::uint8_t*>(data), static_cast<std::size_t>(amount),
                         static_cast<std::uint64_t>(offset));
}

int fileTruncate(sqlite3_file* f, sqlite3_int64 size) noexcept {
    Handle& h = handleOf(f);
    return h.disk->truncate(h, static_cast<std::uint64_t>(size));
}

int fileSync(sqlite3_file* f, int) noexcept {
    return handleOf(f).disk->sync(handleOf(f));
}
int fileSize(sqlite3_file* f, sqlite3_int64* size) noexcept {
    return handleOf(f).disk->fileSize(handleOf(f), *size);
}
int fileLock(sqlite3_file* f, int level) noexcept {
    return handleOf(f).disk->lock(handleOf(f), level);
}
int fileUnlock(sqlite3_file* f, int level) noexcept {
    return handleOf(f).disk->unlock(handleOf(f), level);
}

int fileCheckReserved(sqlite3_file* f, int* reserved) noexcept {
    return handleOf(f).disk->checkReserved(handleOf(f), *reserved);
}

int fileControl(sqlite3_file* f, int op, void* arg) noexcept {
    return handleOf(f).disk->control(handleOf(f), op, arg);
}

int fileSectorSize(sqlite3_file* f) noexcept {
    return handleOf(f).disk->sectorSize();
}
int fileCharacteristics(sqlite3_file* f) noexcept {
    return handleOf(f).disk->characteristics(handleOf(f));
}

int fileShmMap(sqlite3_file* f, int region, int size, int extend, void volatile** out) noexcept {
    return handleOf(f).disk->shmMap(handleOf(f), static_cast<std::size_t>(region),
                                    static_cast<std::size_t>(size), extend != 0, out);
}

int fileShmLock(sqlite3_file* f, int offset, int n, int flags) noexcept {
    return handleOf(f).disk->shmLock(handleOf(f), offset, n, flags);
}

void fileShmBarrier(sqlite3_file* f) noexcept {
    handleOf(f).disk->shmBarrier();
}

int fileShmUnmap(sqlite3_file* f, int) noexcept {
    handleOf(f).disk->shmUnmap(handleOf(f));
    return SQLITE_OK;
}

constexpr sqlite3_io_methods kFileMethods = {
    .iVersion = 2, // shared memory, but no memory-mapped reads
    .xClose = fileClose,
    .xRead = fileRead,
    .xWrite = fileWrite,
    .xTruncate = fileTruncate,
    .xSync = fileSync,
    .xFileSize = fileSize,
    .xLock = fileLock,
    .xUnlock = fileUnlock,
    .xCheckReservedLock = fileCheckReserved,
    .xFileControl = fileControl,
    .xSectorSize = fileSectorSize,
    .xDeviceCharacteristics = fileCharacteristics,
    .xShmMap = fileShmMap,
    .xShmLock = fileShmLock,
    .xShmBarrier = fileShmBarrier,
    .xShmUnmap = fileShmUnmap,
    .xFetch = nullptr,
    .xUnfetch = nullptr,
};

DiskState& stateOf(sqlite3_vfs* vfs) {
    return *static_cast<DiskState*>(vfs->pAppData);
}

int diskOpen(sqlite3_vfs* vfs, const char* path, sqlite3_file* f, int flags, int* outFlags) noexcept {
    f->pMethods = nullptr; // SQLite then doesn't close what failed to open
    const int rc = stateOf(vfs).open(path, *reinterpret_cast<OpenFile*>(f), flags, outFlags);
    if (rc == SQLITE_OK)
        f->pMethods = &kFileMethods;
    return rc;
}

int diskDelete(sqlite3_vfs* vfs, const char* path, int syncDir) noexcept {
    return stateOf(vfs).erase(path, syncDir != 0);
}

int diskAccess(sqlite3_vfs* vfs, const char* path, int flags, int* found) noexcept {
    return stateOf(vfs).access(path, flags, *found);
}

int diskFullPathname(sqlite3_vfs*, const char* path, int size, char* out) noexcept {
    sqlite3_snprintf(size, out, "%s", path);
    return std::strlen(path) < static_cast<std::size_t>(size) ? SQLITE_OK : SQLITE_CANTOPEN;
}

int diskRandomness(sqlite3_vfs* vfs, int size, char* out) noexcept {
    stateOf(vfs).randomness(out, size);
    return size;
}

int diskSleep(sqlite3_vfs*, int microseconds) noexcept {
    return microseconds;
}

int diskTime(sqlite3_vfs* vfs, double* julianDay) noexcept {
    *julianDay = static_cast<double>(stateOf(vfs).now()) / 86'400'000.0;
    return SQLITE_OK;
}

int diskTimeInt64(sqlite3_vfs* vfs, sqlite3_int64* julianMilliseconds) noexcept {
    *julianMilliseconds = stateOf(vfs).now();
    return SQLITE_OK;
}

int diskLastError(sqlite3_vfs*, int, char*) noexcept {
    return 0;
}

std::string nextVfsName() {
    static std::atomic<unsigned> made{0};
    return "simulated-disk-" + std::to_string(++made);
}

} // namespace

SimulatedDisk::SimulatedDisk(DiskOptions options) : m_state(std::make_unique<DiskState>(options)) {
    m_state->vfsName = nextVfsName();
    sqlite3_vfs& vfs = m_state->vfs;
    vfs.iVersion = 2;
    vfs.szOsFile = sizeof(OpenFile);
    vfs.mxPathname = kMaxPath;
    vfs.zName = m_state->vfsName.c_str();
    vfs.pAppData = m_state.get();
    vfs.xOpen = diskOpen;
    vfs.xDelete = diskDelete;
    vfs.xAccess = diskAccess;
    vfs.xFullPathname = diskFullPathname;
    vfs.xRandomness = diskRandomness;
    vfs.xSleep = diskSleep;
    vfs.xCurrentTime = diskTime;
    vfs.xGetLastError = diskLastError;
    vfs.xCurrentTimeInt64 = diskTimeInt64;
    [[maybe_unused]] const int rc = sqlite3_vfs_register(&vfs, 0);
    assert(rc == SQLITE_OK);
}

SimulatedDisk::~SimulatedDisk() {
    sqlite3_vfs_unregister(&m_state->vfs);
}

const std::string& SimulatedDisk::name() const {
    return m_state->vfsName;
}

void SimulatedDisk::crash(std::uint64_t seed) {
    const Guard guard(m_state->m_mutex);
    Choice choice(seed);
    m_state->m_directory.losePower(choice);
    m_state->endEpoch();
}

void SimulatedDisk::killProcess() {
    const Guard guard(m_state->m_mutex);
    const Directory& directory = m_state->m_directory;
    for (const std::string& fileName : directory.present())
        directory.find(fileName)->shm.reset();
    m_state->endEpoch();
}

void SimulatedDisk::crashAt(std::uint64_t writePoint, std::uint64_t seed) {
    const Guard guard(m_state->m_mutex);
    m_state->m_crashPoint = {writePoint, Choice(seed).coin()};
}

bool SimulatedDisk::isFrozen() const {
    const Guard guard(m_state->m_mutex);
    return m_state->m_frozen;
}

std::uint64_t SimulatedDisk::writePoints() const {
    const Guard guard(m_state->m_mutex);
    return m_state->m_writePoints;
}

void SimulatedDisk::failAt(std::uint64_t n, Fault fault, Repeat repeat) {
    const Guard guard(m_state->m_mutex);
    m_state->m_faults.push_back({n, fault, repeat});
}

void SimulatedDisk::clearFaults() {
    const Guard guard(m_state->m_mutex);
    m_state->m_faults.clear();
    m_state->m_full = false;
}

std::uint64_t SimulatedDisk::callCount() const {
    const Guard guard(m_state->m_mutex);
    return m_state->m_calls;
}

std::uint64_t SimulatedDisk::faultsFired() const {
    const Guard guard(m_state->m_mutex);
    return m_state->m_faultsFired;
}

void SimulatedDisk::setCapacity(std::optional<std::uint64_t> bytes) {
    const Guard guard(m_state->m_mutex);
    m_state->m_capacity = bytes;
}

Counters SimulatedDisk::counters(std::string_view fileName) const {
    const Guard guard(m_state->m_mutex);
    const auto at = m_state->m_counters.find(fileName);
    return at == m_state->m_counters.end() ? Counters{} : at->second;
}

Counters SimulatedDisk::totalCounters() const {
    const Guard guard(m_state->m_mutex);
    Counters sum;
    for (const auto& [fileName, c] : m_state->m_counters)
        add(sum, c);
    return sum;
}

void SimulatedDisk::resetCounters() {
    const Guard guard(m_state->m_mutex);
    m_state->m_counters.clear();
    m_state->m_calls = 0;
    m_state->m_writePoints = 0;
    m_state->m_faultsFired = 0;
}

Bytes SimulatedDisk::bytes(std::string_view fileName) const {
    const Guard guard(m_state->m_mutex);
    const NodePtr node = m_state->m_directory.find(fileName);
    return node ? node->seen : Bytes{};
}

void SimulatedDisk::setBytes(std::string_view fileName, Bytes content) {
    const Guard guard(m_state->m_mutex);
    NodePtr node = m_state->m_directory.find(fileName);
    if (!node)
        node = std::make_shared<Node>();
    node->seen = content;
    node->durable = std::move(content);
    node->waiting.clear();
    m_state->m_directory.becomeDurably(fileName, std::move(node));
}

void SimulatedDisk::remove(std::string_view fileName) {
    const Guard guard(m_state->m_mutex);
    m_state->m_directory.becomeDurably(fileName, nullptr);
}

bool SimulatedDisk::exists(std::string_view fileName) const {
    const Guard guard(m_state->m_mutex);
    return m_state->m_directory.find(fileName) != nullptr;
}

void SimulatedDisk::copyTo(std::string_view from, std::string_view to) {
    if (exists(from))
        setBytes(to, bytes(from));
}

std::vector<std::string> SimulatedDisk::fileNames() const {
    const Guard guard(m_state->m_mutex);
    return m_state->m_directory.present();
}

} // namespace discal::tests
