#include "core/exchange/csv.h"
#include "core/place/place_pack.h"
#include "core/place/typed_coordinates.h"
#include "core/place/uncertainty.h"

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

// Any bytes, to everything that reads places as text: coordinates, distances, tables, packs of boundaries.

using namespace discal;
using namespace discal::place;

namespace {

void require(bool holds) {
    if (!holds)
        std::abort();
}

void checkDegrees(std::string_view text, Axis axis) {
    const auto degrees = degreesIn(text, axis);
    if (!degrees) {
        require(!degrees.error().detail.empty());
        return;
    }
    require(std::abs(degrees->degreesE7) <= (axis == Axis::Latitude ? 900'000'000 : 1'800'000'000));
    require(degrees->stepDegrees > 0 && degrees->stepDegrees <= 1);
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    checkDegrees(text, Axis::Latitude);
    checkDegrees(text, Axis::Longitude);
    if (const auto both = positionIn(text))
        require(std::abs(both->latLon().lat) <= 90 && std::abs(both->latLon().lon) <= 180);
    if (const auto half = offsetPrecision(text))
        require(*half > 0);
    exchange::CsvReader reader(text);
    std::vector<std::string> fields;
    for (std::size_t rows = 0;; ++rows) {
        const auto read = reader.next(fields);
        if (!read || !*read)
            break;
        require(rows < size && !fields.empty() && reader.line() >= 1);
        // What was read is read again from what is written; a byte order mark only where it begins no file.
        if (fields.front().starts_with("\xEF\xBB\xBF"))
            continue;
        const std::string written = exchange::csvRow(fields);
        exchange::CsvReader again(written);
        std::vector<std::string> same;
        require(again.next(same).value_or(false) && same == fields);
    }
    if (const auto pack = PlacePack::fromGeoJson(text))
        for (const LatLon& at : {LatLon{19.6, -100.3}, LatLon{0, 0}, LatLon{90, 180}})
            (void)pack->at(at, 1'000);
    return 0;
}
