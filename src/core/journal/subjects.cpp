#include "core/journal/subjects.h"

#include "core/journal/kind.h"
#include "core/tag/code.h"
#include "core/tag/sheet.h"

#include <algorithm>

namespace discal::journal {

namespace json = boost::json;

SubjectKey codeSubject(std::string_view canonicalCode) { return "code " + std::string(canonicalCode); }
SubjectKey deviceSubject(const DeviceId& device) { return "device " + device.text(); }
SubjectKey doubtSubject(std::string_view doubtKey) { return "doubt " + std::string(doubtKey); }
SubjectKey correctionsOf(const Uuid& line) { return "line " + line.text(); }
SubjectKey withdrawalsOf(const Uuid& act) { return "act " + act.text(); }

std::vector<SubjectKey> subjectsOf(const Line& line, const DeviceId& writer, const json::object& body) {
    std::vector<SubjectKey> keys;
    for (const Uuid& id : line.about)
        keys.push_back(id.text());
    for (const std::string_view name : {"code", "next"})
        if (const auto code = textIn(body, name))
            if (const auto parsed = tag::Code::fromText(*code))
                keys.push_back(codeSubject(parsed->text()));
    if (line.kind.starts_with("tag."))
        if (const auto run = tag::runIn(body))
            for (std::uint32_t i = 0; i < run->count && i < kLongestTagRun; ++i)
                keys.push_back(codeSubject(run->at(i).text()));
    switch (kindOf(line.kind)) {
    case Kind::EntryCorrected:
        if (const auto of = idIn(body, "of"))
            keys.push_back(correctionsOf(*of));
        break;
    case Kind::EntryWithdrawn:
        if (const auto act = idIn(body, "act"))
            keys.push_back(withdrawalsOf(*act));
        break;
    case Kind::DoubtSettled:
        if (const auto key = textIn(body, "key"))
            keys.push_back(doubtSubject(*key));
        break;
    case Kind::StationFounded:
        keys.push_back(deviceSubject(writer));
        keys.emplace_back(kStationSubject);
        keys.emplace_back(kRolesSubject);
        break;
    case Kind::StationSet:
        keys.emplace_back(kStationSubject);
        break;
    case Kind::DeviceStarted:
        keys.push_back(deviceSubject(writer));
        break;
    case Kind::DeviceEnrolled:
        keys.emplace_back(kRolesSubject);
        if (const auto device = textIn(body, "device"))
            if (const auto parsed = DeviceId::parse(*device))
                keys.push_back(deviceSubject(*parsed));
        break;
    case Kind::BlobErased:
        keys.emplace_back(kErasuresSubject);
        break;
    default:
        break;
    }
    std::sort(keys.begin(), keys.end());
    keys.erase(std::unique(keys.begin(), keys.end()), keys.end());
    return keys;
}

} // namespace discal::journal
