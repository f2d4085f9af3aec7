#include "core/place/gazetteer.h"

#include "core/place/compass.h"
#include "core/place/place_pack.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace discal::place {

namespace {

/// How far polygons of one shore lie apart, or from it: nearer than this nobody is at sea. The Census
/// Bureau's points along shores are rounded to 0.0036 degree of longitude in our source, some 280 m.
constexpr double kShoreError = 200;
constexpr double kFarthestLine = 100'000;
/// Most places have a town so near.
constexpr double kNearTownMetres = 20'000;
/// The nearest place tells the county no farther than this.
constexpr double kCountyTownMetres = 150'000;

AreaName nameOf(const AreaRecord& area) {
    return {std::string(area.name), std::string(area.code)};
}

/// An area and what it is part of.
struct Lineage {
    AreaIndex county{kNoArea};
    AreaIndex region{kNoArea};
    AreaIndex country{kNoArea};
};

class Lookup {
public:
    Lookup(const GazetteerFile& file, const LatLon& at)
        : m_file(file), m_borders(file), m_towns(file), m_from(at) {}

    Place place(const LatLon& at, double lineMetres, const PlacePack* pack) {
        std::array<AreaIndex, kMostHolders> holders{};
        std::size_t count = 0;
        m_borders.areasIn(m_from.column(), m_from.row(), [&](const Borders::Met& met) {
            if (count < holders.size() && (met.isWhole || m_borders.contains(met.area, m_from)))
                holders[count++] = met.area;
        });
        // Counties come first; coarse polygons are the last to be asked.
        const auto held = std::span(holders).first(count);
        const auto fine =
            std::find_if(held.begin(), held.end(), [&](AreaIndex a) { return !m_file.area(a).isCoarse; });
        if (fine != held.end())
            m_lineage = lineageOf(*fine);
        else
            findShore(held.empty() ? kNoArea : held.front());
        Place place;
        place.isOffshore = m_isOffshore;
        if (m_lineage.country != kNoArea)
            place.country = nameOf(m_file.area(m_lineage.country));
        if (m_lineage.region != kNoArea)
            place.region = nameOf(m_file.area(m_lineage.region));
        findTowns(place, at);
        if (m_lineage.county != kNoArea) {
            place.county = nameOf(m_file.area(m_lineage.county));
            place.countyBy = m_isOffshore ? CountyBy::NearestShore
                             : m_isByTown ? CountyBy::NearestTown
                                          : CountyBy::Boundary;
        }
        findNeighbour(place, lineMetres);
        if (pack != nullptr)
            askPack(place, *pack, at, lineMetres);
        return place;
    }

private:
    static constexpr std::size_t kMostHolders = 16;

    [[nodiscard]] Lineage lineageOf(AreaIndex area) const {
        Lineage lineage;
        for (int steps = 0; area != kNoArea && steps < 3; ++steps) {
            const AreaRecord record = m_file.area(area);
            if (record.kind == AreaRecord::Kind::County)
                lineage.county = area;
            else if (record.kind == AreaRecord::Kind::Region)
                lineage.region = area;
            else
                lineage.country = area;
            area = record.parent;
        }
        return lineage;
    }

    /// Outside of every polygon that counts: the nearest answers, as long as it is of the country whose water
    /// this is.
    void findShore(AreaIndex water) {
        if (water != kNoArea)
            m_lineage = lineageOf(water);
        const Lineage owner = m_lineage;
        double least = kShoreMetres;
        bool isOfRegion = false;
        bool isAshore = false;
        for (const AreaIndex area : m_borders.areasAround(m_from, kShoreMetres)) {
            if (m_file.area(area).isCoarse)
                continue;
            const Lineage lineage = lineageOf(area);
            if (owner.country != kNoArea && lineage.country != owner.country)
                continue;
            // Of the state whose water it is, if that has a shore so near.
            const bool isSame = owner.region == kNoArea || lineage.region == owner.region;
            if (isOfRegion && !isSame)
                continue;
            const double metres =
                m_borders.metresToBorder(area, m_from, isSame && !isOfRegion ? kShoreMetres : least);
            if (std::isinf(metres))
                continue;
            isOfRegion = isOfRegion || isSame;
            least = metres;
            m_lineage = lineage;
            isAshore = metres < kShoreError;
        }
        m_isOffshore = !isAshore;
        // A county of another state would contradict the state's own water.
        if (owner.region != kNoArea && m_lineage.region != owner.region)
            m_lineage = owner;
    }

    void findTowns(Place& place, const LatLon& at) {
        // From Canada's and Mexico's places also the county is known.
        const bool asksCounty =
            m_lineage.county == kNoArea && m_lineage.region != kNoArea && hasTownCounties();
        TownRecord best;
        double bestScore = std::numeric_limits<double>::infinity();
        double nearestOfRegion = kCountyTownMetres;
        AreaIndex countyByTown = kNoArea;
        const auto worthwhile = [&] {
            return std::max(bestScore * kMostWeight, asksCounty ? nearestOfRegion : 0.0);
        };
        // Near first: what is found there bounds how far to look.
        for (const double reach : {kNearTownMetres, kTownMetres}) {
            m_towns.around(m_from, std::min(reach, worthwhile()), [&](const TownRecord& town) {
                const double metres = m_from.metresTo(town.x, town.y);
                if (metres <= kTownMetres && !town.isPart && metres / kMostWeight < bestScore) {
                    const double score = metres / (Towns::weightOf(town.people) * kinship(town.area));
                    if (score < bestScore) {
                        bestScore = score;
                        best = town;
                    }
                }
                if (asksCounty && metres < nearestOfRegion) {
                    const Lineage lineage = lineageOf(town.area);
                    if (lineage.county != kNoArea && lineage.region == m_lineage.region) {
                        nearestOfRegion = metres;
                        countyByTown = lineage.county;
                    }
                }
                return worthwhile();
            });
            if (worthwhile() <= reach)
                break;
        }
        if (countyByTown != kNoArea && !m_isOffshore) {
            m_lineage.county = countyByTown;
            m_isByTown = true;
        }
        if (std::isinf(bestScore))
            return;
        const Lineage lineage = lineageOf(best.area);
        NearbyTown town;
        town.name = TownNames(m_file).at(best.name);
        if (lineage.region != kNoArea)
            town.region = nameOf(m_file.area(lineage.region));
        if (lineage.country != kNoArea)
            town.country = nameOf(m_file.area(lineage.country));
        const LatLon centre{best.y / static_cast<double>(kUnitsPerDegree),
                            best.x / static_cast<double>(kUnitsPerDegree)};
        const Flight way = flightBetween(centre, at);
        town.metres = way.metres;
        town.azimuth = way.azimuthFrom;
        town.bearing = compassWord(way.azimuthFrom);
        town.elevationMetres = best.elevationMetres;
        place.town = std::move(town);
    }

    [[nodiscard]] bool hasTownCounties() const {
        const std::string_view country = m_file.area(m_lineage.country).code;
        return country == "CA" || country == "MX";
    }

    /// A town of the same state before one across the line, and one across a national border last of all:
    /// that is how people name a place. Our choice.
    [[nodiscard]] double kinship(AreaIndex townArea) {
        if (townArea != m_kinOf) {
            const Lineage lineage = lineageOf(townArea);
            m_kinOf = townArea;
            m_kin = m_lineage.country == kNoArea           ? 1.0
                    : lineage.country != m_lineage.country ? 0.5
                    : m_lineage.region == kNoArea          ? 1.0
                    : lineage.region != m_lineage.region   ? 0.85
                                                           : 1.0;
        }
        return m_kin;
    }

    void findNeighbour(Place& place, double lineMetres) {
        const AreaIndex own = ownPolygon();
        // A cell that lies wholly in one area, and the circle wholly in the cell: most places.
        const auto around = m_borders.areasAround(m_from, std::max(lineMetres, kMostThinnedMetres));
        if (around.empty() || (around.size() == 1 && around.front() == own))
            return;
        double least = std::numeric_limits<double>::infinity();
        AreaIndex nearest = kNoArea;
        for (const AreaIndex area : around) {
            if (area == own || m_file.area(area).isCoarse || isPartOf(own, area))
                continue;
            double metres = m_borders.metresToLine(area, m_from, lineMetres);
            // Counties are of one source, and overlap nowhere.
            if (std::isinf(metres) && isCounty(area) && isCounty(own))
                continue;
            if (m_borders.contains(area, m_from))
                metres = std::isinf(metres) ? lineMetres : 0; // deep inside of both
            if (metres < least) {
                least = metres;
                nearest = area;
            }
        }
        if (nearest == kNoArea)
            return;
        const Lineage lineage = lineageOf(nearest);
        Neighbour neighbour;
        neighbour.metres = least;
        if (lineage.county != kNoArea)
            neighbour.county = nameOf(m_file.area(lineage.county));
        if (lineage.region != kNoArea)
            neighbour.region = nameOf(m_file.area(lineage.region));
        if (lineage.country != kNoArea)
            neighbour.country = nameOf(m_file.area(lineage.country));
        place.neighbour = std::move(neighbour);
    }

    [[nodiscard]] bool isCounty(AreaIndex area) const {
        return area != kNoArea && m_file.area(area).kind == AreaRecord::Kind::County;
    }
    /// The smallest area of ours that has a polygon.
    [[nodiscard]] AreaIndex ownPolygon() const {
        if (m_lineage.county != kNoArea && !m_isByTown)
            return m_lineage.county;
        return m_lineage.region != kNoArea ? m_lineage.region : m_lineage.country;
    }
    [[nodiscard]] bool isPartOf(AreaIndex area, AreaIndex larger) const {
        const Lineage lineage = area == kNoArea ? Lineage{} : lineageOf(area);
        return larger == lineage.region || larger == lineage.country;
    }

    static void askPack(Place& place, const PlacePack& pack, const LatLon& at, double lineMetres) {
        const auto hit = pack.at(at, lineMetres);
        if (!hit)
            return;
        place.county = hit->county;
        place.countyBy = CountyBy::Pack;
        if (hit->neighbour && (!place.neighbour || hit->metres < place.neighbour->metres))
            place.neighbour = Neighbour{*hit->neighbour, place.region, place.country, hit->metres};
    }

    /// Above the weight of the largest city (30 million people: 2.34).
    static constexpr double kMostWeight = 2.4;

    const GazetteerFile& m_file;
    Borders m_borders;
    Towns m_towns;
    Outlook m_from;
    Lineage m_lineage{};
    bool m_isOffshore{false};
    bool m_isByTown{false};
    AreaIndex m_kinOf{kNoArea};
    double m_kin{1.0};
};

bool isOnEarth(const LatLon& at) {
    return at.lat >= -90.0 && at.lat <= 90.0 && at.lon >= -180.0 && at.lon <= 180.0;
}

/// What else the typed beginning may stand for.
std::vector<std::string> readingsOf(const std::string& folded) {
    constexpr std::array<std::array<std::string_view, 2>, 4> kShort{
        {{"st", "saint"}, {"ste", "sainte"}, {"mt", "mount"}, {"ft", "fort"}}};
    std::vector<std::string> readings{folded};
    for (const auto& [brief, full] : kShort) {
        for (const auto& [from, to] : {std::pair(brief, full), std::pair(full, brief)})
            if (folded.size() > from.size() && folded.starts_with(from) && folded[from.size()] == ' ')
                readings.push_back(std::string(to) + folded.substr(from.size()));
    }
    return readings;
}

} // namespace

double townExtentMetres(double people) {
    constexpr double kPeoplePerSquareMetre = 1e-3;
    return std::max(1'000.0, std::sqrt(std::max(people, 0.0) / kPeoplePerSquareMetre / std::numbers::pi));
}

Result<Gazetteer> Gazetteer::open(std::span<const std::byte> bytes) {
    const auto file = GazetteerFile::open(bytes);
    if (!file)
        return fail(file.error());
    return Gazetteer(*file);
}

Place Gazetteer::locate(const LatLon& at, double uncertaintyMetres, const PlacePack* pack) const {
    if (!isOnEarth(at))
        return {};
    const double line =
        uncertaintyMetres > kLineMetres ? std::min(uncertaintyMetres, kFarthestLine) : kLineMetres;
    return Lookup(m_file, at).place(at, line, pack);
}

std::vector<FoundTown> Gazetteer::find(std::string_view typed, std::optional<LatLon> from,
                                       std::size_t most) const {
    const TownNames names(m_file);
    const std::string folded = names.folded(typed);
    if (folded.empty() || most == 0)
        return {};
    std::vector<TownNames::Range> ranges;
    for (const std::string& reading : readingsOf(folded))
        ranges.push_back(names.beginningWith(reading));
    std::optional<Outlook> outlook;
    if (from && isOnEarth(*from))
        outlook.emplace(*from);
    struct Scored {
        double score;
        TownRecord town;
        bool operator<(const Scored& other) const {
            return score < other.score || (score == other.score && town.name < other.town.name);
        }
    };
    // The best so far, best first: a single letter begins the names of some thousand towns.
    std::vector<Scored> found;
    const Towns towns(m_file);
    const auto isNamed = [&](std::uint32_t name) {
        return std::any_of(ranges.begin(), ranges.end(), [&](const TownNames::Range& range) {
            return name >= range.begin && name < range.end;
        });
    };
    towns.named(isNamed, [&](const TownRecord& town) {
        if (town.isPart)
            return;
        // Ten times as far is outweighed by a hundred times as many people. Our choice.
        const double away = outlook ? outlook->metresTo(town.x, town.y) + 10'000 : 1.0;
        const Scored scored{away / std::sqrt(town.people + 200), town};
        if (found.size() == most) {
            if (!(scored < found.back()))
                return;
            found.pop_back();
        }
        found.insert(std::upper_bound(found.begin(), found.end(), scored), scored);
    });
    std::vector<FoundTown> out;
    for (const Scored& scored : found) {
        const TownRecord& record = scored.town;
        FoundTown town;
        town.name = names.at(record.name);
        for (AreaIndex area = record.area, steps = 0; area != kNoArea && steps < 3; ++steps) {
            const AreaRecord r = m_file.area(area);
            (r.kind == AreaRecord::Kind::County   ? town.county
             : r.kind == AreaRecord::Kind::Region ? town.region
                                                  : town.country) = nameOf(r);
            area = r.parent;
        }
        town.position = {record.y / static_cast<double>(kUnitsPerDegree),
                         record.x / static_cast<double>(kUnitsPerDegree)};
        town.people = record.people;
        town.elevationMetres = record.elevationMetres;
        if (from && outlook)
            town.metres = flightBetween(*from, town.position).metres;
        town.extentMetres = townExtentMetres(record.people);
        out.push_back(std::move(town));
    }
    return out;
}

} // namespace discal::place
