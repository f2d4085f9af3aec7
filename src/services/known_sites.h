#pragma once

#include "core/place/position.h"
#include "storage/journal.h"

#include <optional>
#include <string>
#include <vector>

/// Which of the station's sites we stand at.
namespace discal::services {

/// How far a site reaches that nobody has said it of. Our choice: a meadow's width.
inline constexpr std::int64_t kUnsaidRadiusMm = 250'000;

struct SiteFromHere {
    std::string id;
    std::string name;
    double metres{0};  ///< from the middle of the site
    /// Within its radius, or may be: both uncertainties count for the site.
    bool isHere{false};
};

/// Sites with a position, the nearest first.
[[nodiscard]] Result<std::vector<SiteFromHere>> sitesFrom(storage::Journal& journal, const place::Position& here);

} // namespace discal::services
