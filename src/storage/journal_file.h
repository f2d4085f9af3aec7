#pragma once

#include "core/journal/chain.h"
#include "core/journal/line.h"
#include "core/journal/signing.h"
#include "core/result.h"
#include "storage/place.h"

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace SQLite {
class Database;
}

namespace discal::storage {

/// A text or picture that a line cites: 16 random bytes, then the content (at most 256 KiB).
struct Blob {
    journal::Hash sha256{};
    std::string bytes;

    [[nodiscard]] std::string_view content() const { return std::string_view(bytes).substr(16); }
};
inline constexpr std::size_t kLargestBlobContent = 256 * 1024;
/// OutOfRange if the content is too large.
[[nodiscard]] Result<Blob> makeBlob(const std::array<std::uint8_t, 16>& random, std::string_view content);

/// A word of this copy of the file, that no other device gets.
struct Local {
    std::string name;
    std::string value;
};

/// One device's chain as this file holds it.
struct Chain {
    journal::DeviceId device;
    journal::PublicKey publicKey{};
    journal::Head head;        ///< the last entry; for an empty chain seq 0 and h(0)
    journal::Head signedHead;  ///< the last head whose signature we hold
    std::optional<std::string> jws;
};

struct ForkLine {
    journal::DeviceId device;
    std::int64_t seq{0};
    journal::Hash hash{};
    std::string line;
};

/// What a check of the chains found.
struct VerifyReport {
    std::int64_t lines{0};
    std::int64_t blobs{0};
    struct Fault {
        journal::DeviceId device;
        std::int64_t seq{0};   ///< 0 when it concerns the whole chain
        Code code{Code::BrokenChain};
        std::string detail;
    };
    std::vector<Fault> faults;
    [[nodiscard]] bool isSound() const { return faults.empty(); }
};

/// The SQLite file of the journal: chains, forks, blobs. Knows bytes and hashes, not what lines mean.
///
/// Every function may fail with Io, DiskFull, OutOfMemory, Corrupt or Busy, and leaves the file as it was then.
/// One connection writes; use from one thread at a time.
class JournalFile {
public:
    enum class Access { Write, Read };

    /// Write creates the file if it is not there and brings its schema up to date; the caller holds the writer's
    /// lock. Read never changes a byte; a file in a folder that can't be written is read as it is.
    /// NewerFile (number: its schema) and NotAJournal leave the file untouched.
    [[nodiscard]] static Result<std::unique_ptr<JournalFile>> open(const Place& place, Access access);
    ~JournalFile();
    JournalFile(const JournalFile&) = delete;
    JournalFile& operator=(const JournalFile&) = delete;

    // Reading -------------------------------------------------------------------------------------------------

    [[nodiscard]] Result<std::vector<Chain>> chains();
    [[nodiscard]] Result<std::optional<Chain>> chain(const journal::DeviceId& device);
    [[nodiscard]] Result<std::optional<std::string>> line(const journal::DeviceId& device, std::int64_t seq);
    /// h(seq); h(0) is the start of the chain. Nothing if there is no such line.
    [[nodiscard]] Result<std::optional<journal::Hash>> hash(const journal::DeviceId& device, std::int64_t seq);
    [[nodiscard]] Result<std::vector<ForkLine>> forks();
    [[nodiscard]] Result<std::optional<std::string>> forkLine(const journal::DeviceId& device, std::int64_t seq,
                                                              const std::string& hashHex);

    using LineVisitor = std::function<bool(std::int64_t seq, std::string_view line, const journal::Hash& hash)>;
    /// Lines of one chain from `fromSeq` on, in order, until the visitor returns false.
    [[nodiscard]] Result<void> visit(const journal::DeviceId& device, std::int64_t fromSeq, const LineVisitor& visitor);

    [[nodiscard]] Result<std::optional<Blob>> blob(const journal::Hash& sha256);
    [[nodiscard]] Result<std::vector<journal::Hash>> blobNames();

    /// Recomputes hashes: of all lines, or of the last `tail` of each chain. Checks that seqs have no gap, signed
    /// heads, and (when all) blobs against their names and SQLite's own quick_check. `progress` gets lines done.
    [[nodiscard]] Result<VerifyReport> verify(std::optional<std::int64_t> tail = {},
                                              const std::function<void(std::int64_t)>& progress = {});

    /// Holds one state of the file for reading until the object goes.
    class Snapshot {
    public:
        explicit Snapshot(JournalFile& file);
        ~Snapshot();
        Snapshot(const Snapshot&) = delete;
        Snapshot& operator=(const Snapshot&) = delete;

    private:
        JournalFile& m_file;
    };

    [[nodiscard]] Result<std::optional<std::string>> local(const std::string& name);

    // Writing -------------------------------------------------------------------------------------------------

    /// Adds a chain with no lines. Nothing happens if it is there.
    [[nodiscard]] Result<void> addDevice(const journal::DeviceId& device, const journal::PublicKey& key);

    /// Appends lines to a chain that stands at `head`, with the blobs that they cite and what this copy notes
    /// with them, in one commit. Returns when it is on stable storage, with the new head. On an error nothing
    /// was appended and the file is still usable.
    [[nodiscard]] Result<journal::Head> append(const journal::DeviceId& device, const journal::Head& head,
                                               const std::vector<std::string>& lines,
                                               const std::vector<Blob>& blobs,
                                               const std::vector<Local>& locals = {});

    /// Lines from elsewhere, one commit: `fresh` go to the end of the chain, `forked` beside it; then the signed head.
    struct Arrival {
        journal::DeviceId device;
        journal::Head before;            ///< the chain's head, checked inside the commit: Busy if it has moved
        std::vector<std::string> fresh;
        std::vector<ForkLine> forked;
        std::vector<Blob> blobs;
        std::optional<journal::Head> signedHead;
        std::string jws;
    };
    [[nodiscard]] Result<journal::Head> arrive(const Arrival& arrival);

    [[nodiscard]] Result<void> setSignedHead(const journal::DeviceId& device, const journal::Head& head,
                                             const std::string& jws);
    [[nodiscard]] Result<void> setLocal(const std::string& name, const std::string& value);
    [[nodiscard]] Result<void> setDraft(const std::string& page, const std::string& field, const std::string& value);
    [[nodiscard]] Result<std::optional<std::string>> draft(const std::string& page, const std::string& field);

    /// Removes the bytes of blobs, and all drafts, from the file and from its -wal, for good; writes the file anew for it, so it takes
    /// as long as a backup. After any error (Busy: a reader holds the -wal) it is to be repeated, if only with no
    /// names: what is still to do is kept in the file.
    [[nodiscard]] Result<void> eraseBlobs(const std::vector<journal::Hash>& names);

    /// Moves commits from the -wal into the file. Called between commits, when idle. `Cut` gives the room of the -wal
    /// back, and waits for readers up to two seconds.
    enum class Wal { Keep, Cut };
    [[nodiscard]] Result<void> checkpoint(Wal wal = Wal::Keep);
    /// Gives the -wal room beforehand, so that a commit needn't make its file grow: on a plain disk that takes as long
    /// again as the commit. Whether there is room is no matter of safety, so no error either.
    void growWal();
    /// Pages in the -wal that a checkpoint would move.
    [[nodiscard]] int walPages() const { return m_walPages; }

    /// A copy that needs no companions, under a new name: written beside it, synced, then renamed.
    /// Exists if `target` is there. The copy is taken from one state of the file. Drafts stay behind.
    [[nodiscard]] Result<void> copyTo(const std::filesystem::path& target);

    [[nodiscard]] const Place& place() const { return m_place; }
    /// For the projections, which read lines of the same file, and for tests.
    [[nodiscard]] SQLite::Database& database() { return *m_db; }

private:
    struct Statements;
    JournalFile(Place place, Access access);
    void configure(Access access);
    void migrate();
    void inCommit(const std::function<void()>& work);
    void insertLines(const journal::DeviceId& device, journal::Head& head, const std::vector<std::string>& lines);
    void insertBlobs(const std::vector<Blob>& blobs);
    void putLocal(const Local& local);

    Place m_place;
    std::unique_ptr<SQLite::Database> m_db;
    std::unique_ptr<Statements> m_statements;
    int m_walPages{0};
};

/// The schema's number that this program writes.
[[nodiscard]] int newestSchema();
inline constexpr int kApplicationId = 0x4453434C;  ///< "DSCL", PRAGMA application_id

} // namespace discal::storage
