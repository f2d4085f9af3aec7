#include "core/doubt/rules.h"

namespace discal::doubt {

// Somebody said to hold a run that another phone held, and that one has not (yet) said that it handed it over.
void sheetTaken(const tag::Sheet& sheet, Doubts& out) {
    Doubt doubt{"sheet.taken", sheet.id.text(), Severity::Incomplete, {}};
    for (const tag::Take& take : sheet.takes)
        if (!take.runs.isEmpty())
            doubt.evidence.push_back(take.line);
    if (!doubt.evidence.empty())
        out.push_back(std::move(doubt));
}

} // namespace discal::doubt
