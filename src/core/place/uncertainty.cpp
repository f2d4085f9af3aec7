#include "core/place/uncertainty.h"

#include <cmath>
#include <limits>
#include <numbers>

namespace discal::place {

namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
constexpr double kRadiansPerDegree = std::numbers::pi / 180.0;

} // namespace

DegreeMetres degreeMetres(double latitudeDegrees) {
    // Written as "not inside", so that NaN is refused too.
    if (!(latitudeDegrees >= -90.0 && latitudeDegrees <= 90.0))
        return {kNaN, kNaN};
    constexpr double kEquatorMetres = 6'378'137.0;
    constexpr double kFlattening = 1.0 / 298.257223563;
    constexpr double kE2 = kFlattening * (2.0 - kFlattening); // first eccentricity squared
    const double sine = std::sin(latitudeDegrees * kRadiansPerDegree);
    // At a pole cos(90 degrees) would leave a few femtometres, of either sign.
    const double cosine =
        std::abs(latitudeDegrees) == 90.0 ? 0.0 : std::cos(latitudeDegrees * kRadiansPerDegree);
    const double w2 = 1.0 - kE2 * sine * sine;
    const double meridional = kEquatorMetres * (1.0 - kE2) / (w2 * std::sqrt(w2));
    const double primeVertical = kEquatorMetres / std::sqrt(w2);
    return {meridional * kRadiansPerDegree, primeVertical * cosine * kRadiansPerDegree};
}

double coordinatePrecisionMetres(double latitudeDegrees, double stepDegrees) {
    if (!(stepDegrees >= 0.0 && stepDegrees <= 180.0))
        return kNaN;
    const DegreeMetres degree = degreeMetres(latitudeDegrees);
    return std::hypot(degree.north * stepDegrees, degree.east * stepDegrees);
}

double headingUncertaintyMetres(double distanceMetres, double halfAngleDegrees) {
    if (!(distanceMetres >= 0.0) || !(halfAngleDegrees >= 0.0 && halfAngleDegrees <= 180.0))
        return kNaN;
    return 2.0 * distanceMetres * std::sin(halfAngleDegrees * kRadiansPerDegree / 2.0);
}

double receiverUncertaintyMetres(std::optional<double> accuracyMetres, std::chrono::sys_days date) {
    if (accuracyMetres && std::isfinite(*accuracyMetres) && *accuracyMetres > 0.0)
        return 2.0 * *accuracyMetres;
    constexpr std::chrono::sys_days kDegradingEnds{std::chrono::year(2000) / std::chrono::May / 1};
    return date > kDegradingEnds ? 30.0 : 100.0;
}

} // namespace discal::place
