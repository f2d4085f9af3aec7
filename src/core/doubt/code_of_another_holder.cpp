#include "core/doubt/rules.h"

#include "core/journal/subjects.h"

#include <algorithm>

namespace discal::doubt {

// A phone that never held a tag has put it on a butterfly: somebody used a sheet that is with another phone, or typed
// a wrong code that happens to exist.
void codeOfAnotherHolder(const tag::TagState& tag, Doubts& out) {
    if (!tag.isInStock)
        return;
    Doubt doubt{"code.of-another-holder", journal::codeSubject(tag.code), Severity::Unlikely, {}};
    for (const auto& claim : tag.claims)
        if (claim.fate == tag::Fate::OnButterfly &&
            std::find(tag.everHeldBy.begin(), tag.everHeldBy.end(), claim.device) == tag.everHeldBy.end())
            doubt.evidence.push_back(claim.line);
    if (!doubt.evidence.empty())
        out.push_back(std::move(doubt));
}

} // namespace discal::doubt
