#include "services/known_sites.h"

#include "core/place/geodesy.h"

#include <algorithm>

namespace discal::services {

using journal::numberIn;

Result<std::vector<SiteFromHere>> sitesFrom(storage::Journal& journal, const place::Position& here) {
    const auto sites = journal.projections().records(journal::RecordType::Site);
    if (!sites)
        return fail(sites.error());
    std::vector<SiteFromHere> out;
    for (const auto& site : *sites) {
        const auto* position = journal::objectIn(site.members, "position");
        const auto lat = position != nullptr ? numberIn(*position, "lat_e7") : std::nullopt;
        const auto lon = position != nullptr ? numberIn(*position, "lon_e7") : std::nullopt;
        if (!lat || !lon)
            continue;
        SiteFromHere from;
        from.id = site.key;
        from.name = journal::textIn(site.members, "name").value_or("");
        from.metres = place::flightBetween(place::latLonOf(here), {static_cast<double>(*lat) / 1e7,
                                                                   static_cast<double>(*lon) / 1e7}).metres;
        const std::int64_t radiusMm = numberIn(site.members, "radius_mm").value_or(0);
        const std::int64_t reachMm = (radiusMm > 0 ? radiusMm : kUnsaidRadiusMm) +
                                     numberIn(*position, "uncertainty_mm").value_or(0) + here.uncertaintyMm;
        from.isHere = from.metres * 1000 <= static_cast<double>(reachMm);
        out.push_back(std::move(from));
    }
    std::sort(out.begin(), out.end(), [](const auto& a, const auto& b) { return a.metres < b.metres; });
    return out;
}

} // namespace discal::services
