#pragma once

#include "cli/call.h"

#include <string>
#include <vector>

/// What the journal says, line by line.
namespace discal::cli {

struct Listing {
    bool isSession{false};         ///< only the open session of this device, or its last one
    std::vector<std::string> code; ///< only lines of the butterflies that carry or carried it
    bool isRaw{false};             ///< the stored bytes, a line each
    bool hasIds{false};
};
int listLines(const Call& call, const Listing& listing);

/// A butterfly's whole story; what was corrected is shown with its old value.
int showButterfly(const Call& call, const std::vector<std::string>& which);

} // namespace discal::cli
