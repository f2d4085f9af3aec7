#include "core/doubt/rules.h"

namespace discal::doubt {

// The code offered is checked by observation every few tags, never by a yes, as is common practice (ux.md,
// section 5): the next tag is read off the paper. When it says another code than the one offered, the two ran
// apart somewhere since they last agreed, and each butterfly noted in between may carry another code than was
// written. Which one it was, only a look at the paper or at a wing can tell. One whose noting is not in this
// file, or was taken back, has no written code to doubt.
void tagOutOfStep(const butterfly::Butterfly& butterfly, Doubts& out) {
    const auto noted = journal::Uuid::parse(butterfly.noteLine);
    if (butterfly.comparedApart.empty() || !noted)
        return;
    Doubt doubt{"tag.out-of-step", butterfly.id.text(), Severity::Unlikely, butterfly.comparedApart};
    doubt.evidence.push_back(*noted);
    out.push_back(std::move(doubt));
}

} // namespace discal::doubt
