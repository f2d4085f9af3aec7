#pragma once

#include "services/line_writer.h"
#include "services/place_words.h"
#include "services/ports/position_source.h"

#include <boost/json.hpp>
#include <optional>
#include <string>

namespace discal::services {

/// One spell of field work: opens itself with the first butterfly, carries over what persists, may pass midnight.
class FieldSession {
public:
    FieldSession(LineWriter& writer, PositionSource& positions)
        : m_writer(writer), m_positions(positions), m_placeWords(writer.journal()) {}

    /// How an open butterfly is closed when the next one is noted.
    enum class Habit { LetGo, IntoCage };

    /// What carries over from one butterfly to the next until it is said anew.
    struct Persisting {
        std::string site;    ///< id of the chosen site, or empty
        std::string origin;  ///< wild, reared, or empty: not said yet
        std::string tagger;  ///< person id, or empty: the recorder
        std::string cage;    ///< name of the cage in use
        Habit habit{Habit::LetGo};
        bool operator==(const Persisting&) const = default;
    };
    [[nodiscard]] const Persisting& persisting() const { return m_persisting; }
    /// Says anew what carries over. While a session is open it is kept in the file at once, since no line may
    /// ever say it (the site for reared ones is first written when one is let go): a restart forgets nothing.
    /// On an error it still holds for as long as the program runs.
    [[nodiscard]] Result<void> carry(Persisting persisting);

    /// Picks up the session that was open when the program stopped, with what carried over in it.
    [[nodiscard]] Result<void> resume();

    /// The open session; a new one is opened in `commit`, as a tap of its own, if there is none or if the
    /// last line in it is more than six hours old by uptime or wall clock (our choice: a night's rest). It is
    /// current(), and `persisting` carries over from then on, once `commit` is saved.
    [[nodiscard]] Result<journal::Uuid> ensureOpen(LineWriter::Commit& commit, const Persisting& persisting);
    [[nodiscard]] Result<journal::Uuid> ensureOpen(LineWriter::Commit& commit) {
        return ensureOpen(commit, m_persisting);
    }
    [[nodiscard]] const std::optional<journal::Uuid>& current() const { return m_current; }
    /// The open session, else the one that this file opened last. Nothing before the first.
    [[nodiscard]] Result<std::optional<journal::Uuid>> latest();

    struct Effort {
        std::optional<std::int64_t> minutes;
        std::optional<std::int64_t> people;
        std::string note;
    };
    /// NothingToDo when none is open.
    [[nodiscard]] Result<Saved> close(const Effort& effort);

    /// A place that a person typed answers instead of the receiver for the next tap about a butterfly,
    /// whatever that says, and for no other: it goes when that tap is saved, or the session closed. After a
    /// refused tap it is still there for another try. Nothing takes it away before.
    void setTypedPosition(std::optional<place::Position> position) { m_typed = position; }
    /// Makes `commit` the tap that a typed position is for. Whoever writes about a butterfly begins with it.
    void spendTypedPosition(LineWriter::Commit& commit) {
        commit.whenSaved([this] { m_typed.reset(); });
    }

    /// What the clock said when the last line of this session was written. Nothing when none is open.
    [[nodiscard]] std::optional<time::Instant> lastWall() const {
        return m_current ? std::optional(m_lastWall) : std::nullopt;
    }
    /// Since the last line of this session: by uptime within a boot, else by the wall clock. Nothing when none is open.
    [[nodiscard]] std::optional<std::chrono::milliseconds> pauseUntil(const Moment& now) const;

    /// The receiver's average, if it says anything now and is fine enough to answer for a place.
    [[nodiscard]] std::optional<place::Position> positionNow(const Moment& moment);

    /// What puts places into words, from when it has names (PlaceWords::setNames).
    [[nodiscard]] PlaceWords& placeWords() { return m_placeWords; }

    /// Where we are now, as a line's body holds it: `position` as typed, or averaged from the receiver, or `site` where
    /// the receiver says nothing or is worse than 50 m (then its word is kept beside as `fix`). Beside
    /// them are the `words` for that place, with the `gazetteer` that they are from, where place names are there. Empty
    /// when neither is known: an old position is never carried forward.
    [[nodiscard]] Result<boost::json::object> placeNow(const Moment& moment);

private:
    [[nodiscard]] Result<bool> resumeKept(const std::string& session);
    [[nodiscard]] Result<void> resumeFromLines(const journal::Record& session);

    LineWriter& m_writer;
    PositionSource& m_positions;
    PlaceWords m_placeWords;
    Persisting m_persisting;
    std::string m_kept; ///< what the file holds of it
    std::optional<place::Position> m_typed;
    std::optional<journal::Uuid> m_current;
    time::Instant m_lastWall{};
    std::int64_t m_lastUpMs{0};
    std::string m_lastBoot;
};

/// A position as lines hold it: integers in named units, datum EPSG:4326.
[[nodiscard]] boost::json::object toJson(const place::Position& position);

} // namespace discal::services
