#pragma once

#include "core/place/gazetteer/borders.h"
#include "core/place/gazetteer/file.h"
#include "core/place/gazetteer/names.h"
#include "core/place/gazetteer/towns.h"
#include "core/place/geodesy.h"
#include "core/result.h"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

/// Place names from a position, and positions from names, without a network.
namespace discal::place {

class PlacePack;

/// A part of the world by its names; all empty when there is none.
struct AreaName {
    std::string name;
    /// Country: ISO 3166-1 alpha-2. Region: ISO 3166-2, empty where ISO has none for it. County: the
    /// country's own number: FIPS in the United States, INEGI's in Mexico, Statistics Canada's census
    /// division.
    std::string code;
    bool operator==(const AreaName&) const = default;
};

/// How the county was found.
enum class CountyBy : std::uint8_t {
    Nothing,      ///< no county is known
    Boundary,     ///< inside its boundary
    NearestShore, ///< off the shore: the nearest county of the same country within kShoreMetres
    NearestTown,  ///< the county of the nearest place of the same region: right in about 7 of 10 cases
    Pack,         ///< inside a boundary of a place pack
};

/// So far off its shore a place still belongs to a county. Source: the traps of our design.
inline constexpr double kShoreMetres = 25'000;
/// Boundaries are drawn with such an error, in metres: a place nearer to a line than this, or than its own
/// uncertainty, may lie on the other side; beside the bends of a county's border also one up to kMostThinnedMetres away
/// (gazetteer/borders.h). Most wrong counties do (DEVELOPERS.md has the shares).
inline constexpr double kLineMetres = 1'000;
/// No town is looked for beyond this.
inline constexpr double kTownMetres = 250'000;

/// A town as seen from a place.
struct NearbyTown {
    std::string name;
    AreaName region; ///< the town's own, which need not be the place's
    AreaName country;
    double metres{0};                     ///< from the town to the place, on the ellipsoid
    double azimuth{0};                    ///< at the town, towards the place: degrees clockwise from north
    std::string_view bearing{};           ///< the same among 16 compass words
    std::optional<int> elevationMetres{}; ///< of the town
};

/// What lies on the other side of the nearest line.
struct Neighbour {
    AreaName county; ///< empty where the neighbour is known as a region or country only
    AreaName region;
    AreaName country;
    double metres{0}; ///< to the line; 0 when boundaries overlap there
};

struct Place {
    AreaName country;
    AreaName region;
    AreaName county; ///< with its type word: Vernon County, Orleans Parish, Alexandria city
    CountyBy countyBy{CountyBy::Nothing};
    /// There is a line within max(uncertainty, kLineMetres), or within its own error: county (or region, or country)
    /// may be the neighbour's. Kept apart from the position's own uncertainty: that is coordinateUncertaintyInMeters,
    /// this is a georeferenceRemark.
    std::optional<Neighbour> neighbour;
    bool isOffshore{false};         ///< outside every polygon, by more than their error
    std::optional<NearbyTown> town; ///< nothing within kTownMetres: a remote place

    /// The county is inside its boundary, of the file or of a pack, and no line is near.
    [[nodiscard]] bool isCountyCertain() const {
        return (countyBy == CountyBy::Boundary || countyBy == CountyBy::Pack) && !neighbour;
    }
};

/// A town found by its name.
struct FoundTown {
    std::string name;
    AreaName county;
    AreaName region;
    AreaName country;
    LatLon position;
    double people{0}; ///< to about 7 %; 0: not known
    std::optional<int> elevationMetres{};
    std::optional<double> metres{}; ///< from where the search was made
    /// Radius about `position` that holds the town, for who knows no more than its name. See
    /// townExtentMetres().
    double extentMetres{0};
};

/// Radius, in metres, that a town of so many people is taken to have: a disc at 1,000 people a square
/// kilometre, near the mean of American urban areas in the census of 2020 (from memory), and at least 1 km.
/// Our choice: no extents are in the data.
[[nodiscard]] double townExtentMetres(double people);

/// Places of the whole world from a file made by assets/gazetteer/generate.mjs. Reads the bytes where they
/// lie, keeps nothing else, opens nothing: the bytes must outlive it. Any number of threads may ask at once.
class Gazetteer {
public:
    /// Looks at the head only: microseconds. NewerFile; Corrupt, with what is wrong. Damage elsewhere is
    /// found by verify(); unfound it can give wrong names, but no read outside the bytes.
    [[nodiscard]] static Result<Gazetteer> open(std::span<const std::byte> bytes);
    /// Compares the whole file with its checksum: some milliseconds, so at a start behind the first screen.
    /// BadChecksum.
    [[nodiscard]] Result<void> verify() const { return m_file.verify(); }
    /// The version that words are stored with: "discal-2026.2".
    [[nodiscard]] std::string_view edition() const { return m_file.edition(); }

    /// Latitude -90 to 90, longitude -180 to 180 degrees (WGS84); else, and for NaN, a Place of nothing.
    /// Uncertainty in metres, at most 100 km of it is looked at; negative or NaN counts as 0. Counties of
    /// `pack` go before those of the file.
    [[nodiscard]] Place locate(const LatLon& at, double uncertaintyMetres,
                               const PlacePack* pack = nullptr) const;

    /// Towns whose names begin with what was typed, accents and signs aside ("saint" also finds "St."),
    /// nearest and largest first, at most `most`. Nothing for nothing typed.
    [[nodiscard]] std::vector<FoundTown> find(std::string_view typed, std::optional<LatLon> from,
                                              std::size_t most) const;

    /// Borders and towns as they lie in the file; what is handed out refers to this gazetteer, which must
    /// outlive it. For maps see map_lines.h.
    [[nodiscard]] const GazetteerFile& file() const { return m_file; }
    [[nodiscard]] Borders borders() const { return Borders(m_file); }
    [[nodiscard]] Towns towns() const { return Towns(m_file); }
    [[nodiscard]] std::string townName(const TownRecord& town) const {
        return TownNames(m_file).at(town.name);
    }

private:
    explicit Gazetteer(const GazetteerFile& file) : m_file(file) {}
    GazetteerFile m_file;
};

} // namespace discal::place
