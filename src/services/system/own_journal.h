#pragma once

#include "core/result.h"

#include <filesystem>

namespace discal::services {

/// The user's own journal: $XDG_DATA_HOME/discal/journal.discal, or ~/.local/share/discal/journal.discal.
/// NotFound when the environment names neither a data folder nor a home.
/// Source: XDG Base Directory Specification 0.8; a relative XDG_DATA_HOME is to be ignored.
[[nodiscard]] Result<std::filesystem::path> ownJournal();

/// Makes the folder for it, for its owner only. ReadOnly or Io (number: errno) with the path.
[[nodiscard]] Result<void> makeFolderFor(const std::filesystem::path& journal);

} // namespace discal::services
