#include "core/journal/record.h"

#include "core/journal/subjects.h"

#include <array>

namespace discal::journal {

namespace json = boost::json;

namespace {

constexpr std::array<std::string_view, 6> kTypes{"session", "person", "site", "lot", "station", "device"};

void append(json::object& members, std::string_view name, json::object item) {
    auto& list = members[name];
    if (!list.is_array())
        list = json::array();
    list.as_array().push_back(std::move(item));
}

} // namespace

std::string_view textOf(RecordType type) { return kTypes[static_cast<std::size_t>(type)]; }

std::optional<RecordType> recordTypeOf(std::string_view kind) {
    const std::string_view noun = kind.substr(0, kind.find('.'));
    for (std::size_t i = 0; i < kTypes.size(); ++i)
        if (kTypes[i] == noun)
            return static_cast<RecordType>(i);
    return noun == "weather" ? std::optional(RecordType::Session) : std::nullopt;
}

void step(Record& record, const Amended& event) {
    record.last = event.order;
    record.lines.push_back(event.line.id);
    record.needsNewer |= event.isNewer || event.needsNewer;
    if (event.isNewer || event.isWithdrawn)
        return;
    const std::string at = time::formatUtc(event.line.at);
    switch (event.kind) {
    case Kind::StationFounded:
        // It makes its device the first office; the name in it is the station's.
        if (record.key != kStationSubject)
            return;
        break;
    case Kind::LotCounted:
    case Kind::WeatherRead: {
        json::object item = event.line.body;
        item["at"] = at;
        append(record.members, event.kind == Kind::LotCounted ? "counts" : "weather", std::move(item));
        return;
    }
    case Kind::SessionOpened:
        record.members["opened_at"] = at;
        record.members["offset_min"] = event.line.offset.count();
        record.members["device"] = event.device.text();
        break;
    case Kind::SessionClosed:
        record.members["closed_at"] = at;
        break;
    case Kind::LotStarted:
        record.members["started_at"] = at;
        break;
    default:
        break;
    }
    for (const auto& member : event.line.body)
        record.members[member.key()] = member.value();
}

json::object toJson(const Record& record) {
    json::object out;
    out["key"] = record.key;
    out["members"] = record.members;
    if (record.needsNewer)
        out["needs_newer"] = true;
    out["lines"] = idsToJson(record.lines);
    out["last"] = orderToJson(record.last);
    return out;
}

Record recordFromJson(const json::object& story) {
    Record record;
    record.key = textIn(story, "key").value_or("");
    if (const auto* members = objectIn(story, "members"))
        record.members = *members;
    record.needsNewer = claimIn(story, "needs_newer").value_or(false);
    record.lines = idsIn(story, "lines");
    record.last = orderIn(story, "last");
    return record;
}

} // namespace discal::journal
