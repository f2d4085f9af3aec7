#pragma once

#include "core/journal/correctable.h"
#include "core/place/position.h"
#include "services/line_writer.h"
#include "services/place_words.h"
#include "services/stock.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// Changing one's mind without erasing anything.
namespace discal::services {

class Amending {
public:
    Amending(LineWriter& writer, Stock& stock) : m_writer(writer), m_stock(stock) {}

    /// Says anew what a line said of `field`; the old value stays in the journal. `line` is its id. A code is
    /// read as typed, a number kept as a number. Corrections that we have seen are named, so that only ones
    /// made without knowing of each other are at odds. What was inferred from the time or the place of a note
    /// follows in the same tap. BadInput names the fields of such a line, or the legal form; NotAllowed where
    /// it has none (core/journal/correctable.h).
    [[nodiscard]] Result<Saved> correct(const journal::Uuid& line, const std::string& field, const std::string& value,
                                        const std::string& why);

    /// A place as a person says it: a known site, a typed position, or both.
    struct Where {
        std::optional<journal::Uuid> site{};
        std::optional<place::Position> position{};
    };
    /// The same for `taken` of the line that noted a butterfly, and `place` of the others. It is said anew as
    /// a whole: a site alone takes the old position away, a position alone the old site. NotFound for an
    /// unknown site. `words`, where given, puts it into words as for a tap.
    [[nodiscard]] Result<Saved> correctPlace(const journal::Uuid& line, const std::string& field,
                                             const Where& where, const std::string& why,
                                             PlaceWords* words = nullptr);

    /// Takes back a whole tap: all lines of the act. Taking back a withdrawal brings them again.
    [[nodiscard]] Result<Saved> withdraw(const journal::Uuid& act, const std::string& why);

    /// The last tap of this device that is not taken back and can be; nothing if there is none.
    [[nodiscard]] Result<std::optional<journal::Uuid>> lastAct();

    /// Removes a person's initials, and the notes written by that person, for good: in this file now, in every other
    /// store when the line gets there. NotAllowed where the station has an office and this is not it.
    [[nodiscard]] Result<Saved> erasePerson(const journal::Uuid& person, const std::string& why);

    /// Settles a doubt (an office only): holds until further evidence appears.
    [[nodiscard]] Result<Saved> settle(const std::string& doubtKey, const std::string& choice, const std::string& why);

private:
    struct Target {
        journal::Amended line;
        const journal::Correctable* field;
    };
    [[nodiscard]] Result<Target> targetOf(const journal::Uuid& line, const std::string& field);
    [[nodiscard]] Result<Saved> say(const Target& target, boost::json::value value, const std::string& why);
    [[nodiscard]] Result<void> addInferred(LineWriter::Commit& commit, const journal::Amended& noted,
                                           std::string_view field, const boost::json::value& value,
                                           const std::string& why);

    LineWriter& m_writer;
    Stock& m_stock;
};

} // namespace discal::services
