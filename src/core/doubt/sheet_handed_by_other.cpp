#include "core/doubt/rules.h"

namespace discal::doubt {

// A phone handed on tags that it did not hold: the run was mistyped, or an earlier handing is still on its way.
void sheetHandedByOther(const tag::Sheet& sheet, Doubts& out) {
    if (!sheet.handedByOther.empty())
        out.push_back({"sheet.handed-by-other", sheet.id.text(), Severity::Unlikely, sheet.handedByOther});
}

} // namespace discal::doubt
