#include "core/doubt/rules.h"

#include "core/journal/subjects.h"

namespace discal::doubt {

// Two people corrected the same thing without knowing of each other. The first is shown; a person decides.
void correctionsAtOdds(const journal::Amended& line, Doubts& out) {
    if (line.atOdds.empty())
        return;
    Doubt doubt{"correction.at-odds", journal::correctionsOf(line.line.id), Severity::CannotBeRight, {line.line.id}};
    for (const auto& odds : line.atOdds)
        doubt.evidence.insert(doubt.evidence.end(), odds.corrections.begin(), odds.corrections.end());
    out.push_back(std::move(doubt));
}

} // namespace discal::doubt
