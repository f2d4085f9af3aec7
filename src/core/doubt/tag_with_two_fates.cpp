#include "core/doubt/rules.h"

#include "core/journal/subjects.h"

#include <algorithm>

namespace discal::doubt {

// Each tag has one fate: one that was spoiled, used on paper, given away or missing can't be on a wing as well.
void tagWithTwoFates(const tag::TagState& tag, Doubts& out) {
    const bool differs = std::any_of(tag.claims.begin(), tag.claims.end(),
                                     [&](const auto& claim) { return claim.fate != tag.claims.front().fate; });
    if (!differs)
        return;
    Doubt doubt{"tag.two-fates", journal::codeSubject(tag.code), Severity::CannotBeRight, {}};
    for (const auto& claim : tag.claims)
        doubt.evidence.push_back(claim.line);
    out.push_back(std::move(doubt));
}

} // namespace discal::doubt
