#pragma once

#include "core/journal/id.h"

#include <string>
#include <vector>

/// What in the records doesn't add up. A line is never refused because it contradicts another: both are kept and
/// marked. Settled by a further line, never by erasing.
namespace discal::doubt {

enum class Severity { CannotBeRight, Unlikely, Incomplete };
[[nodiscard]] std::string_view textOf(Severity severity);

struct Doubt {
    std::string rule;     ///< stable name of the rule, part of the key
    std::string subject;  ///< journal::SubjectKey
    Severity severity{Severity::CannotBeRight};
    std::vector<journal::Uuid> evidence;  ///< the lines that are marked

    /// The doubt's identity is its rule and subject, not its evidence.
    [[nodiscard]] std::string key() const { return rule + " " + subject; }
};

using Doubts = std::vector<Doubt>;

} // namespace discal::doubt
