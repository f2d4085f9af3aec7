#pragma once

#include "core/place/gazetteer.h"
#include "core/result.h"
#include "storage/mapped_file.h"

#include <filesystem>

namespace discal::services {

/// Where the file of place names is: $DISCAL_GAZETTEER, else ../share/discal/places.gazetteer beside the
/// program, else the one of the source tree that this was built from. NotFound.
[[nodiscard]] Result<std::filesystem::path> ownGazetteer();

/// A gazetteer with the mapped file that it reads. Movable; what `names` answers is its own.
struct OpenGazetteer {
    storage::MappedFile file;
    place::Gazetteer names;
};
/// Maps and opens, without the checksum (Gazetteer::verify). Errors of ownGazetteer(), MappedFile and
/// Gazetteer.
[[nodiscard]] Result<OpenGazetteer> openGazetteer(const std::filesystem::path& path);

} // namespace discal::services
