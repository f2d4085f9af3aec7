#pragma once

#include "core/place/gazetteer.h"
#include "core/result.h"
#include "storage/mapped_file.h"

#include <filesystem>
#include <optional>

namespace discal::services {

/// Where the file of place names is: $DISCAL_GAZETTEER, else ../share/discal/places.gazetteer beside the
/// program, else the one of the source tree that this was built from. NotFound.
[[nodiscard]] Result<std::filesystem::path> ownGazetteer();

/// A gazetteer with the mapped file that it reads; none where the bytes are part of the program. Movable; what `names`
/// answers is its own.
struct OpenGazetteer {
    std::optional<storage::MappedFile> file;
    place::Gazetteer names;
};
/// Maps and opens, without the checksum (Gazetteer::verify). Errors of ownGazetteer(), MappedFile and
/// Gazetteer.
[[nodiscard]] Result<OpenGazetteer> openGazetteer(const std::filesystem::path& path);
/// The own one: the file of ownGazetteer(), or where the program was built with it (DISCAL_GAZETTEER_INSIDE, for phones)
/// and DISCAL_GAZETTEER names no other, the bytes inside. Without the checksum; errors as above.
[[nodiscard]] Result<OpenGazetteer> openOwn();
/// The own one, compared with its checksum: some 20 ms. For who opens it to write its words down at once. Errors of
/// openOwn() and Gazetteer::verify().
[[nodiscard]] Result<OpenGazetteer> openChecked();

} // namespace discal::services
