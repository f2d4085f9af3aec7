#include "services/station.h"

#include "services/field_session.h"

namespace discal::services {

namespace json = boost::json;
using journal::Kind;
using journal::RecordType;
using journal::Uuid;

Result<Saved> Station::found(const std::string& name) {
    if (!m_writer.journal().projections().roles().station().empty())
        return fail(Code::NotAllowed, "this journal belongs to a station");
    auto commit = m_writer.begin();
    commit.add(Kind::StationFounded, {commit.newId()}, {{"name", name}});
    return commit.save();
}

Result<Saved> Station::set(const json::object& members) {
    const auto station = Uuid::parse(m_writer.journal().projections().roles().station());
    if (!station)
        return fail(Code::NotAllowed, "a station is founded first");
    if (members.empty())
        return fail(Code::NothingToDo);
    auto commit = m_writer.begin();
    commit.add(Kind::StationSet, {*station}, members);
    return commit.save();
}

Result<Saved> Station::enrol(const journal::DeviceId& device, const std::string& role) {
    if (role != "none" && station::roleOf(role) == station::Role::None)
        return fail(Code::BadInput, "role: one of office recorder visitor none");
    auto commit = m_writer.begin();
    commit.add(Kind::DeviceEnrolled, {}, {{"device", device.text()}, {"role", role}});
    return commit.save();
}

Result<std::optional<Uuid>> Station::findPerson(const std::string& initials) {
    const auto people = m_writer.journal().projections().records(RecordType::Person);
    if (!people)
        return fail(people.error());
    for (const auto& person : *people) {
        const auto cited = journal::blobIn(person.members, "initials");
        if (!cited)
            continue;
        const auto name = journal::hashFromHex(*cited);
        const auto blob = name ? m_writer.journal().file().blob(*name) : fail(name.error());
        if (blob && *blob && (*blob)->content() == initials) {
            const auto id = Uuid::parse(person.key);
            if (id)
                return std::optional(*id);
        }
    }
    return std::optional<Uuid>();
}

Result<Station::Person> Station::person(const std::string& initials) {
    if (initials.empty() || initials.size() > 40)
        return fail(Code::BadInput, "initials: 1 to 40 bytes");
    const auto known = findPerson(initials);
    if (!known)
        return fail(known.error());
    if (*known)
        return Person{**known, {}};
    auto commit = m_writer.begin();
    auto kept = commit.keep(initials);
    if (!kept)
        return fail(kept.error());
    const Uuid id = commit.newId();
    commit.add(Kind::PersonNamed, {id}, {{"initials", std::move(*kept)}});
    auto saved = commit.save();
    if (!saved)
        return fail(saved.error());
    return Person{id, std::move(*saved)};
}

Result<Station::Person> Station::visitor(std::int64_t number) {
    auto commit = m_writer.begin();
    const Uuid id = commit.newId();
    commit.add(Kind::PersonNamed, {id}, {{"visitor", number}});
    auto saved = commit.save();
    if (!saved)
        return fail(saved.error());
    return Person{id, std::move(*saved)};
}

Result<std::int64_t> Station::nextVisitor(const Moment& now) {
    const auto people = m_writer.journal().projections().records(RecordType::Person);
    if (!people)
        return fail(people.error());
    const std::string today = time::localDate(now.wall, now.offset);
    std::int64_t next = 1;
    for (const auto& person : *people) {
        const auto number = journal::numberIn(person.members, "visitor");
        const auto id = Uuid::parse(person.key);
        if (number && id && person.last.device == m_writer.journal().device() &&
            time::localDate(id->madeAt(), now.offset) == today)
            next = std::max(next, *number + 1);
    }
    return next;
}

Result<Station::Made> Station::site(const NewSite& site) {
    if (site.name.empty())
        return fail(Code::BadInput, "a site has a name");
    auto commit = m_writer.begin();
    json::object body{{"name", site.name}};
    if (site.position) {
        if (!place::isLegal(*site.position))
            return fail(Code::NotAPosition);
        body["position"] = toJson(*site.position);
    }
    if (site.radiusMm > 0)
        body["radius_mm"] = site.radiusMm;
    if (site.leave)
        body["leave"] = *site.leave;
    const Uuid id = commit.newId();
    commit.add(Kind::SiteSet, {id}, std::move(body));
    auto saved = commit.save();
    if (!saved)
        return fail(saved.error());
    return Made{id, std::move(*saved)};
}

Result<Saved> Station::setLeave(const Uuid& site, bool isGiven) {
    const auto known = m_writer.journal().projections().record(RecordType::Site, site.text());
    if (!known)
        return fail(known.error());
    if (!*known)
        return fail(Code::NotFound, "that site");
    auto commit = m_writer.begin();
    json::object body{{"leave", isGiven}};
    if (const auto name = journal::textIn((*known)->members, "name"))
        body["name"] = *name;
    commit.add(Kind::SiteSet, {site}, std::move(body));
    return commit.save();
}

Result<std::optional<Uuid>> Station::findByName(RecordType type, const std::string& name) {
    const auto records = m_writer.journal().projections().records(type);
    if (!records)
        return fail(records.error());
    for (const auto& record : *records)
        if (journal::textIn(record.members, "name") == name)
            if (const auto id = Uuid::parse(record.key))
                return std::optional(*id);
    return std::optional<Uuid>();
}

Result<std::optional<Uuid>> Station::findSite(const std::string& name) { return findByName(RecordType::Site, name); }
Result<std::optional<Uuid>> Station::findLot(const std::string& name) { return findByName(RecordType::Lot, name); }

Result<Station::Made> Station::lot(const NewLot& lot) {
    if (lot.name.empty())
        return fail(Code::BadInput, "a rearing lot has a name");
    auto commit = m_writer.begin();
    const Uuid id = commit.newId();
    commit.add(Kind::LotStarted, {id}, {{"name", lot.name}, {"stage", lot.stage}, {"count", lot.count}});
    auto saved = commit.save();
    if (!saved)
        return fail(saved.error());
    return Made{id, std::move(*saved)};
}

Result<Saved> Station::countLot(const Uuid& lot, const std::string& stage, std::int64_t count) {
    auto commit = m_writer.begin();
    commit.add(Kind::LotCounted, {lot}, {{"stage", stage}, {"count", count}});
    return commit.save();
}

} // namespace discal::services
