#include "core/doubt/rules.h"

#include "core/journal/subjects.h"

namespace discal::doubt {

// A code that no sheet of ours contains is a typing error, or a sheet that nobody has entered yet. A foreign tag read
// at a recapture is neither, and claims nothing.
void codeNotInStock(const tag::TagState& tag, Doubts& out) {
    if (tag.isInStock || tag.claims.empty())
        return;
    Doubt doubt{"code.not-in-stock", journal::codeSubject(tag.code), Severity::Unlikely, {}};
    for (const auto& claim : tag.claims)
        doubt.evidence.push_back(claim.line);
    out.push_back(std::move(doubt));
}

} // namespace discal::doubt
