#include "core/doubt/rules.h"

namespace discal::doubt {

// A butterfly that died or flew cannot be let go afterwards: one of the lines belongs to another butterfly.
void storyContradicted(const butterfly::Butterfly& butterfly, Doubts& out) {
    if (!butterfly.contradictions.empty())
        out.push_back({"butterfly.story-contradicted", butterfly.id.text(), Severity::CannotBeRight,
                       butterfly.contradictions});
}

} // namespace discal::doubt
