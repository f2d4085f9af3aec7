#pragma once

#include "cli/call.h"
#include "cli/names.h"
#include "cli/output.h"
#include "services/amending.h"
#include "services/field_session.h"
#include "services/safe_copies.h"
#include "services/station.h"
#include "services/stock.h"
#include "services/system/own_gazetteer.h"
#include "services/system/system_clock.h"
#include "services/system/system_randomness.h"
#include "services/tagging.h"

#include <memory>
#include <string>
#include <vector>

namespace discal::cli {

/// An open journal with everything that works on it, for the length of one verb. As main is for the app, this
/// is the one place of the command line that knows all services.
class Workbench {
public:
    /// Reads beside a running writer; changes nothing.
    [[nodiscard]] static Result<std::unique_ptr<Workbench>> forReading(const Call& call);
    /// Makes the journal (and the folder of the user's own one) where there is none, writes device.started
    /// where a chain begins, and says on stderr what opening found. The open session goes on, with what
    /// carried over in it: site, origin, tagger, recorder, cage, and where the codes go on.
    [[nodiscard]] static Result<std::unique_ptr<Workbench>> forWriting(const Call& call);

    [[nodiscard]] storage::Journal& journal() { return *m_journal; }
    [[nodiscard]] storage::Projections& projections() { return m_journal->projections(); }

private:
    std::unique_ptr<storage::Journal> m_journal;
    services::SystemClock m_clock;
    services::SystemRandomness m_randomness;
    services::NoPositions m_positions;
    std::optional<services::OpenGazetteer> m_gazetteer;
    std::vector<services::SavedLine> m_saved;

    explicit Workbench(std::unique_ptr<storage::Journal> journal);
    [[nodiscard]] Result<void> goOn();

public:
    services::LineWriter writer;
    services::FieldSession session;
    services::Stock stock;
    services::Tagging tagging;
    services::Amending amending;
    services::Station station;
    services::SafeCopies copies;
    Names names;

    /// All lines that this call has saved so far, in order.
    [[nodiscard]] const std::vector<services::SavedLine>& saved() const { return m_saved; }
    /// Writes line 1 of a chain that has just begun, and says why it began.
    [[nodiscard]] Result<void> startChain();
    /// Places that are written from now on have their words. Without a sound gazetteer they have none: that is said on
    /// stderr, and refuses nothing.
    void putPlacesIntoWords();
    /// A saved line, read back as it is to be read now.
    [[nodiscard]] Result<journal::Amended> readBack(const services::SavedLine& line);
};

/// --journal, or the user's own.
[[nodiscard]] Result<std::filesystem::path> journalPath(const Call& call);

/// Why a chain began, as a sentence; `where` is the file.
[[nodiscard]] std::string sentenceOf(const storage::Journal::Continuation& begun,
                                     const std::filesystem::path& where);
[[nodiscard]] std::string sentenceOf(storage::Warning warning);

/// What a writing verb tells when it is done.
struct Told {
    std::string sentence;            ///< what was saved, ended by a full stop
    std::vector<std::string> more{}; ///< further sentences
    boost::json::object members{};   ///< under --json, beside what all verbs tell
    /// Lines whose marks are told besides those of the lines saved now.
    std::vector<journal::Uuid> alsoMarked{};
};

/// Says what was saved, that it is only here, and which doubts it raised; then keeps copies. Returns kDone.
int report(const Output& out, Workbench& bench, const Told& told);

/// For a moment when all is saved and said: the copies beside the journal (services/safe_copies.h). Where one can't be
/// made, that is said on stderr and nothing else changes.
void keepCopies(Workbench& bench);

/// As refuse, and says what had been saved before that: a helper who was named on the way.
int refuse(const Error& error, Workbench& bench);

/// The doubts that are open on these lines, each once, as sentences with their keys.
[[nodiscard]] std::vector<std::pair<std::string, std::string>>
openDoubts(Workbench& bench, const std::vector<journal::Uuid>& lines);

} // namespace discal::cli
