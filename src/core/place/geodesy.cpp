#include "core/place/geodesy.h"

#include <GeographicLib/Geodesic.hpp>

namespace discal::place {

LatLon latLonOf(const Position& position) { return {position.latE7 / 1e7, position.lonE7 / 1e7}; }

Flight flightBetween(const LatLon& from, const LatLon& to) {
    Flight flight;
    GeographicLib::Geodesic::WGS84().Inverse(from.lat, from.lon, to.lat, to.lon, flight.metres, flight.azimuthFrom,
                                             flight.azimuthTo);
    return flight;
}

} // namespace discal::place
