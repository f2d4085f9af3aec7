#include "core/doubt/rules.h"

#include "core/journal/subjects.h"

namespace discal::doubt {

// Whoever recaptures a butterfly before the line that noted it has come can't put the recapture into its story: it
// stands in one of its own. One tag is hardly on two butterflies, so most likely they are one. A foreign tag that was
// read twice was noted by nobody here, and claims nothing.
void butterflySeenApart(const tag::TagState& tag, Doubts& out) {
    if (tag.butterflies.empty() || tag.seen.empty())
        return;
    Doubt doubt{"butterfly.seen-apart", journal::codeSubject(tag.code), Severity::Unlikely, {}};
    for (const auto& claim : tag.claims)
        if (claim.fate == tag::Fate::OnButterfly)
            doubt.evidence.push_back(claim.line);
    for (const auto& seen : tag.seen)
        doubt.evidence.push_back(seen.line);
    out.push_back(std::move(doubt));
}

} // namespace discal::doubt
