#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace discal::tests {

class DiskState;

/// What goes wrong with one call. A fault that doesn't fit its call waits for the next one it fits.
enum class Fault {
    IoError,     ///< any call: SQLITE_IOERR_READ, _WRITE, _FSYNC, ... or SQLITE_CANTOPEN; nothing is done
    ShortWrite,  ///< a write: the first half is written, then SQLITE_IOERR_WRITE
    DiskFull,    ///< a write: SQLITE_FULL, and so for every write until clearFaults()
    OutOfMemory, ///< any call: SQLITE_IOERR_NOMEM; nothing is done
    /// a sync: SQLITE_IOERR_FSYNC. The disk's seed decides whether the waiting operations go on waiting or
    /// are forgotten: still read back, never durable, as on Linux ("fsyncgate", 2018)
    SyncFails,
};

enum class Repeat { Once, Sticky };

/// Calls since the last resetCounters(), failed ones included, those on dead handles or a frozen disk not.
struct Counters {
    std::uint64_t reads = 0;
    std::uint64_t writes = 0;
    std::uint64_t bytesWritten = 0;
    std::uint64_t syncs = 0;
    std::uint64_t truncates = 0;
    std::uint64_t opens = 0;
    std::uint64_t deletes = 0;
    std::uint64_t shmMaps = 0;
    std::uint64_t pagesWrittenToWal = 0; ///< by their 24-byte frame headers (SQLite file format, section 4.1)
};

struct DiskOptions {
    /// SQLITE_IOCAP_POWERSAFE_OVERWRITE. Off makes SQLite pad WAL commits to a sector. The disk itself never
    /// damages a byte outside the range of a write, in either mode.
    bool powersafeOverwrite = true;
    /// What xSectorSize says, as the unix VFS does. Writes are torn at 512 bytes whatever this is.
    int sectorSize = 4096;
    /// For xRandomness and SyncFails. SQLite seeds its one generator (WAL salts, random()) from the default
    /// VFS, so those still differ from run to run.
    std::uint64_t seed = 1;
};

/// A disk in memory, registered as an SQLite VFS, for tests of power loss and of failing disks.
///
/// Files have any name, used as it stands ("/disk/a.discal"). WAL mode (shared memory on the heap), rollback
/// journals and temporary files work, with the locks of the unix VFS, for any number of connections of this
/// process.
///
/// Model. A file is its durable bytes and an ordered list of operations (write, truncate) that wait for
/// xSync. Reads see both (the page cache). xSync makes that file's operations durable, and its name. The
/// first sync of a new journal or WAL, and xDelete with syncDir, make every name of that folder durable, as
/// the unix VFS does. Until then a crash may undo a creation or a deletion.
///
/// Nothing depends on the clock, the machine or the library's distributions: a seed chooses alike
/// everywhere. Thread-safe. Close every connection before the disk is destroyed.
class SimulatedDisk {
public:
    explicit SimulatedDisk(DiskOptions options = {});
    ~SimulatedDisk();
    SimulatedDisk(const SimulatedDisk&) = delete;
    SimulatedDisk& operator=(const SimulatedDisk&) = delete;

    /// The VFS name for sqlite3_open_v2; unique in this process. Never the default VFS.
    [[nodiscard]] const std::string& name() const;

    /// Power loss. For each file `seed` chooses what becomes of its waiting operations: none survive, a
    /// prefix, any subset (in order), any subset with writes torn at 512-byte sectors, or all. Open handles
    /// are dead: each of their calls returns SQLITE_IOERR until closed, and so do opens and deletes of their
    /// journals. Locks and shared memory are gone. Cancels crashAt() and thaws; faults stay.
    void crash(std::uint64_t seed);

    /// As kill -9: what was written stays and still waits for a sync, handles are dead, locks and shared
    /// memory are gone. Cancels crashAt() and thaws; faults stay.
    void killProcess();

    /// The machine stops at the write point numbered `writePoint` since resetCounters(), from 1: that call
    /// and all later ones return SQLITE_IOERR and nothing changes until crash() or killProcess(). `seed`
    /// decides whether that one call, which nobody saw succeed, still took effect. A write point is a write,
    /// sync, truncate or delete.
    void crashAt(std::uint64_t writePoint, std::uint64_t seed);
    [[nodiscard]] bool isFrozen() const;
    [[nodiscard]] std::uint64_t writePoints() const;

    /// The call numbered `n` since resetCounters(), from 1, or the next one the fault fits, fails. Counted
    /// are read, write, sync, truncate, open, delete and shmMap. Several faults may wait at once.
    void failAt(std::uint64_t n, Fault fault, Repeat repeat = Repeat::Once);
    /// Forgets all faults, and the fullness that DiskFull left. The capacity stays.
    void clearFaults();
    [[nodiscard]] std::uint64_t callCount() const;
    /// Calls that failed through failAt() since resetCounters().
    [[nodiscard]] std::uint64_t faultsFired() const;

    /// SQLITE_FULL for a write that would grow all files together past `bytes`; overwriting still works.
    /// None: no limit.
    void setCapacity(std::optional<std::uint64_t> bytes);

    /// Of one file, by its name ("/disk/a.discal-wal"); zeroes for one never used. Names outlive their files.
    [[nodiscard]] Counters counters(std::string_view fileName) const;
    [[nodiscard]] Counters totalCounters() const;
    void resetCounters();

    /// Access from outside, past faults, locks and counters. Changes made here are durable at once; bytes are
    /// as a reader sees them, none for an absent file.
    [[nodiscard]] std::vector<std::uint8_t> bytes(std::string_view fileName) const;
    void setBytes(std::string_view fileName, std::vector<std::uint8_t> content);
    void remove(std::string_view fileName);
    [[nodiscard]] bool exists(std::string_view fileName) const;
    void copyTo(std::string_view from, std::string_view to);  ///< does nothing if `from` is absent
    [[nodiscard]] std::vector<std::string> fileNames() const; ///< sorted

private:
    std::unique_ptr<DiskState> m_state;
};

} // namespace discal::tests
