#include "services/sample/replay_acts.h"

#include "services/sample/decimal.h"
#include "services/weather.h"

#include <algorithm>

namespace discal::services::sample {

using butterfly::Fate;
using journal::claimIn;
using journal::numberIn;
using journal::textIn;
using journal::Uuid;

namespace {

std::string text(const Act& act, std::string_view name) {
    return std::string(textIn(act.members, name).value_or(""));
}

std::optional<std::string> optionalText(const Act& act, std::string_view name) {
    const auto s = textIn(act.members, name);
    return s ? std::optional<std::string>(*s) : std::nullopt;
}

std::int64_t number(const Act& act, std::string_view name, std::int64_t otherwise) {
    return numberIn(act.members, name).value_or(otherwise);
}

/// A whole number, or a decimal in quotes, in thousandths.
std::optional<std::int64_t> thousandths(const Act& act, std::string_view name) {
    if (const auto whole = numberIn(act.members, name))
        return *whole * 1000;
    if (const auto s = textIn(act.members, name))
        return decimal(*s, 3);
    return std::nullopt;
}

Measures measuresIn(const Act& act) {
    Measures m;
    m.forewingUm = thousandths(act, "forewing_mm");
    m.wear = numberIn(act.members, "wear");
    m.wearScale = text(act, "wear_scale");
    m.mated = claimIn(act.members, "mated");
    m.parasiteSample = text(act, "sample");
    m.note = text(act, "text");
    return m;
}

place::Position typedPosition(std::string_view latLon, std::int64_t uncertaintyM) {
    const auto blank = latLon.find(' ');
    const auto rest = latLon.substr(latLon.find_first_not_of(' ', blank));
    place::Position p;
    p.origin = place::Position::Origin::Typed;
    p.latE7 = static_cast<std::int32_t>(decimal(latLon.substr(0, blank), 7).value_or(0));
    p.lonE7 = static_cast<std::int32_t>(decimal(rest.substr(0, rest.find(' ')), 7).value_or(0));
    p.uncertaintyMm = 1000 * uncertaintyM;
    return p;
}

/// The run that begins with a code as typed, in the scheme of its sheet where there is one.
Result<tag::Run> runOf(const Act& act, ReplayPhone& phone) {
    const auto first = phone.services().stock.read(text(act, "first"));
    if (!first)
        return fail(first.error());
    const auto sheets = phone.journal().projections().sheetsWith(first->code);
    if (!sheets)
        return fail(sheets.error());
    tag::Scheme scheme = tag::Scheme::of(first->code);
    for (const tag::Sheet& sheet : *sheets)
        if (sheet.run)
            scheme = sheet.run->scheme;
    return tag::makeRun(scheme, scheme.ordinal(first->code),
                        static_cast<std::uint32_t>(number(act, "count", 1)));
}

/// Not a refusal by a service, whatever the script hopes for.
bool isBroken(Code code) {
    switch (code) {
    case Code::Io:
    case Code::DiskFull:
    case Code::OutOfMemory:
    case Code::Busy:
    case Code::Corrupt:
    case Code::ReadOnly:
        return true;
    default:
        return false;
    }
}

/// The result of a service whose lines are all there is to tell.
template <class Done>
Result<Done> told(Result<Saved> saved) {
    if (!saved)
        return fail(saved.error());
    return Done{std::move(*saved), {}, {}};
}

/// The same for what also names what it made.
template <class Done, class Made>
Result<Done> toldOf(Result<Made> made) {
    if (!made)
        return fail(made.error());
    return Done{std::move(made->saved), {}, {}};
}

} // namespace

ReplayPhone& ReplayActs::phone(std::string_view name) {
    return **std::find_if(m_phones.begin(), m_phones.end(), [&](const auto& p) { return p->name() == name; });
}

Result<void> ReplayActs::perform(const Act& act) {
    ReplayPhone& phone = this->phone(act.phone);
    for (const auto& each : m_phones)
        each->clock().setTrueTime(act.at);
    if (act.what != Do::Name)
        if (auto started = phone.ensureStarted("phone " + phone.name()); !started)
            return fail(started.error());
    auto done = run(act, phone);
    if (!done && (isBroken(done.error().code) || !act.isRefused))
        return fail(done.error());
    if (done && act.isRefused)
        return fail(Code::BadInput, std::string(wordOf(act.what)) + " was not refused");
    const Done known = done ? std::move(*done) : Done{};
    if (!act.as.empty())
        m_labels[act.as] = known;
    return act.expect ? check(act, phone, known) : Result<void>();
}

Result<ReplayActs::Done> ReplayActs::run(const Act& act, ReplayPhone& phone) {
    if (act.what <= Do::CountLot)
        return runStation(act, phone);
    if (act.what <= Do::GiveAway)
        return runStock(act, phone);
    if (act.what <= Do::Measured)
        return runButterfly(act, phone);
    if (act.what <= Do::Settle)
        return runAmending(act, phone);
    return runPhone(act, phone);
}

Result<ReplayActs::Done> ReplayActs::runStation(const Act& act, ReplayPhone& phone) {
    Station& station = phone.services().station;
    FieldSession& session = phone.services().session;
    auto persisting = session.persisting();
    switch (act.what) {
    case Do::Name:
        return told<Done>(phone.ensureStarted(text(act, "name")));
    case Do::Found:
        return told<Done>(station.found(text(act, "name")));
    case Do::Enrol:
        return told<Done>(
            station.enrol(this->phone(text(act, "device")).journal().device(), text(act, "role")));
    case Do::Person:
        return toldOf<Done>(station.person(text(act, "initials")));
    case Do::Recorder: {
        auto person = station.person(text(act, "initials"));
        if (!person)
            return fail(person.error());
        phone.setRecorder(person->id);
        return Done{std::move(person->saved)};
    }
    case Do::Visitor: {
        const std::int64_t n = number(act, "number", 1);
        auto person = station.visitor(n);
        if (!person)
            return fail(person.error());
        phone.visitors[n] = person->id;
        persisting.tagger = person->id.text();
        if (auto carried = session.carry(std::move(persisting)); !carried)
            return fail(carried.error());
        return Done{std::move(person->saved)};
    }
    case Do::Site: {
        Station::NewSite site{text(act, "name"), {}, 1000 * number(act, "radius_m", 0)};
        if (act.members.contains("position"))
            site.position = typedPosition(text(act, "position"), number(act, "uncertainty_m", 10));
        return toldOf<Done>(station.site(site));
    }
    case Do::ChooseSite: {
        const std::string name = text(act, "name");
        persisting.site.clear();
        if (!name.empty()) {
            const auto site = station.findSite(name);
            if (!site)
                return fail(site.error());
            if (!*site)
                return fail(Code::NotFound, "site " + name);
            persisting.site = (*site)->text();
        }
        if (auto carried = session.carry(std::move(persisting)); !carried)
            return fail(carried.error());
        return Done{};
    }
    case Do::Lot:
        return toldOf<Done>(station.lot({text(act, "name"), text(act, "stage"), number(act, "count", 0)}));
    case Do::CountLot:
    default: {
        const auto lot = station.findLot(text(act, "name"));
        if (!lot)
            return fail(lot.error());
        if (!*lot)
            return fail(Code::NotFound, "lot " + text(act, "name"));
        return told<Done>(station.countLot(**lot, text(act, "stage"), number(act, "count", 0)));
    }
    }
}

Result<ReplayActs::Done> ReplayActs::runStock(const Act& act, ReplayPhone& phone) {
    Stock& stock = phone.services().stock;
    if (act.what == Do::Sheet)
        return told<Done>(
            stock.receive({text(act, "first"), static_cast<std::uint32_t>(number(act, "count", 25)),
                           optionalText(act, "scheme"), static_cast<int>(number(act, "per_row", 0))}));
    const auto run = runOf(act, phone);
    if (!run)
        return fail(run.error());
    switch (act.what) {
    case Do::Hand:
        return told<Done>(stock.hand(*run, this->phone(text(act, "to")).journal().device()));
    case Do::Take:
        return told<Done>(stock.take(*run));
    case Do::Return:
        return told<Done>(stock.giveBack(*run));
    case Do::Paper:
        return told<Done>(stock.usedOnPaper(*run));
    case Do::Missing:
        return told<Done>(stock.missing(*run));
    case Do::GiveAway:
    default:
        return told<Done>(stock.giveAway(*run, text(act, "to")));
    }
}

Result<std::string> ReplayActs::butterflyNamed(const std::string& ref) {
    if (!ref.starts_with('@'))
        return ref;
    const auto label = m_labels.find(std::string_view(ref).substr(1));
    if (label == m_labels.end() || !label->second.butterfly)
        return fail(Code::NotFound, "a butterfly that " + ref + " was about");
    return label->second.butterfly->text();
}

Result<std::optional<std::string>> ReplayActs::which(const Act& act) {
    const auto ref = optionalText(act, "butterfly");
    if (!ref)
        return std::optional<std::string>();
    const auto named = butterflyNamed(*ref);
    if (!named)
        return fail(named.error());
    return std::optional(*named);
}

Result<ReplayActs::Done> ReplayActs::note(const Act& act, ReplayPhone& phone) {
    Tagging::Note note;
    note.code = optionalText(act, "code");
    note.sex = textIn(act.members, "sex").value_or("unknown");
    note.origin = text(act, "origin");
    note.measures = measuresIn(act);
    if (const auto* tagger = act.members.if_contains("tagger")) {
        if (tagger->is_null()) {
            auto persisting = phone.services().session.persisting();
            persisting.tagger.clear();
            if (auto carried = phone.services().session.carry(std::move(persisting)); !carried)
                return fail(carried.error());
        } else if (tagger->is_int64()) {
            const auto visitor = phone.visitors.find(tagger->as_int64());
            if (visitor == phone.visitors.end())
                return fail(Code::NotFound,
                            "visitor " + std::to_string(tagger->as_int64()) + " on this phone");
            note.tagger = visitor->second.text();
        } else {
            const auto person = phone.services().station.person(text(act, "tagger"));
            if (!person)
                return fail(person.error());
            note.tagger = person->id.text();
        }
    }
    if (act.members.contains("lot")) {
        const auto lot = phone.services().station.findLot(text(act, "lot"));
        if (!lot)
            return fail(lot.error());
        if (!*lot)
            return fail(Code::NotFound, "lot " + text(act, "lot"));
        note.lot = (*lot)->text();
    }
    auto noted = phone.services().tagging.note(note);
    if (!noted)
        return fail(noted.error());
    return Done{std::move(noted->saved), noted->butterfly};
}

Result<ReplayActs::Done> ReplayActs::compared(const Act& act, ReplayPhone& phone) {
    const auto offered = phone.services().stock.read(text(act, "offered"));
    if (!offered)
        return fail(offered.error());
    const auto says = phone.services().stock.read(text(act, "says"));
    if (!says)
        return fail(says.error());
    std::vector<Uuid> butterflies;
    for (const auto& item : act.members.at("butterflies").as_array()) {
        const auto named = butterflyNamed(std::string(std::string_view(item.as_string())));
        if (!named)
            return fail(named.error());
        const auto found = phone.services().tagging.find(*named);
        if (!found)
            return fail(found.error());
        butterflies.push_back(found->id);
    }
    return told<Done>(phone.services().tagging.comparedApart(offered->code, says->code, butterflies));
}

Result<ReplayActs::Done> ReplayActs::recaptured(const Act& act, ReplayPhone& phone) {
    Tagging::Recapture what;
    what.code = optionalText(act, "code");
    what.mark = textIn(act.members, "mark").value_or("readable");
    what.sex = textIn(act.members, "sex").value_or("unknown");
    what.origin = text(act, "origin");
    what.measures = measuresIn(act);
    auto done = phone.services().tagging.recaptured(what);
    if (!done)
        return fail(done.error());
    return Done{std::move(done->saved), done->butterfly};
}

Result<ReplayActs::Done> ReplayActs::runButterfly(const Act& act, ReplayPhone& phone) {
    Tagging& tagging = phone.services().tagging;
    auto persisting = phone.services().session.persisting();
    switch (act.what) {
    case Do::Note:
        return note(act, phone);
    case Do::Compared:
        return compared(act, phone);
    case Do::Recaptured:
        return recaptured(act, phone);
    case Do::Cage:
        if (act.members.contains("name"))
            persisting.cage = text(act, "name");
        if (act.members.contains("habit"))
            persisting.habit =
                text(act, "habit") == "cage" ? FieldSession::Habit::IntoCage : FieldSession::Habit::LetGo;
        if (auto carried = phone.services().session.carry(std::move(persisting)); !carried)
            return fail(carried.error());
        return Done{};
    case Do::ReleaseCage: {
        std::vector<std::string> except;
        if (const auto* list = act.members.if_contains("except"))
            for (const auto& item : list->as_array()) {
                const auto named = butterflyNamed(std::string(std::string_view(item.as_string())));
                if (!named)
                    return fail(named.error());
                except.push_back(*named);
            }
        return told<Done>(tagging.releaseCage(text(act, "cage"), except));
    }
    default:
        break;
    }
    if (act.what == Do::Spoiled && act.members.contains("code")) {
        const auto code = phone.services().stock.read(text(act, "code"));
        if (!code)
            return fail(code.error());
        return told<Done>(phone.services().stock.spoil(code->code));
    }
    const auto which = this->which(act);
    if (!which)
        return fail(which.error());
    // Found before, since what the act does may make it another answer.
    const auto before = tagging.find(*which);
    const auto about = before ? std::optional(before->id) : std::nullopt;
    const auto tag = text(act, "tag") == "on" ? Tagging::TagOn::Wing : Tagging::TagOn::Nothing;
    Result<Saved> saved = fail(Code::BadInput);
    switch (act.what) {
    case Do::Hold:
        saved = tagging.hold(*which, text(act, "cage"));
        break;
    case Do::Release:
        saved = tagging.release(*which);
        break;
    case Do::ExceptAfterwards:
        saved = tagging.exceptAfterwards(which->value_or(""), text(act, "how") == "died"
                                                                  ? Tagging::Except::Died
                                                                  : Tagging::Except::Stayed);
        break;
    case Do::Escaped:
        saved = tagging.escaped(*which, tag);
        break;
    case Do::Died:
        saved = tagging.died(*which, tag);
        break;
    case Do::Untagged:
        saved = tagging.untagged(*which, {text(act, "why"),
                                          std::string(textIn(act.members, "sex").value_or("unknown")),
                                          text(act, "origin")});
        break;
    case Do::Spoiled:
        saved = tagging.spoiled(*which, optionalText(act, "next"));
        break;
    case Do::Retagged:
        saved = tagging.retagged(*which, optionalText(act, "next"));
        break;
    case Do::Measured:
        saved = tagging.measured(*which, measuresIn(act));
        break;
    default:
        break;
    }
    if (!saved)
        return fail(saved.error());
    return Done{std::move(*saved), about};
}

Result<ReplayActs::Done> ReplayActs::correct(const Act& act, ReplayPhone& phone) {
    Uuid line;
    std::optional<Uuid> about;
    if (const auto label = optionalText(act, "line")) {
        const auto known = m_labels.find(std::string_view(*label).substr(1));
        if (known == m_labels.end() || known->second.saved.lines.empty())
            return fail(Code::NotFound, "a line that " + *label + " wrote");
        line = known->second.saved.lines.back().id;
        about = known->second.butterfly;
    } else {
        const auto which = this->which(act);
        if (!which)
            return fail(which.error());
        const auto b = phone.services().tagging.find(*which);
        if (!b)
            return fail(b.error());
        const auto noted = Uuid::parse(b->noteLine);
        if (!noted)
            return fail(Code::NotFound, "a line that noted this butterfly");
        line = *noted;
        about = b->id;
    }
    auto saved =
        phone.services().amending.correct(line, text(act, "field"), text(act, "value"), text(act, "why"));
    if (!saved)
        return fail(saved.error());
    return Done{std::move(*saved), about};
}

Result<ReplayActs::Done> ReplayActs::runAmending(const Act& act, ReplayPhone& phone) {
    Amending& amending = phone.services().amending;
    switch (act.what) {
    case Do::Weather:
        return told<Done>(
            readWeather(phone.services().writer, phone.services().session,
                        {thousandths(act, "temp_c").value_or(0), thousandths(act, "wind_m_s"),
                         numberIn(act.members, "cloud_percent"), claimIn(act.members, "rain")}));
    case Do::Close:
        return told<Done>(phone.services().session.close(
            {numberIn(act.members, "minutes"), numberIn(act.members, "people"), text(act, "text")}));
    case Do::Correct:
        return correct(act, phone);
    case Do::Undo: {
        const auto last = amending.lastAct();
        if (!last)
            return fail(last.error());
        if (!*last)
            return fail(Code::NothingToDo, "nothing to take back");
        return told<Done>(amending.withdraw(**last, text(act, "why")));
    }
    case Do::Withdraw: {
        const auto known = m_labels.find(std::string_view(text(act, "what")).substr(1));
        if (known == m_labels.end() || known->second.saved.lines.empty())
            return fail(Code::NotFound, "a line that " + text(act, "what") + " wrote");
        return told<Done>(amending.withdraw(known->second.saved.act(), text(act, "why")));
    }
    case Do::ErasePerson: {
        const auto person = phone.services().station.findPerson(text(act, "initials"));
        if (!person)
            return fail(person.error());
        if (!*person)
            return fail(Code::NotFound, "person " + text(act, "initials"));
        return told<Done>(amending.erasePerson(**person, text(act, "why")));
    }
    case Do::Settle:
    default:
        return told<Done>(amending.settle(text(act, "doubt"), text(act, "choice"), text(act, "why")));
    }
}

Result<ReplayActs::Done> ReplayActs::runPhone(const Act& act, ReplayPhone& phone) {
    switch (act.what) {
    case Do::Clock:
        phone.clock().setSkew(std::chrono::seconds(number(act, "skew_s", 0)));
        return Done{};
    case Do::Reboot:
        if (auto again = phone.reboot(); !again)
            return fail(again.error());
        return Done{};
    case Do::Zone: {
        const std::string offset = text(act, "offset");
        const auto two = [&](std::size_t at) { return (offset[at] - '0') * 10 + (offset[at + 1] - '0'); };
        const std::chrono::minutes minutes(two(1) * 60 + two(4));
        phone.clock().setZone(offset[0] == '-' ? -minutes : minutes, optionalText(act, "zone"));
        return Done{};
    }
    case Do::Parcel: {
        ReplayPhone& to = this->phone(text(act, "to"));
        if (!m_exchange)
            return fail(Code::NotAllowed, "a way for parcels");
        if (auto started = to.ensureStarted("phone " + to.name()); !started)
            return fail(started.error());
        if (auto brought = m_exchange(phone.journal(), to.journal()); !brought)
            return fail(brought.error());
        return Done{};
    }
    case Do::Read: {
        auto sight = m_look.at(act, phone);
        if (!sight)
            return fail(sight.error());
        return Done{{}, {}, std::move(*sight)};
    }
    case Do::Idle:
    default:
        if (auto idle = phone.journal().idle(); !idle)
            return fail(idle.error());
        return Done{};
    }
}

Result<void> ReplayActs::check(const Act& act, ReplayPhone& phone, const Done& done) {
    const Expect& expect = *act.expect;
    auto& projections = phone.journal().projections();
    const auto differs = [](std::string_view what, const std::string& expected, const std::string& found) {
        return fail(Code::BadInput, std::string(what) + " expected " + expected + ", found " + found);
    };
    const auto count = [&](std::string_view what, const std::optional<std::int64_t>& expected,
                           std::size_t found) -> Result<void> {
        if (!expected || *expected == static_cast<std::int64_t>(found))
            return {};
        return differs(what, std::to_string(*expected), std::to_string(found));
    };
    if (done.sight) {
        if (auto same = compare(expect, *done.sight); !same)
            return same;
    } else if (expect.code || expect.fate) {
        std::optional<std::string> which =
            done.butterfly ? std::optional(done.butterfly->text()) : std::nullopt;
        if (expect.butterfly) {
            const auto named = butterflyNamed(*expect.butterfly);
            if (!named)
                return fail(named.error());
            which = *named;
        }
        if (!which)
            return fail(Code::BadInput, "expect: a butterfly that this act is about");
        const auto b = phone.services().tagging.find(which);
        if (!b)
            return fail(b.error());
        if (expect.code && b->currentCode() != expect.code)
            return differs("code", *expect.code, b->currentCode().value_or("none"));
        if (expect.fate && textOf(b->fate) != *expect.fate)
            return differs("fate", *expect.fate, std::string(textOf(b->fate)));
    }
    if (expect.next) {
        const auto next = phone.services().stock.nextFree();
        if (!next)
            return fail(next.error());
        const std::string found = *next ? (*next)->text() : std::string();
        if (found != *expect.next)
            return differs("next", *expect.next, found.empty() ? "none" : found);
    }
    if (expect.doubts) {
        const auto doubts = projections.doubts();
        if (!doubts)
            return fail(doubts.error());
        std::size_t open = 0;
        std::string keys;
        for (const auto& d : *doubts)
            if (!d.settled) {
                ++open;
                keys += " " + d.doubt.key() + ";";
            }
        if (static_cast<std::int64_t>(open) != *expect.doubts)
            return differs("doubts", std::to_string(*expect.doubts), std::to_string(open) + ":" + keys);
    }
    if (expect.held) {
        const auto held = projections.butterfliesWithFate(Fate::Held);
        if (!held)
            return fail(held.error());
        if (auto same = count("held", expect.held, held->size()); !same)
            return same;
    }
    return count("lines", expect.lines, done.saved.lines.size());
}

} // namespace discal::services::sample
