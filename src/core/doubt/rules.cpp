#include "core/doubt/rules.h"

#include <array>

namespace discal::doubt {

std::string_view textOf(Severity severity) {
    constexpr std::array<std::string_view, 3> kTexts{"cannot be right", "unlikely", "incomplete"};
    return kTexts[static_cast<std::size_t>(severity)];
}

Doubts about(const tag::TagState& tag) {
    Doubts out;
    codeUsedTwice(tag, out);
    codeNotInStock(tag, out);
    codeOfAnotherHolder(tag, out);
    tagWithTwoFates(tag, out);
    butterflySeenApart(tag, out);
    return out;
}

Doubts about(const tag::Sheet& sheet) {
    Doubts out;
    sheetReceivedTwice(sheet, out);
    sheetTaken(sheet, out);
    sheetHandedByOther(sheet, out);
    return out;
}

Doubts about(const butterfly::Butterfly& butterfly) {
    Doubts out;
    storyContradicted(butterfly, out);
    tagOutOfStep(butterfly, out);
    return out;
}

Doubts about(const journal::Amended& line) {
    Doubts out;
    correctionsAtOdds(line, out);
    withoutAuthority(line, out);
    return out;
}

Doubts about(const station::Roles& roles) {
    Doubts out;
    roleWithoutAuthority(roles, out);
    return out;
}

} // namespace discal::doubt
