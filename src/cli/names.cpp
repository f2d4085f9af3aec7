#include "cli/names.h"

#include <set>

namespace discal::cli {

using journal::DeviceId;
using journal::RecordType;

std::string Names::blobText(const boost::json::object& body, std::string_view member) {
    const auto cited = journal::blobIn(body, member);
    if (!cited)
        return {};
    const auto hash = journal::hashFromHex(*cited);
    if (!hash)
        return "(unreadable)";
    const auto blob = m_journal.file().blob(*hash);
    if (blob && *blob)
        return std::string((*blob)->content());
    const auto isErased = m_journal.projections().isErased(*hash);
    return isErased && *isErased ? "(erased)" : "(not here yet)";
}

std::string Names::person(const std::string& id) {
    if (id.empty())
        return {};
    const auto [known, isNew] = m_known.try_emplace("person " + id);
    if (isNew) {
        known->second = "somebody (" + id.substr(0, 8) + ")";
        if (const auto record = m_journal.projections().record(RecordType::Person, id); record && *record) {
            if (const auto number = journal::numberIn((*record)->members, "visitor"))
                known->second = "visitor " + std::to_string(*number);
            else if (const auto initials = blobText((*record)->members, "initials");
                     initials.starts_with('('))
                known->second += " " + initials;
            else if (!initials.empty())
                known->second = initials;
        }
    }
    return known->second;
}

std::string Names::named(RecordType type, const std::string& id, std::string_view what) {
    if (id.empty())
        return {};
    const auto [known, isNew] = m_known.try_emplace(std::string(what) + " " + id);
    if (isNew) {
        known->second = "a " + std::string(what) + " not named here (" + id.substr(0, 8) + ")";
        if (const auto record = m_journal.projections().record(type, id); record && *record)
            if (const auto name = journal::textIn((*record)->members, "name"))
                known->second = *name;
    }
    return known->second;
}

std::string Names::site(const std::string& id) {
    return named(RecordType::Site, id, "site");
}
std::string Names::lot(const std::string& id) {
    return named(RecordType::Lot, id, "lot");
}

std::string Names::deviceName(const DeviceId& id) {
    const auto [known, isNew] = m_known.try_emplace("device " + id.text());
    if (isNew)
        if (const auto bytes = m_journal.file().line(id, 1); bytes && *bytes)
            if (const auto line = journal::parseLine(**bytes))
                known->second = journal::textIn(line->body, "name").value_or("");
    return known->second;
}

std::string Names::device(const std::string& id) {
    if (id.empty())
        return "nobody";
    if (id == m_journal.device().text())
        return "this device";
    const auto parsed = DeviceId::parse(id);
    if (!parsed)
        return id;
    const std::string name = deviceName(*parsed);
    return name.empty() ? "device " + shortDevice(*parsed) : name + " (" + shortDevice(*parsed) + ")";
}

Result<DeviceId> Names::findDevice(const std::string& typed) {
    if (const auto whole = DeviceId::parse(typed))
        return *whole;
    constexpr std::size_t kShortest = 6;
    std::set<std::string> found;
    if (typed.size() >= kShortest) {
        const auto chains = m_journal.file().chains();
        if (!chains)
            return fail(chains.error());
        for (const auto& chain : *chains)
            if (chain.device.text().starts_with(typed))
                found.insert(chain.device.text());
        for (const auto& change : m_journal.projections().roles().changes())
            if (change.device.text().starts_with(typed))
                found.insert(change.device.text());
    }
    if (found.empty())
        return fail(Code::BadInput,
                    "a device: its 26 characters, or the first 6 or more of one that this journal knows");
    if (found.size() > 1)
        return fail(Code::NotAllowed, "several devices begin with " + typed + ", so more of it is needed");
    return DeviceId::parse(*found.begin());
}

std::optional<journal::Line> Names::lineWithId(const journal::Uuid& id) {
    const auto entries = m_journal.projections().linesWithId(id);
    return entries && !entries->empty() && entries->front().line ? std::optional(*entries->front().line)
                                                                 : std::nullopt;
}

std::string Names::codeOf(const std::string& butterfly) {
    const auto b = m_journal.projections().butterfly(butterfly);
    return b && *b ? (*b)->currentCode().value_or("") : std::string();
}

} // namespace discal::cli
