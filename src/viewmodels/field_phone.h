#pragma once

#include "services/amending.h"
#include "services/field_session.h"
#include "services/station.h"
#include "services/stock.h"
#include "services/tagging.h"

#include <QImage>
#include <QObject>
#include <QString>
#include <optional>

namespace discal::viewmodels {

/// This phone: its journal with all services over it, and one signal whenever something in the journal has changed.
/// Every page's model works on the one that main has made. Lives on the thread of the screen, as the journal does:
/// a commit takes a few milliseconds at most, and "saved" must not be said before it.
class FieldPhone : public QObject {
    Q_OBJECT

public:
    FieldPhone(storage::Journal& journal, services::Clock& clock, services::Randomness& randomness,
               services::PositionSource& positions, QObject* parent = nullptr);

    /// Picks up the open session, and who writes. Call once, before any page.
    [[nodiscard]] Result<void> resume();

    [[nodiscard]] storage::Journal& journal() { return m_journal; }
    [[nodiscard]] storage::Projections& projections() { return m_journal.projections(); }
    [[nodiscard]] services::Clock& clock() { return m_clock; }
    [[nodiscard]] services::PositionSource& positions() { return m_positions; }

    services::LineWriter writer;
    services::FieldSession session;
    services::Stock stock;
    services::Tagging tagging;
    services::Amending amending;
    services::Station station;

    /// What a service did: tells all pages on success; gives the three signals of hand and ear. Returns it unchanged.
    template <class T>
    Result<T> done(Result<T> result) {
        if (result)
            announce();
        else
            emit feedback(Feedback::Refused);
        return result;
    }
    /// Takes a tap back. Where that was the end of a session, it goes on.
    [[nodiscard]] Result<services::Saved> takeBack(const journal::Uuid& act, const std::string& why);
    enum class Feedback { Saved, Look, Refused };
    Q_ENUM(Feedback)
    /// Says anew what carries over from one butterfly to the next; `change` gets it as it is.
    template <class Change>
    void carryOver(Change change) {
        auto persisting = session.persisting();
        change(persisting);
        // Where it can't be kept it still holds while the program runs; a failing disk is told at the next save.
        (void)session.carry(std::move(persisting));
        emit changed();
    }
    /// The last saved thing deserves a look: a doubt, a question.
    void askForALook() { emit feedback(Feedback::Look); }

    // Names of things, for the screen ------------------------------------------------------------------------

    /// Initials, "visitor 3", or empty.
    [[nodiscard]] QString personName(const std::string& id);
    /// Empty when it has none or is not known.
    [[nodiscard]] QString siteName(const std::string& id);
    /// "Ridge meadow ±6 m", "1.2 km NE of Viroqua, Vernon County, Wisconsin ±6 m", "±6 m", the site's name, or empty: a
    /// place as a line holds it.
    [[nodiscard]] QString placeText(const boost::json::object& place);
    /// "1.2 km NE of Viroqua, Vernon County, Wisconsin": its words without the name of its site, or empty.
    [[nodiscard]] QString aroundText(const boost::json::object& place);
    /// "10:42" of the day and zone in which it was written.
    [[nodiscard]] static QString clockText(const std::string& utc, std::int64_t offsetMin);
    /// "5 September 2026"
    [[nodiscard]] static QString dateText(const std::string& utc, std::int64_t offsetMin);
    /// "5 Sep"
    [[nodiscard]] static QString dayText(const std::string& utc, std::int64_t offsetMin);
    /// Where we are now, in words: "Ridge meadow ±6 m", or by the site, or that nothing is known yet.
    [[nodiscard]] QString hereText();
    /// The open session; when none is open the one that was touched last. Empty before the first.
    [[nodiscard]] std::string sessionShown();
    /// That session; nothing before the first, or where it can't be read.
    [[nodiscard]] std::optional<journal::Record> sessionRecord();
    /// "wild", "reared", or empty
    [[nodiscard]] static QString originText(const std::string& origin);
    /// What became of it, as TagMark draws it: on, held, spoiled, free.
    [[nodiscard]] static QString markOf(const butterfly::Butterfly& butterfly);
    /// What a free text or initials cited by a line say; empty when erased.
    [[nodiscard]] QString keptText(const boost::json::object& body, std::string_view member);
    /// A picture cited by a line; null when erased, not here, or none that can be shown.
    [[nodiscard]] QImage keptPicture(const boost::json::object& body, std::string_view member);
    /// "female", "male", "can't tell"
    [[nodiscard]] static QString sexText(const std::string& sex);
    /// "let go", "in the cage" ...
    [[nodiscard]] static QString fateText(const butterfly::Butterfly& butterfly);
    /// A tag as TagMark draws it: next, free, on, held, spoiled, paper, missing, given, elsewhere, unclear.
    [[nodiscard]] QString markOf(const tag::Code& code, const std::optional<tag::Code>& next);
    /// An open doubt, for whoever has just caused it.
    [[nodiscard]] static QString doubtText(const std::string& key);
    /// Butterflies let go by this file's lines in the calendar year of now, local.
    [[nodiscard]] int letGoThisSeason();

    /// The system or the person refused positions: pages say so instead of waiting for one. False once one has come.
    void setPositionRefused(bool isRefused);
    [[nodiscard]] bool isPositionRefused() const { return m_isPositionRefused; }

    /// What somebody should hear about the file, and what to do.
    [[nodiscard]] static QString sentenceFor(storage::Warning warning);
    /// A sentence for a person: what happened, what is safe, what to do.
    [[nodiscard]] static QString sentenceFor(const Error& error);

signals:
    /// After each commit, and when lines of others have come in.
    void changed();
    void feedback(discal::viewmodels::FieldPhone::Feedback which);

private:
    void announce() {
        emit feedback(Feedback::Saved);
        emit changed();
    }

    storage::Journal& m_journal;
    services::Clock& m_clock;
    services::PositionSource& m_positions;
    bool m_isPositionRefused{false};
};

} // namespace discal::viewmodels
