#pragma once

#include "core/place/gazetteer.h"
#include "services/kept_packs.h"
#include "storage/journal.h"

#include <boost/json.hpp>
#include <optional>
#include <string>

namespace discal::services {

/// Puts places into words as lines keep them. A site wins over what is around it: inside its radius its name goes
/// first. Borrows the journal; on its thread.
class PlaceWords {
public:
    explicit PlaceWords(storage::Journal& journal) : m_journal(journal) {}

    /// Asked from now on; nullptr: places get no words. `names` must live as long as this asks it.
    void setNames(const place::Gazetteer* names);
    /// nullptr where there are none.
    [[nodiscard]] const place::Gazetteer* names() const { return m_names; }
    /// Counties of `packs` go before those of the gazetteer; nullptr: no packs. Said anew whenever they change; they
    /// must live as long as this asks them.
    void setPacks(const std::vector<NamedPack>* packs);

    /// Adds `words` and `gazetteer`, what they are from, to a place as a line's body holds it: those of its `position`;
    /// those of the site's own where there is none. Nothing is added where neither is known, where no names are there,
    /// or where they know nothing of that part of the Earth.
    void addTo(boost::json::object& place);

private:
    struct Spot {
        place::LatLon at;
        double uncertaintyMetres{0};
        std::string site; ///< its name, where the spot lies in it
    };
    [[nodiscard]] std::optional<Spot> spotOf(const boost::json::object& place);
    [[nodiscard]] std::optional<Spot> siteItself(const std::string& id);
    [[nodiscard]] std::string siteHolding(const place::Position& position, const std::string& chosen);
    struct Answer {
        place::LatLon at;
        double uncertaintyMetres{0};
        std::string words;
        std::string from;
    };
    /// The last one again as long as nobody moves: it is asked every second.
    [[nodiscard]] const Answer& answerFor(const Spot& spot);

    storage::Journal& m_journal;
    const place::Gazetteer* m_names{nullptr};
    const std::vector<NamedPack>* m_packs{nullptr};
    std::optional<Answer> m_last;
};

} // namespace discal::services
