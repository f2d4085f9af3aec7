#include "core/station/roles.h"

#include <algorithm>
#include <array>

namespace discal::station {

namespace {

constexpr std::array<std::string_view, 4> kRoles{"none", "visitor", "recorder", "office"};

} // namespace

std::string_view textOf(Role role) { return kRoles[static_cast<std::size_t>(role)]; }

Role roleOf(std::string_view text) {
    const auto* at = std::find(kRoles.begin(), kRoles.end(), text);
    return at == kRoles.end() ? Role::None : static_cast<Role>(at - kRoles.begin());
}

Roles Roles::from(std::vector<journal::Amended> lines) {
    std::sort(lines.begin(), lines.end(), [](const auto& a, const auto& b) { return a.order < b.order; });
    Roles roles;
    for (const auto& event : lines) {
        if (event.isNewer)
            continue;
        if (event.kind == journal::Kind::StationFounded) {
            if (!roles.m_station.empty() || event.line.about.empty()) {
                roles.m_withoutAuthority.push_back(event.line.id);
                continue;
            }
            roles.m_station = event.line.about.front().text();
            roles.m_changes.push_back({event.order, event.device, Role::Office});
        } else if (event.kind == journal::Kind::DeviceEnrolled) {
            const auto device = journal::DeviceId::parse(journal::textIn(event.line.body, "device").value_or(""));
            if (!device || roles.at(event.device, event.order) != Role::Office) {
                roles.m_withoutAuthority.push_back(event.line.id);
                continue;
            }
            roles.m_changes.push_back(
                {event.order, *device, roleOf(journal::textIn(event.line.body, "role").value_or(""))});
        }
    }
    return roles;
}

Role Roles::at(const journal::DeviceId& device, const journal::Order& order) const {
    Role role = Role::None;
    for (const Change& change : m_changes)
        if (change.device == device && change.order < order)
            role = change.role;
    return role;
}

Role Roles::now(const journal::DeviceId& device) const {
    Role role = Role::None;
    for (const Change& change : m_changes)
        if (change.device == device)
            role = change.role;
    return role;
}

} // namespace discal::station
