#pragma once

#include "core/place/position.h"
#include "services/line_writer.h"

#include <optional>
#include <string>

/// The station's people, sites, lots and devices.
namespace discal::services {

class Station {
public:
    explicit Station(LineWriter& writer) : m_writer(writer) {}

    /// Makes this device the first office. NotAllowed when the file knows of a station.
    [[nodiscard]] Result<Saved> found(const std::string& name);
    /// Says something of the station: permit, permit_until (YYYY-MM-DD), name ... NotAllowed when the file knows of no
    /// station. By a device that is no office it is kept, and is a doubt.
    [[nodiscard]] Result<Saved> set(const boost::json::object& members);
    /// `role`: office, recorder, visitor, none.
    [[nodiscard]] Result<Saved> enrol(const journal::DeviceId& device, const std::string& role);

    /// Finds a person by initials, or names a new one. Initials are kept as a blob that can be erased.
    struct Person {
        journal::Uuid id;
        Saved saved;  ///< empty when the person was known
    };
    [[nodiscard]] Result<Person> person(const std::string& initials);
    [[nodiscard]] Result<std::optional<journal::Uuid>> findPerson(const std::string& initials);
    /// A visitor needs no name: this phone's next number of the day.
    [[nodiscard]] Result<Person> visitor(std::int64_t number);
    [[nodiscard]] Result<std::int64_t> nextVisitor(const Moment& now);

    struct NewSite {
        std::string name;
        std::optional<place::Position> position;
        std::int64_t radiusMm{0};
        std::optional<bool> leave{};  ///< whoever owns the land lets us; nothing: not asked
    };
    struct Made {
        journal::Uuid id;
        Saved saved;
    };
    [[nodiscard]] Result<Made> site(const NewSite& site);
    /// The landowner was asked.
    [[nodiscard]] Result<Saved> setLeave(const journal::Uuid& site, bool isGiven);
    /// By name, or nothing.
    [[nodiscard]] Result<std::optional<journal::Uuid>> findSite(const std::string& name);

    struct NewLot {
        std::string name;
        std::string stage;  ///< egg, larva, pupa
        std::int64_t count{0};
    };
    [[nodiscard]] Result<Made> lot(const NewLot& lot);
    [[nodiscard]] Result<Saved> countLot(const journal::Uuid& lot, const std::string& stage, std::int64_t count);
    [[nodiscard]] Result<std::optional<journal::Uuid>> findLot(const std::string& name);

private:
    [[nodiscard]] Result<std::optional<journal::Uuid>> findByName(journal::RecordType type, const std::string& name);
    LineWriter& m_writer;
};

} // namespace discal::services
