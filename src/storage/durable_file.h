#pragma once

#include "core/result.h"

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

/// Small files that must be there whole or not at all (POSIX).
namespace discal::storage {

/// The whole file; nothing if there is none. Io otherwise.
[[nodiscard]] Result<std::optional<std::string>> readWhole(const std::filesystem::path& path);

/// Writes beside `path`, syncs, renames over it, syncs the folder. `mode` as for chmod. On an error the old file stands.
[[nodiscard]] Result<void> writeDurably(const std::filesystem::path& path, std::string_view bytes, unsigned mode);

/// Syncs `from`, renames it to `to`, syncs the folder. Exists if `to` is there (checked, not atomically).
[[nodiscard]] Result<void> renameDurably(const std::filesystem::path& from, const std::filesystem::path& to);

} // namespace discal::storage
