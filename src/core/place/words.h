#pragma once

#include "core/place/gazetteer.h"

#include <string>
#include <string_view>

namespace discal::place {

/// A distance as people write it: "1.2 km", from 10 km on whole kilometres, below 100 m "80 m". Metres 0 or
/// more.
[[nodiscard]] std::string distanceWords(double metres);

/// The place as a person would write it and a data set takes it, in English on every screen and in every
/// file, since it is stored: "1.2 km NE of Viroqua, Vernon County, Wisconsin". Outside the United States the
/// country ends it. No town: the rest alone. Nearer to the middle of a town than 100 m: the town alone. A
/// town across a line says so: "2 km W of La Crosse (Wisconsin), ...". A place of nothing is an empty text.
[[nodiscard]] std::string localityOf(const Place& place);
/// The same behind the name of the site that the place lies in: "Ridge meadow, 1.2 km NE of Viroqua, ...".
[[nodiscard]] std::string localityOf(const Place& place, std::string_view siteName);

/// What lies across the line that is near, by its smallest name; with its region or country where that is
/// another: "Crawford County", "Houston County, Minnesota". Empty when no line is near.
[[nodiscard]] std::string neighbourWords(const Place& place);

/// What a reader of the data should know of it (georeferenceRemarks): a line that is near, a county by its
/// nearest town or shore. Empty when there is nothing to say.
[[nodiscard]] std::string remarksOf(const Place& place);

} // namespace discal::place
