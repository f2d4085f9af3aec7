#include "core/doubt/rules.h"

#include "core/journal/subjects.h"

namespace discal::doubt {

// One code, one insect: two butterflies noted with the same code mean that at least one line has the wrong code
// (science.md 8.1: a second release on the same code is an error to resolve, not a new record).
void codeUsedTwice(const tag::TagState& tag, Doubts& out) {
    if (tag.butterflies.size() < 2)
        return;
    Doubt doubt{"code.used-twice", journal::codeSubject(tag.code), Severity::CannotBeRight, {}};
    for (const auto& claim : tag.claims)
        if (claim.fate == tag::Fate::OnButterfly)
            doubt.evidence.push_back(claim.line);
    out.push_back(std::move(doubt));
}

} // namespace discal::doubt
