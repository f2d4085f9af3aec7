#pragma once

#include "storage/journal_file.h"

#include <string>
#include <vector>

namespace discal::storage {

/// What could be saved of a damaged journal, and what could not.
struct SalvageReport {
    std::int64_t lines{0};   ///< in their chains, verified from the first line on
    std::int64_t beside{0};  ///< verified lines after a hole: kept beside the chain, and they count
    std::int64_t healed{0};  ///< of these, lines found in the file's raw bytes or with a damaged hash beside them
    std::int64_t blobs{0};
    struct Lost {
        journal::DeviceId device;
        std::int64_t seq{0};
        std::int64_t count{1};
    };
    std::vector<Lost> lost;
    std::int64_t lostBlobs{0};
};

/// Reads a damaged journal without changing it and writes what is whole into a new one at `to`.
///
/// A line counts as whole when the hash chain proves it: from the line before it, or into the line after it. What
/// SQLite can't reach any more is looked for in the raw bytes of the file and its -wal. The new file has no key: who
/// opens it for writing goes on under a new device id. Exists if `to` is there; NotAJournal if nothing was found.
[[nodiscard]] Result<SalvageReport> salvage(const Place& from, const std::filesystem::path& to);

} // namespace discal::storage
