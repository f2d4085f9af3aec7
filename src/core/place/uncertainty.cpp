#include "core/place/uncertainty.h"

#include <cmath>
#include <limits>
#include <numbers>
#include <string>

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

std::optional<double> offsetPrecision(std::string_view written) {
    constexpr std::size_t kMostDigits = 15;
    std::string whole;
    std::string fraction;
    bool isFraction = false;
    for (const char c : written) {
        if ((c == '.' || c == ',') && !isFraction)
            isFraction = true;
        else if (c >= '0' && c <= '9')
            (isFraction ? fraction : whole) += c;
        else
            return std::nullopt;
    }
    whole.erase(0, whole.find_first_not_of('0'));
    const bool isZero = whole.empty() && fraction.find_first_not_of('0') == std::string::npos;
    if (isZero || whole.size() + fraction.size() > kMostDigits || (isFraction && fraction.empty()))
        return std::nullopt;
    if (isFraction) {
        if (fraction == "5")
            return 0.25;
        if (fraction == "25" || fraction == "75")
            return 0.125;
        return 0.5 * std::pow(10.0, -static_cast<double>(fraction.size()));
    }
    std::size_t noughts = 0;
    while (noughts + 2 < whole.size() && whole[whole.size() - 1 - noughts] == '0')
        ++noughts;
    return 0.5 * std::pow(10.0, static_cast<double>(noughts));
}

double offsetUncertaintyMetres(double distanceMetres, double distanceOffMetres, double halfAngleDegrees) {
    if (!(distanceMetres >= 0.0) || !(distanceOffMetres >= 0.0) ||
        !(halfAngleDegrees >= 0.0 && halfAngleDegrees <= 180.0))
        return kNaN;
    const double farthest = distanceMetres + distanceOffMetres;
    const double angle = halfAngleDegrees * kRadiansPerDegree;
    return std::hypot(farthest * std::cos(angle) - distanceMetres, farthest * std::sin(angle));
}

double rightAngledUncertaintyMetres(double firstOffMetres, double secondOffMetres) {
    if (!(firstOffMetres >= 0.0) || !(secondOffMetres >= 0.0))
        return kNaN;
    return std::hypot(firstOffMetres, secondOffMetres);
}

double gridCellUncertaintyMetres(double sideMetres) {
    return sideMetres >= 0.0 ? sideMetres * std::numbers::sqrt2 / 2.0 : kNaN;
}

double pointedUncertaintyMetres(double metresPerMillimetre, double mapOffMetres) {
    if (!(metresPerMillimetre >= 0.0) || !(mapOffMetres >= 0.0))
        return kNaN;
    return metresPerMillimetre + mapOffMetres;
}

double pointRadiusMetres(const PointRadius& s) {
    for (const double part : {s.extent, s.coordinatePrecision, s.receiver, s.datum, s.offset, s.offsetOff, s.halfAngle})
        if (!(part >= 0.0))
            return kNaN;
    const double anyWay = s.extent + s.coordinatePrecision + s.receiver + s.datum + s.offsetOff;
    return s.offset > 0.0 ? offsetUncertaintyMetres(s.offset, anyWay, s.halfAngle) : anyWay;
}

} // namespace discal::place
