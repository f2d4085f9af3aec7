#pragma once

#include "core/journal/amending.h"

#include <boost/json.hpp>
#include <optional>
#include <string>
#include <vector>

namespace discal::journal {

/// Subjects whose state is simply what was said of them last, member by member: a session, a person, a site, a
/// rearing lot, the station, a device. The words of their members are those of the lines (DEVELOPERS.md).
enum class RecordType { Session, Person, Site, Lot, Station, Device };
[[nodiscard]] std::string_view textOf(RecordType type);

/// Which of them the kind speaks of, if any. Decided by the kind's first word, so that unknown verbs are placed too.
[[nodiscard]] std::optional<RecordType> recordTypeOf(std::string_view kind);

/// A pure function of the set of its lines in their order: fold `step` over them from a default value.
struct Record {
    std::string key;  ///< a Uuid, or "device ..." or "station"
    boost::json::object members;
    bool needsNewer{false};
    std::vector<Uuid> lines;
    Order last;
};

/// Withdrawn lines are left out by the caller, but for those with `needsNewer`: they only mark it.
void step(Record& record, const Amended& event);

[[nodiscard]] boost::json::object toJson(const Record& record);
[[nodiscard]] Record recordFromJson(const boost::json::object& story);

} // namespace discal::journal
