#include "core/place/gazetteer.h"
#include "core/place/map_land.h"
#include "core/place/map_lines.h"
#include "core/place/words.h"

#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <span>

// Any bytes as the file of place names. The checksum is asked and then not heeded: whoever forgets it must
// get wrong names at worst. Run with the address sanitizer, which sees a byte read beyond the end.

using namespace discal::place;

namespace {

void require(bool holds) {
    if (!holds)
        std::abort();
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::span bytes(reinterpret_cast<const std::byte*>(data), size);
    const auto opened = Gazetteer::open(bytes);
    if (!opened)
        return 0;
    (void)opened->verify();
    (void)opened->edition();
    constexpr std::array<LatLon, 9> kPlaces{{{43.8, -91.25},
                                             {43.6, -91.1},
                                             {43.99, -91.49},
                                             {-16.8, 179.95},
                                             {-16.8, -179.99},
                                             {0, 0},
                                             {90, 0},
                                             {-90, 180},
                                             {48.99, -100}}};
    for (const LatLon& at : kPlaces)
        for (const double uncertainty : {0.0, 20'000.0}) {
            const Place place = opened->locate(at, uncertainty);
            (void)localityOf(place);
            (void)remarksOf(place);
            require(!place.town || (place.town->metres >= 0 && place.town->bearing.size() <= 3));
            require(!place.neighbour || place.neighbour->metres >= 0);
        }
    for (const char* typed : {"La", "st", "viroqua", "\xc3\xa9", "\xff"})
        for (const FoundTown& town : opened->find(typed, LatLon{43.8, -91.25}, 5))
            require(town.extentMetres >= 1'000);
    // As a map does
    for (const MapBox& box : {MapBox{-91.6, 43.4, -90.9, 44.1}, {179.6, -17.4, 180.4, -16.2}, {-170, -80, -40, 80}}) {
        forEachLine(*opened, box, [](LineKind, std::span<const LatLon> points) { require(points.size() >= 2); });
        forEachTown(*opened, box, 0, [&](const TownRecord& town, const LatLon&) { (void)opened->townName(town); });
        const Land land = landIn(*opened, box, 0.001);
        for (const auto* rings : {&land.counties, &land.rest})
            for (const Ring& ring : *rings)
                require(ring.size() >= 3);
    }
    return 0;
}
