#pragma once

#include "core/journal/signing.h"
#include "storage/device_key.h"
#include "storage/journal_file.h"
#include "storage/projections.h"
#include "storage/writer_lock.h"

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace discal::storage {

/// Why a device had to begin a new chain. The old one is kept whole.
enum class NewChain {
    FirstStart,
    KeyMissing,    ///< the key file is gone or belongs to another chain
    OtherMachine,  ///< the key was made on another machine
    Copied,        ///< the key file is a copy on the same machine
    BehindMark,    ///< lines that we had written are not in the file: put back from a copy, or -wal lost
    OffMark,       ///< another line stands where our last one stood
    AheadElsewhere,  ///< somebody brought lines of ours that we don't have
};
[[nodiscard]] std::string_view textOf(NewChain why);

/// What a person should hear about the file; none of it stops work.
enum class Warning {
    DiskNearlyFull,
    ReserveUsed,      ///< the disk was full; the reserve was freed to save the last line
    ProjectionsAside,  ///< projections live in memory, since their file can't be written
};

/// One device's chain up to a head, with the lines from `from` on; as it comes in a parcel.
struct Delivery {
    journal::DeviceId device;
    journal::PublicKey publicKey{};
    std::int64_t from{1};
    journal::Hash prev{};  ///< h(from - 1)
    std::vector<std::string> lines;
    journal::Head head;
    std::string jws;
    std::vector<Blob> blobs;
};

struct Receipt {
    std::int64_t fresh{0};
    std::int64_t known{0};
    std::int64_t forked{0};
    std::int64_t blobs{0};
    journal::Head head;
    bool startedNewChain{false};  ///< it was our own chain, and it had gone further or another way
};

/// A journal for reading and writing, or for reading only: file, lock, key, mark, reserve and projections together.
///
/// Use from one thread. Nothing in it looks at a clock; randomness comes from the caller.
class Journal {
public:
    struct WriteOptions {
        std::string program;  ///< told to whoever finds the journal in use
        std::function<std::array<std::uint8_t, 32>()> newSeed;  ///< makes device keys
        Progress progress{};
    };
    /// Opens for writing; makes the journal if it is not there. Checks the mark and the last 1,000 lines.
    /// Busy (detail: who writes), NewerFile, NotAJournal, Corrupt (detail: where; salvage it) leave everything as it was.
    /// After a new chain was begun, see newChain(), its line 1 must be device.started.
    [[nodiscard]] static Result<std::unique_ptr<Journal>> openForWriting(const Place& place, const WriteOptions& options);
    /// Reads beside a running writer, and in folders that can't be written. Changes nothing.
    [[nodiscard]] static Result<std::unique_ptr<Journal>> openForReading(const Place& place,
                                                                         const Progress& progress = {});
    ~Journal();

    [[nodiscard]] JournalFile& file() { return *m_file; }
    [[nodiscard]] Projections& projections() { return *m_projections; }
    [[nodiscard]] const journal::DeviceId& device() const { return m_device; }
    [[nodiscard]] const journal::PublicKey& publicKey() const { return m_key.publicKey; }
    [[nodiscard]] const journal::Head& head() const { return m_head; }

    /// Set while the own chain has no line yet.
    struct Continuation {
        NewChain why{NewChain::FirstStart};
        std::string device;  ///< of the chain that it goes on from; empty at first start
        journal::Head head;  ///< of that chain in this file
        std::int64_t missing{0};  ///< lines that the mark knows of and the file does not have
    };
    [[nodiscard]] const std::optional<Continuation>& newChain() const { return m_newChain; }

    /// Appends lines of our own with the blobs they cite, and what this copy notes with them. Returns when
    /// they are on stable storage: only then may anything say "saved". On an error nothing was appended and
    /// the journal is still usable.
    [[nodiscard]] Result<journal::Head> append(const std::vector<std::string>& lines,
                                               const std::vector<Blob>& blobs = {},
                                               const std::vector<Local>& locals = {});

    /// Takes in somebody's chain. Checks key, chain and signature; looks into no line. Gap (number: the seq that we
    /// have), BrokenChain, BadSignature, WrongDevice, Forked (a head without lines that is not on our chain): nothing
    /// was stored.
    [[nodiscard]] Result<Receipt> receive(const Delivery& delivery);

    /// Signs the head of our chain, after all lines were checked. For parcels.
    [[nodiscard]] Result<Chain> signedChain();

    /// Removes the bytes of all erased blobs from the file and its -wal.
    [[nodiscard]] Result<void> purgeErased();

    /// Checks everything, then writes a copy under a new name. Corrupt if the check finds a fault: no copy leaves.
    [[nodiscard]] Result<void> backup(const std::filesystem::path& target);

    /// For moments when nobody waits: moves commits into the files.
    [[nodiscard]] Result<void> idle();

    [[nodiscard]] std::vector<Warning> warnings() const;

private:
    Journal(Place place) : m_place(std::move(place)), m_mark(m_place.mark()) {}
    [[nodiscard]] Result<void> settleIdentity(const WriteOptions& options);
    [[nodiscard]] Result<void> beginChain(NewChain why, const std::string& previous, std::int64_t missing);
    [[nodiscard]] Result<void> noteContinuation(const Continuation& continuation);
    [[nodiscard]] Result<void> checkTail();
    [[nodiscard]] Result<std::vector<journal::Hash>> erasedHere();
    void purgeNowOrLater();
    void keepProjectionsGoing(const Result<void>& taken);
    void makeReserve();
    bool freeReserve();
    bool makeRoom();

    Place m_place;
    std::optional<WriterLock> m_lock;
    std::unique_ptr<JournalFile> m_file;
    std::unique_ptr<JournalFile::Snapshot> m_snapshot;
    std::unique_ptr<Projections> m_projections;
    journal::KeyPair m_key;
    journal::DeviceId m_device;
    journal::Head m_head;
    Mark m_mark;
    std::optional<Continuation> m_newChain;
    std::function<std::array<std::uint8_t, 32>()> m_newSeed;
    bool m_reserveUsed{false};
    bool m_projectionsAside{false};
    bool m_isPurgeDue{false};  ///< a reader or the disk was in the way: again when idle
};

} // namespace discal::storage
