#include "core/doubt/rules.h"

#include "core/journal/subjects.h"

namespace discal::doubt {

// Only an office corrects another phone's lines. What somebody else wrote is kept, without effect, until an office
// looks at it.
void withoutAuthority(const journal::Amended& line, Doubts& out) {
    if (!line.withoutAuthority.empty())
        out.push_back({"correction.without-authority", journal::correctionsOf(line.line.id), Severity::Unlikely,
                       line.withoutAuthority});
}

// The same for who belongs to the station, and for a second founding of it.
void roleWithoutAuthority(const station::Roles& roles, Doubts& out) {
    if (!roles.withoutAuthority().empty())
        out.push_back({"role.without-authority", std::string(journal::kRolesSubject), Severity::Unlikely,
                       roles.withoutAuthority()});
}

} // namespace discal::doubt
