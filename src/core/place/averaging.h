#pragma once

#include "core/place/position.h"

#include <cstdint>
#include <optional>
#include <span>

namespace discal::place {

/// How far back fixes are averaged, in milliseconds. Source: design.md section 7, "up to two minutes".
inline constexpr std::int64_t kWindowMs = 120'000;

/// A receiver's position with a greater uncertainty than this, in millimetres, does not answer for the place.
/// Source: design.md section 7. Compared with the uncertainty, the one number that a person sees, so an
/// accuracy of 25 m is the limit.
inline constexpr std::int64_t kCoarseMm = 50'000;

/// From this age on, in milliseconds, the newest fix is old enough that the phone may be elsewhere. Our
/// choice: at a walk (1.4 m/s) 10 s are 14 m, more than the 9.8 m that twice the 4.9 m of a phone under open
/// sky covers (4.9 m: Chapman and Wieczorek 2020).
inline constexpr std::int64_t kStaleMs = 10'000;

/// Where the phone is at uptime `nowUpMs`, from its fixes in order of arrival; nullopt if none is usable. An
/// older Position is never carried forward: what is not in `fixes` has no say, and ageMs tells how old the
/// newest is.
///
/// Usable: arrived at most kWindowMs before now (that age included) and not after now, legal coordinates,
/// positive accuracy. Of those only the trailing run while the phone stayed put counts: walking back from the
/// newest, the run ends at the first fix that lies farther from the newest than both accuracies together. Two
/// fixes from one place differ by less than that in most cases (independent errors add up to less than their
/// plain sum, and those of one receiver are alike), and a walker leaves it within seconds. A fix wrongly shut
/// out costs little.
///
/// Place: mean of the fixes with weights 1/accuracy^2, taken on the sphere of surface normals, so right
/// across the date line and at the poles.
///
/// Accuracy: what the weighted mean has if the errors of all fixes are fully correlated, sum(1/a) /
/// sum(1/a^2), for n equal fixes simply a. Fixes a second apart share satellites, atmosphere and reflections;
/// averaging takes out the jitter but not that, so 1/sqrt(n) would claim what nobody has. It is never better
/// than the best fix. If the mean lies farther from the newest fix than that (the phone crept away while
/// fixes were coarse), that distance is the accuracy. Our choice; Chapman and Wieczorek 2020 say only that
/// averaging helps.
///
/// Uncertainty: twice the accuracy (Chapman and Wieczorek 2020; see uncertainty.h), whole millimetres,
/// rounded up, 1 to kWholeEarthMm. The 16 mm of coordinates in 10^-7 degree are left out as negligible beside
/// metres.
[[nodiscard]] std::optional<Position> average(std::span<const Fix> fixes, std::int64_t nowUpMs);

/// Whether p may stand for the place of a butterfly. A receiver's position worse than kCoarseMm may not: the
/// chosen site answers and p is kept beside it. What a person chose or typed always may.
[[nodiscard]] bool isUsableForPlace(const Position& p);

/// Whether a receiver's position is kStaleMs old or older, so that it must be said on the screen. A site or a
/// typed place doesn't age.
[[nodiscard]] bool isStale(const Position& p);

} // namespace discal::place
