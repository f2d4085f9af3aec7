#include "services/place_words.h"

#include "core/place/words.h"
#include "services/known_sites.h"

#include <algorithm>

namespace discal::services {

namespace json = boost::json;
using journal::numberIn;
using journal::RecordType;
using journal::textIn;

namespace {

constexpr double kMmInAMetre = 1000;

std::optional<place::Position> positionIn(const json::object& holder) {
    const auto* p = journal::objectIn(holder, "position");
    const auto lat = p != nullptr ? numberIn(*p, "lat_e7") : std::nullopt;
    const auto lon = p != nullptr ? numberIn(*p, "lon_e7") : std::nullopt;
    if (!lat || !lon)
        return std::nullopt;
    place::Position position;
    position.latE7 = static_cast<std::int32_t>(*lat);
    position.lonE7 = static_cast<std::int32_t>(*lon);
    position.uncertaintyMm = numberIn(*p, "uncertainty_mm").value_or(0);
    return position;
}

} // namespace

void PlaceWords::setNames(const place::Gazetteer* names) {
    m_names = names;
    m_last.reset();
}

void PlaceWords::setPacks(const std::vector<NamedPack>* packs) {
    m_packs = packs;
    m_last.reset();
}

void PlaceWords::addTo(json::object& place) {
    const auto spot = m_names != nullptr ? spotOf(place) : std::nullopt;
    if (!spot)
        return;
    const Answer& answer = answerFor(*spot);
    if (answer.words.empty())
        return;
    place["words"] = spot->site.empty() ? answer.words : spot->site + ", " + answer.words;
    place["gazetteer"] = answer.from;
}

std::optional<PlaceWords::Spot> PlaceWords::spotOf(const json::object& place) {
    const std::string chosen(textIn(place, "site").value_or(""));
    const auto position = positionIn(place);
    if (!position)
        return chosen.empty() ? std::nullopt : siteItself(chosen);
    return Spot{place::latLonOf(*position), static_cast<double>(position->uncertaintyMm) / kMmInAMetre,
                siteHolding(*position, chosen)};
}

std::optional<PlaceWords::Spot> PlaceWords::siteItself(const std::string& id) {
    const auto site = m_journal.projections().record(RecordType::Site, id);
    const auto middle = site && *site ? positionIn((*site)->members) : std::nullopt;
    if (!middle)
        return std::nullopt;
    const std::int64_t radiusMm = numberIn((*site)->members, "radius_mm").value_or(0);
    const std::int64_t reachMm = middle->uncertaintyMm + (radiusMm > 0 ? radiusMm : kUnsaidRadiusMm);
    return Spot{place::latLonOf(*middle), static_cast<double>(reachMm) / kMmInAMetre,
                std::string(textIn((*site)->members, "name").value_or(""))};
}

/// The one that was chosen, unless it is known to lie elsewhere; else the nearest that we stand in.
std::string PlaceWords::siteHolding(const place::Position& position, const std::string& chosen) {
    const auto sites = sitesFrom(m_journal, position);
    if (!sites)
        return {};
    const auto said = std::find_if(sites->begin(), sites->end(), [&](const auto& s) { return s.id == chosen; });
    if (said != sites->end() && said->isHere)
        return said->name;
    if (said == sites->end() && !chosen.empty())
        if (const auto site = m_journal.projections().record(RecordType::Site, chosen); site && *site)
            return std::string(textIn((*site)->members, "name").value_or(""));
    const auto here = std::find_if(sites->begin(), sites->end(), [](const auto& s) { return s.isHere; });
    return here != sites->end() ? here->name : std::string();
}

const PlaceWords::Answer& PlaceWords::answerFor(const Spot& spot) {
    if (m_last && m_last->at.lat == spot.at.lat && m_last->at.lon == spot.at.lon &&
        m_last->uncertaintyMetres == spot.uncertaintyMetres)
        return *m_last;
    const NamedPack* pack = nullptr;
    if (m_packs != nullptr) {
        const auto holds = [&](const NamedPack& p) { return p.pack.at(spot.at, 0).has_value(); };
        const auto found = std::find_if(m_packs->begin(), m_packs->end(), holds);
        pack = found != m_packs->end() ? &*found : nullptr;
    }
    const place::Place place =
        m_names->locate(spot.at, spot.uncertaintyMetres, pack != nullptr ? &pack->pack : nullptr);
    Answer answer{spot.at, spot.uncertaintyMetres, place::localityOf(place), std::string(m_names->edition())};
    if (pack != nullptr)
        answer.from += ", " + pack->name;
    m_last = std::move(answer);
    return *m_last;
}

} // namespace discal::services
