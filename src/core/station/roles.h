#pragma once

#include "core/journal/amending.h"

#include <string>
#include <vector>

/// Who may decide for the station.
namespace discal::station {

enum class Role { None, Visitor, Recorder, Office };
[[nodiscard]] std::string_view textOf(Role role);
[[nodiscard]] Role roleOf(std::string_view text);

/// The history of roles: a pure function of the set of station.founded and device.enrolled lines.
///
/// The first station.founded in the order makes its device the first office; a later one by another device founds
/// nothing and is a doubt. Only an office enrols. Enrolments can be withdrawn by the device that wrote them.
class Roles {
public:
    /// `lines`: all station.founded and device.enrolled lines in any order, withdrawn ones left out.
    static Roles from(std::vector<journal::Amended> lines);

    [[nodiscard]] Role at(const journal::DeviceId& device, const journal::Order& order) const;
    [[nodiscard]] Role now(const journal::DeviceId& device) const;
    [[nodiscard]] const std::string& station() const { return m_station; }  ///< id, or empty
    /// Lines that count for nothing: enrolments by a device that was no office, further foundings.
    [[nodiscard]] const std::vector<journal::Uuid>& withoutAuthority() const { return m_withoutAuthority; }

    struct Change {
        journal::Order order;
        journal::DeviceId device;
        Role role;
        bool operator==(const Change&) const = default;
    };
    [[nodiscard]] const std::vector<Change>& changes() const { return m_changes; }
    bool operator==(const Roles&) const = default;

private:
    std::string m_station;
    std::vector<Change> m_changes;
    std::vector<journal::Uuid> m_withoutAuthority;
};

} // namespace discal::station
