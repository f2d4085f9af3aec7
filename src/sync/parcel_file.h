#pragma once

#include "core/result.h"
#include "storage/journal.h"

#include <filesystem>

/// `.discal-parcel` files; see parcel.h for what is in them.
namespace discal::sync {

/// Writes a new file, readable by its owner only, since blobs hold people's initials; returns when it is on
/// stable storage. Exists (detail: the path) if anything is there by that name (checked, not atomically).
/// Otherwise errors of encodeParcel, ReadOnly, DiskFull, Io (then nothing stands there by that name, or the
/// whole parcel, not surely on stable storage).
[[nodiscard]] Result<void> writeParcelFile(const std::filesystem::path& path,
                                           const storage::Delivery& delivery);

/// Reads at most kLargestParcel bytes, whatever the path leads to. NotFound, ReadOnly (no permission) or Io
/// (number: errno), each with the path; otherwise as decodeParcel.
[[nodiscard]] Result<storage::Delivery> readParcelFile(const std::filesystem::path& path);

} // namespace discal::sync
