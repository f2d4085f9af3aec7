#pragma once

#include "core/butterfly/butterfly.h"
#include "core/doubt/doubt.h"
#include "core/journal/amending.h"
#include "core/journal/record.h"
#include "core/station/roles.h"
#include "core/tag/sheet.h"
#include "core/tag/tag_state.h"
#include "storage/journal_file.h"

#include <functional>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace SQLite {
class Database;
class Statement;
} // namespace SQLite

namespace discal::storage {

/// Grows when the tables or the folds change; then the projections are made anew.
inline constexpr int kProjectionVersion = 6;

/// Lines done of all that have to be read.
using Progress = std::function<void(std::int64_t done, std::int64_t all)>;

/// What the journal's lines say now: butterflies, tags, sheets, records, doubts. Lives in its own file beside the
/// journal and can be deleted at any time.
///
/// The state of a subject is a pure function of the set of its lines in their order. A line that stands last for its
/// subjects is stepped into their rows; any other (late arrival, correction, withdrawal) makes its subjects be folded
/// anew, so arrival can't matter. Tags are derived from the butterflies and sheets that name them, doubts from all.
///
/// Commits of this file are not synced and come in batches: it may lag behind after a crash, never be wrong, and is
/// brought up to the journal's heads at opening. A reader beside a running writer copies it to memory and catches up
/// there, so that it never sees less than was saved.
class Projections : private journal::Amendments {
public:
    [[nodiscard]] static Result<std::unique_ptr<Projections>> open(JournalFile& journal, JournalFile::Access access,
                                                                   const Progress& progress = {});
    /// Reads the whole journal into memory: when there is no room, or no right, to keep the file.
    [[nodiscard]] static Result<std::unique_ptr<Projections>> openInMemory(JournalFile& journal,
                                                                           const Progress& progress = {});
    ~Projections() override;
    Projections(const Projections&) = delete;
    Projections& operator=(const Projections&) = delete;

    // Writer only ---------------------------------------------------------------------------------------------

    /// Takes lines that were just committed, at the end of their chain.
    [[nodiscard]] Result<void> take(const std::vector<journal::Entry>& entries, const journal::Hash& headHash);
    /// Reads what the journal holds beyond what has been taken; forks too.
    [[nodiscard]] Result<void> catchUp(const Progress& progress = {});
    /// Drops everything and reads the journal from the start.
    [[nodiscard]] Result<void> rebuild(const Progress& progress = {});
    /// Commits what was taken since.
    [[nodiscard]] Result<void> flush();

    // Reading -------------------------------------------------------------------------------------------------

    [[nodiscard]] Result<std::int64_t> greatestLamport();
    [[nodiscard]] Result<std::optional<butterfly::Butterfly>> butterfly(const std::string& id);
    /// All that carry or carried the code, or were seen with it.
    [[nodiscard]] Result<std::vector<butterfly::Butterfly>> butterfliesWith(const std::string& code);
    /// In the hand or in a cage, by fate and time of noting.
    [[nodiscard]] Result<std::vector<butterfly::Butterfly>> butterfliesWithFate(butterfly::Fate fate);
    [[nodiscard]] Result<std::vector<butterfly::Butterfly>> butterfliesOfSession(const std::string& session);
    [[nodiscard]] Result<std::int64_t> butterflyCount();
    /// How many butterfliesOfSession has.
    [[nodiscard]] Result<std::int64_t> countOfSession(const std::string& session);
    /// At most `limit` of them, the one noted last first; those never noted (only recaptured) at the end.
    [[nodiscard]] Result<std::vector<butterfly::Butterfly>> newestOfSession(const std::string& session,
                                                                            std::size_t limit);
    /// The page of it that follows: noted before `notedAt`, or then and with a smaller id. Newest first.
    [[nodiscard]] Result<std::vector<butterfly::Butterfly>> olderOfSession(const std::string& session,
                                                                           const std::string& notedAt,
                                                                           const std::string& id, std::int64_t limit);
    /// Butterflies of a session with equal sex, origin and fate.
    struct Tally {
        std::string sex;
        std::string origin;
        butterfly::Fate fate{butterfly::Fate::Unclear};
        std::int64_t count{0};
        std::string first;  ///< UTC at which the first of them was noted
        std::string last;
    };
    [[nodiscard]] Result<std::vector<Tally>> tallyOfSession(const std::string& session);
    /// Released ones that were noted at or after `utc` (YYYY-MM-DDTHH:MM:SS.sssZ), in any session.
    [[nodiscard]] Result<std::int64_t> countReleasedSince(const std::string& utc);

    [[nodiscard]] Result<tag::TagState> tag(const tag::Code& code);
    [[nodiscard]] Result<std::vector<tag::Sheet>> sheets();
    [[nodiscard]] Result<bool> hasSheets();
    [[nodiscard]] Result<std::optional<tag::Sheet>> sheet(const std::string& id);
    [[nodiscard]] Result<std::vector<tag::Sheet>> sheetsWith(const tag::Code& code);
    /// Sheets of which `device` may offer at least one code, in the order they were last touched.
    [[nodiscard]] Result<std::vector<tag::Sheet>> sheetsHeldBy(const journal::DeviceId& device);
    [[nodiscard]] Result<bool> isOfferedBy(const tag::Code& code, const journal::DeviceId& device);

    /// Codes that came off a butterfly unused and have no other fate since; who may offer them is another question.
    [[nodiscard]] Result<std::vector<std::string>> freedCodes();

    [[nodiscard]] Result<std::optional<journal::Record>> record(journal::RecordType type, const std::string& key);
    [[nodiscard]] Result<std::vector<journal::Record>> records(journal::RecordType type);
    /// Sessions that nothing says the end of; quick also where there are many that ended.
    [[nodiscard]] Result<std::vector<journal::Record>> openSessions();
    [[nodiscard]] const station::Roles& roles() const { return m_roles; }

    struct MarkedDoubt {
        doubt::Doubt doubt;
        std::optional<std::string> settled;  ///< the choice, in words
    };
    [[nodiscard]] Result<std::vector<MarkedDoubt>> doubts();
    /// Keys of open doubts that cite the line.
    [[nodiscard]] Result<std::vector<std::string>> marksOf(const journal::Uuid& line);

    /// Lines by id or by act, and what amends a line, read from the journal.
    [[nodiscard]] Result<std::vector<journal::Entry>> linesWithId(const journal::Uuid& id);
    [[nodiscard]] Result<std::vector<journal::Entry>> linesOfAct(const journal::Uuid& act);
    [[nodiscard]] Result<std::vector<journal::Entry>> linesOfSubject(const std::string& key);
    /// The line as it is to be read now.
    [[nodiscard]] Result<journal::Amended> amendedLine(const journal::Entry& entry);
    [[nodiscard]] Result<bool> isErased(const journal::Hash& blob);
    [[nodiscard]] Result<std::vector<journal::Hash>> erasedBlobs();

    /// Every row of every table as text, ordered by key, chains by device: equal for equal sets of lines.
    [[nodiscard]] Result<std::string> dump();

private:
    struct Batch;
    struct ChainRow {
        std::int64_t n{0};
        journal::DeviceId device;
        std::string branch;
        std::int64_t doneSeq{0};
        journal::Hash doneHash{};
    };
    struct Incoming {
        journal::Entry entry;
        std::int64_t chain{0};
        journal::Hash hash{};
        std::vector<std::string> subjects;  ///< of the line; empty: not looked for yet
        journal::Amended event;             ///< the line, where nothing amends it, once it has been routed
    };

    explicit Projections(JournalFile& journal);
    void openDatabase(JournalFile::Access access);
    void createTables();
    bool isUsable();
    bool isBehind();
    bool standsInChain(const journal::DeviceId& device, std::int64_t seq, const std::string& branch);
    void loadRoles();
    void doRebuild(const Progress& progress);
    void doCatchUp(const Progress& progress);
    void project(std::vector<Incoming>& entries);
    void begin();
    void commit();
    void rollback();

    std::int64_t chainNumber(const journal::DeviceId& device, const std::string& branch);
    void setDone(std::int64_t chain, std::int64_t seq, const journal::Hash& hash);

    // One line
    void route(Incoming& in, Batch& batch);
    void stepSubject(const std::string& key, const journal::Amended& event, bool isMainSubject, Batch& batch);
    void touch(const std::string& key, const Incoming& in);
    void touchRow(const std::string& key, const journal::Order& order, std::int64_t chain);
    std::vector<journal::Entry> amendedBy(const journal::Entry& amendment);
    void disturb(const journal::Entry& entry, Batch& batch);
    void disturbSubjects(const journal::Entry& entry, const journal::Amended& event, Batch& batch);
    std::int64_t chainOf(const journal::Entry& entry);

    // Folding and deriving
    void fold(const std::string& key, Batch& batch);
    void dropSheet(const std::string& key);
    void forgetOtherNouns(const std::string& key, std::string_view kind, Batch& batch);
    std::set<std::string> neighboursOf(const tag::Sheet& sheet);
    void markNeighbours(const tag::Sheet& sheet, Batch& batch);
    void deriveSheet(const std::string& id);
    void deriveCode(const std::string& code, Batch& batch);
    void deriveRoles(Batch& batch);
    void deriveErasures();
    tag::TagState tagStateOf(const tag::Code& code, Batch* batch, bool* isNamed = nullptr);
    std::vector<tag::Sheet> sheetsContaining(const tag::Code& code);
    void writeDoubts(const std::string& subject, const doubt::Doubts& doubts);
    std::optional<std::string> settlementOf(const std::string& key, const std::vector<journal::Uuid>& evidence);
    void resettle(const std::string& key);

    // Rows
    std::optional<butterfly::Butterfly> loadButterfly(const std::string& id);
    /// `before`: the codes that its rows in `carried` have now.
    void storeButterfly(const butterfly::Butterfly& butterfly, const std::vector<butterfly::Carried>& before);
    /// Its tags and doubts, and then the rest of it.
    void storeCarried(const butterfly::Butterfly& butterfly, const std::vector<butterfly::Carried>& before);
    void storeStory(const butterfly::Butterfly& butterfly, const std::string& story);
    std::optional<tag::Sheet> loadSheet(const std::string& id);
    std::optional<journal::Record> loadRecord(journal::RecordType type, const std::string& key);
    void storeRecord(journal::RecordType type, const journal::Record& record);

    std::vector<journal::Entry> entriesTouching(const std::string& key);
    bool isTouched(const std::string& key);
    bool isTouchedTwice(const std::string& key);
    journal::Entry readEntry(std::int64_t chain, std::int64_t seq);
    SQLite::Statement& prepared(const char* sql);

    std::vector<journal::Entry> correctionsOf(const journal::Uuid& line) override;
    std::vector<journal::Entry> withdrawalsOf(const journal::Uuid& act) override;
    bool isOffice(const journal::DeviceId& device, const journal::Order& at) override;

    JournalFile& m_journal;
    std::unique_ptr<SQLite::Database> m_db;
    std::unordered_map<const char*, std::unique_ptr<SQLite::Statement>> m_prepared;
    std::unordered_map<std::string, tag::Sheet> m_sheets;
    std::vector<ChainRow> m_chains;
    station::Roles m_roles;
    std::int64_t m_greatestLamport{0};
    bool m_isInTransaction{false};
    int m_linesSinceCommit{0};
};

} // namespace discal::storage
