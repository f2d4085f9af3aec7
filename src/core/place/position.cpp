#include "core/place/position.h"

namespace discal::place {

namespace {

constexpr std::int32_t kMaxLatE7 = 900'000'000;
constexpr std::int32_t kMaxLonE7 = 1'800'000'000;

} // namespace

bool isLegal(std::int32_t latE7, std::int32_t lonE7) {
    return latE7 >= -kMaxLatE7 && latE7 <= kMaxLatE7 && lonE7 >= -kMaxLonE7 && lonE7 <= kMaxLonE7;
}

bool isLegal(const Position& p) {
    const bool measured = p.origin != Position::Origin::Receiver || p.fixCount > 0;
    return isLegal(p.latE7, p.lonE7) && p.uncertaintyMm >= 1 && p.uncertaintyMm <= kWholeEarthMm &&
           p.fixCount >= 0 && p.ageMs >= 0 && p.accuracyMm >= 0 && measured;
}

std::string_view wordFor(Position::Origin origin) {
    switch (origin) {
    case Position::Origin::Receiver:
        return "receiver";
    case Position::Origin::Site:
        return "site";
    case Position::Origin::Typed:
        return "typed";
    }
    return "";
}

std::optional<Position::Origin> originFromWord(std::string_view word) {
    for (const auto origin : {Position::Origin::Receiver, Position::Origin::Site, Position::Origin::Typed})
        if (wordFor(origin) == word)
            return origin;
    return std::nullopt;
}

} // namespace discal::place
