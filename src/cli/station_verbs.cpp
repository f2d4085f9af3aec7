#include "cli/line_words.h"
#include "cli/typed.h"
#include "cli/verbs.h"
#include "cli/workbench.h"

#include <algorithm>
#include <map>
#include <memory>

namespace discal::cli {

namespace json = boost::json;
using journal::RecordType;
using journal::textIn;

namespace {

struct Typed {
    std::string name;
    std::string device;
    std::string role;
    std::string position;
    std::string radius;
    std::string stage;
    std::int64_t count{0};
    std::int64_t minutes{-1};
    std::int64_t people{-1};
    std::string note;
};

CLI::App& addWriting(CLI::App& group, Call& call, const std::string& name, const std::string& what,
                     const std::string& example, const std::shared_ptr<Typed>& typed,
                     const std::function<Result<Told>(Workbench&, const Typed&)>& body) {
    return addVerb(group, call, name, what, example, On::OwnJournal, [&call, typed, body] {
        const auto bench = Workbench::forWriting(call);
        if (!bench)
            return refuse(bench.error());
        const auto told = body(**bench, *typed);
        return told ? report(Output(call.isJson), **bench, *told) : refuse(told.error());
    });
}

Result<Told> found(Workbench& bench, const Typed& typed) {
    if (auto saved = bench.station.found(typed.name); !saved)
        return fail(saved.error());
    return Told{"The station " + typed.name + " is founded, and this device is its first office."};
}

Result<Told> enrol(Workbench& bench, const Typed& typed) {
    const auto device = bench.names.findDevice(typed.device);
    if (!device)
        return fail(device.error());
    const auto& roles = bench.projections().roles();
    if (roles.now(bench.journal().device()) != station::Role::Office)
        return fail(Code::NotAllowed,
                    roles.station().empty()
                        ? "no station is founded in this journal yet (discalctl station found NAME)"
                        : "an office device of the station enrols others");
    if (auto saved = bench.station.enrol(*device, typed.role); !saved)
        return fail(saved.error());
    Told told{bench.names.device(device->text()) + (typed.role == "none"
                                                        ? " belongs to the station no more."
                                                        : " is enrolled as " + typed.role + ".")};
    told.members["device"] = device->text();
    told.members["role"] = typed.role;
    return told;
}

Result<Told> person(Workbench& bench, const Typed& typed) {
    const auto person = bench.station.person(typed.name);
    if (!person)
        return fail(person.error());
    Told told{typed.name +
              (person->saved.lines.empty() ? " is known already." : " is one of the station's people.")};
    told.members["person"] = person->id.text();
    return told;
}

Result<Told> site(Workbench& bench, const Typed& typed) {
    const auto known = bench.station.findSite(typed.name);
    if (!known)
        return fail(known.error());
    if (*known)
        return fail(Code::NotAllowed,
                    "there is a site named " + typed.name +
                        " already; correct its line (discalctl journal list --ids) to change it");
    services::Station::NewSite site{typed.name, std::nullopt, 0};
    if (!typed.position.empty()) {
        const auto position = positionIn(typed.position);
        if (!position)
            return fail(position.error());
        site.position = *position;
    }
    if (!typed.radius.empty()) {
        const auto radius = decimalIn(typed.radius, 3);
        if (!radius)
            return fail(radius.error());
        if (*radius < 0)
            return fail(Code::BadInput, "a radius in metres, such as 150");
        site.radiusMm = *radius;
    }
    const auto made = bench.station.site(site);
    if (!made)
        return fail(made.error());
    const auto back = bench.readBack(made->saved.lines.back());
    Told told{(back ? sentenceOf(back->line, bench.names) : "Site " + typed.name) + ": known from now on."};
    told.members["site"] = made->id.text();
    return told;
}

Result<Told> lot(Workbench& bench, const Typed& typed) {
    const auto known = bench.station.findLot(typed.name);
    if (!known)
        return fail(known.error());
    Told told;
    const std::string what = std::to_string(typed.count) + " as " + typed.stage;
    if (*known) {
        if (auto saved = bench.station.countLot(**known, typed.stage, typed.count); !saved)
            return fail(saved.error());
        told.sentence = "Rearing lot " + typed.name + " counted: " + what + ".";
        told.members["lot"] = (*known)->text();
    } else {
        const auto made = bench.station.lot({typed.name, typed.stage, typed.count});
        if (!made)
            return fail(made.error());
        told.sentence = "Rearing lot " + typed.name + " started: " + what + ".";
        told.members["lot"] = made->id.text();
    }
    return told;
}

int showStation(const Call& call) {
    const auto bench = Workbench::forReading(call);
    if (!bench)
        return refuse(bench.error());
    auto& projections = (*bench)->projections();
    Names& names = (*bench)->names;
    const Output out(call.isJson);
    const auto& roles = projections.roles();
    json::object object;
    const auto station = projections.record(RecordType::Station, "station");
    if (!station)
        return refuse(station.error());
    const std::string name = *station && !roles.station().empty()
                                 ? std::string(textIn((*station)->members, "name").value_or(""))
                                 : "";
    out.say(name.empty() ? "No station is founded in this journal." : "Station " + name);
    object["station"] = name;

    json::array devices;
    const auto chains = (*bench)->journal().file().chains();
    if (!chains)
        return refuse(chains.error());
    std::map<journal::DeviceId, std::int64_t> known;
    for (const auto& chain : *chains)
        known[chain.device] = chain.head.seq;
    for (const auto& change : roles.changes())
        known.try_emplace(change.device, 0);
    for (const auto& [device, lines] : known) {
        const std::string role(station::textOf(roles.now(device)));
        out.say("  device " + device.text() + "  " + column(names.deviceName(device), 20) + column(role, 9) +
                counted(lines, "line", "lines") +
                (device == (*bench)->journal().device() ? ", this device" : ""));
        devices.push_back(json::object{
            {"device", device.text()}, {"name", names.deviceName(device)}, {"role", role}, {"lines", lines}});
    }
    object["devices"] = std::move(devices);

    const auto each = [&](RecordType type, const char* member,
                          const std::function<json::object(const journal::Record&)>& show) {
        json::array all;
        if (const auto records = projections.records(type))
            for (const auto& record : *records) {
                json::object one = show(record);
                one["id"] = record.key;
                all.push_back(std::move(one));
            }
        object[member] = std::move(all);
    };
    each(RecordType::Person, "people", [&](const journal::Record& record) -> json::object {
        const std::string who = names.person(record.key);
        out.say("  person " + who);
        return {{"name", who}};
    });
    each(RecordType::Site, "sites", [&](const journal::Record& record) -> json::object {
        const std::string where = placeWords(record.members, names);
        out.say("  site " + names.site(record.key) + (where.empty() ? "" : ", " + where));
        json::object one{{"name", names.site(record.key)}};
        for (const char* member : {"position", "radius_mm"})
            if (const auto* value = record.members.if_contains(member))
                one[member] = *value;
        return one;
    });
    each(RecordType::Lot, "lots", [&](const journal::Record& record) -> json::object {
        json::object last = record.members;
        if (const auto* counts = record.members.if_contains("counts");
            counts != nullptr && counts->is_array() && !counts->as_array().empty())
            last = counts->as_array().back().as_object();
        const std::int64_t count = journal::numberIn(last, "count").value_or(0);
        const std::string stage(textIn(last, "stage").value_or(""));
        out.say("  rearing lot " + names.lot(record.key) + ": " + std::to_string(count) + " as " + stage);
        return {{"name", names.lot(record.key)}, {"stage", stage}, {"count", count}};
    });
    out.put(object);
    return kDone;
}

Result<Told> closeSession(Workbench& bench, const Typed& typed) {
    services::FieldSession::Effort effort;
    if (typed.minutes >= 0)
        effort.minutes = typed.minutes;
    if (typed.people >= 0)
        effort.people = typed.people;
    effort.note = typed.note;
    if (auto saved = bench.session.close(effort); !saved)
        return fail(saved.error());
    const auto back = bench.readBack(bench.saved().back());
    if (!back)
        return fail(back.error());
    Told told{sentenceOf(back->line, bench.names) + "."};
    if (const auto open = bench.projections().butterfliesWithFate(butterfly::Fate::Noted))
        for (const auto& b : *open)
            if (b.device == bench.journal().device().text())
                told.more.push_back(nameOf(b) + " is still in hand: say what became of it.");
    return told;
}

int showSession(const Call& call) {
    const auto bench = Workbench::forReading(call);
    if (!bench)
        return refuse(bench.error());
    auto& projections = (*bench)->projections();
    Names& names = (*bench)->names;
    const Output out(call.isJson);
    const auto& current = (*bench)->session.current();
    json::object object{{"open", current.has_value()}};
    if (!current) {
        out.say("No session is open; the next butterfly opens one.");
    } else {
        const auto record = projections.record(RecordType::Session, current->text());
        if (!record)
            return refuse(record.error());
        const auto butterflies = projections.butterfliesOfSession(current->text());
        if (!butterflies)
            return refuse(butterflies.error());
        std::string opened;
        if (*record) {
            const auto& members = (*record)->members;
            const std::string at(textIn(members, "opened_at").value_or(""));
            opened = localTime(at, journal::numberIn(members, "offset_min").value_or(0));
            object["opened_at"] = at;
        }
        object["session"] = current->text();
        const auto& persisting = (*bench)->session.persisting();
        std::string text = "Session open since " + opened;
        if (!persisting.site.empty()) {
            text += ", at " + names.site(persisting.site);
            object["site"] = names.site(persisting.site);
        }
        if (const auto& recorder = (*bench)->writer.recorder()) {
            text += ", recorder " + names.person(recorder->text());
            object["recorder"] = names.person(recorder->text());
        }
        out.say(text + ": " +
                counted(static_cast<std::int64_t>(butterflies->size()), "butterfly", "butterflies"));
        std::map<std::string, std::int64_t> fates;
        for (const auto& b : *butterflies)
            ++fates[std::string(textOf(b.fate))];
        json::object byFate;
        for (const auto& [fate, count] : fates) {
            out.say("  " + std::to_string(count) + " " + fate);
            byFate[fate] = count;
        }
        object["butterflies"] = std::move(byFate);
    }
    json::array here;
    for (const auto fate : {butterfly::Fate::Noted, butterfly::Fate::Held})
        if (const auto found = projections.butterfliesWithFate(fate))
            for (const auto& b : *found) {
                const bool isHeld = fate == butterfly::Fate::Held;
                out.say(
                    "  " + nameOf(b) +
                    (isHeld ? " is in " + (b.cage.empty() ? "a cage" : "cage " + b.cage) : " is in hand") +
                    (b.device == (*bench)->journal().device().text() ? ""
                                                                     : ", at " + names.device(b.device)));
                here.push_back(json::object{{"butterfly", b.id.text()},
                                            {"code", b.currentCode().value_or("")},
                                            {"fate", textOf(fate)},
                                            {"cage", b.cage},
                                            {"device", b.device}});
            }
    object["here"] = std::move(here);
    out.put(object);
    return kDone;
}

void addStation(CLI::App& app, Call& call) {
    CLI::App& group = addGroup(app, "station", "The station, its devices, people, sites and rearing lots");
    auto typed = std::make_shared<Typed>();
    addWriting(group, call, "found", "Found the station; this device becomes its first office",
               "station found \"Thistledown Ridge Nature Centre\"", typed, found)
        .add_option("NAME", typed->name)
        ->required()
        ->type_name("");

    typed = std::make_shared<Typed>();
    CLI::App& enrols = addWriting(group, call, "enrol", "Give a device its role (an office device)",
                                  "station enrol eh7ddx5bksrgcytl7bkai36se4 --role recorder", typed, enrol);
    enrols.add_option("DEVICE", typed->device, "its id, or the first 6 or more characters of a known one")
        ->required()
        ->type_name("");
    enrols.add_option("--role", typed->role)
        ->required()
        ->check(CLI::IsMember({"office", "recorder", "visitor", "none"}))
        ->type_name("office|recorder|visitor|none");

    typed = std::make_shared<Typed>();
    addWriting(group, call, "person", "Name a helper by initials", "station person KLM", typed, person)
        .add_option("INITIALS", typed->name)
        ->required()
        ->type_name("");

    typed = std::make_shared<Typed>();
    CLI::App& sites =
        addWriting(group, call, "site", "Name a place where butterflies are taken or let go",
                   "station site \"Long Meadow\" --position=44.9541,-93.1022,15 --radius 150", typed, site);
    sites.add_option("NAME", typed->name)->required()->type_name("");
    sites.add_option("--position", typed->position, "degrees and metres")->type_name("LAT,LON,UNCERTAINTY_M");
    sites.add_option("--radius", typed->radius, "how far it reaches, in metres")->type_name("M");

    typed = std::make_shared<Typed>();
    CLI::App& lots = addWriting(group, call, "lot", "Start a rearing lot, or count a known one anew",
                                "station lot \"Milkweed bed 3\" --stage larva --count 18", typed, lot);
    lots.add_option("NAME", typed->name)->required()->type_name("");
    lots.add_option("--stage", typed->stage)
        ->required()
        ->check(CLI::IsMember({"egg", "larva", "pupa"}))
        ->type_name("egg|larva|pupa");
    lots.add_option("--count", typed->count)->required()->check(CLI::Range(0, 1'000'000))->type_name("N");

    addVerb(group, call, "show", "Show the station, devices, people, sites and lots", "station show",
            On::OwnJournal, [&call] { return showStation(call); });
}

void addSession(CLI::App& app, Call& call) {
    CLI::App& group = addGroup(app, "session", "The open spell of field work");
    const auto typed = std::make_shared<Typed>();
    CLI::App& close =
        addWriting(group, call, "close", "Close the session, with its effort",
                   "session close --minutes 90 --people 2 --note \"wind from noon on\"", typed, closeSession);
    close.add_option("--minutes", typed->minutes, "time spent looking")
        ->check(CLI::Range(0, 10'000))
        ->type_name("N");
    close.add_option("--people", typed->people, "how many looked")
        ->check(CLI::Range(0, 10'000))
        ->type_name("N");
    close.add_option("--note", typed->note, "free text; kept beside the lines and can be erased")
        ->type_name("TEXT");
    addVerb(group, call, "show", "Show the session, and who is in hand or in a cage", "session show",
            On::OwnJournal, [&call] { return showSession(call); });
}

} // namespace

void addStationVerbs(CLI::App& app, Call& call) {
    addStation(app, call);
    addSession(app, call);
}

} // namespace discal::cli
