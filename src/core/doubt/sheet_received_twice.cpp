#include "core/doubt/rules.h"

#include <algorithm>

namespace discal::doubt {

// There is one piece of paper. Two phones that both entered it would offer the same codes, so neither does until
// somebody says where the paper is.
void sheetReceivedTwice(const tag::Sheet& sheet, Doubts& out) {
    const bool byTwo = std::any_of(sheet.receivers.begin(), sheet.receivers.end(),
                                   [&](const auto& device) { return device != sheet.receivers.front(); });
    if (byTwo)
        out.push_back({"sheet.received-twice", sheet.id.text(), Severity::CannotBeRight, sheet.receivedLines});
}

} // namespace discal::doubt
