#include "cli/field_options.h"
#include "cli/line_words.h"
#include "cli/typed.h"
#include "cli/verbs.h"
#include "reading/picture_file.h"
#include "reading/sheet_label.h"

#include <array>
#include <charconv>
#include <memory>

namespace discal::cli {

namespace json = boost::json;
using services::Saved;
using tag::Sheet;

namespace {

struct Typed {
    std::vector<std::string> run;
    std::string to;
    int perRow{0};
    std::string scheme;
    std::string picture;
    bool isHeld{false};
    bool hasTags{false};
    std::size_t count{1};
};

/// Adds a verb that writes about a run of tags.
CLI::App& addRunVerb(CLI::App& group, Call& call, const std::string& name, const std::string& what,
                     const std::string& example, const std::shared_ptr<Typed>& typed,
                     const std::function<Result<Saved>(Workbench&, const tag::Run&, const Typed&)>& body) {
    CLI::App& verb = addVerb(group, call, name, what, example, On::OwnJournal, [&call, typed, body] {
        const auto bench = Workbench::forWriting(call);
        if (!bench)
            return refuse(bench.error());
        const auto run = runIn(typed->run, (*bench)->stock, (*bench)->projections());
        if (!run)
            return refuse(run.error());
        const auto saved = body(**bench, *run, *typed);
        if (!saved)
            return refuse(saved.error());
        std::vector<std::string> said;
        for (const auto& line : saved->lines)
            if (const auto back = (*bench)->readBack(line))
                said.push_back(sentenceOf(back->line, (*bench)->names));
        Told told{listed(said) + "."};
        told.members["run"] = run->text();
        told.members["count"] = run->count;
        return report(Output(call.isJson), **bench, told);
    });
    addRun(verb, typed->run);
    return verb;
}

Result<services::Stock::NewSheet> sheetIn(const Typed& typed) {
    services::Stock::NewSheet sheet;
    const auto& words = typed.run;
    const std::string& number = words.back();
    const auto end = std::from_chars(number.data(), number.data() + number.size(), sheet.count);
    if (end.ec != std::errc() || end.ptr != number.data() + number.size())
        return fail(Code::BadInput, "the first code and how many: \"RKD 001\" 25");
    sheet.first = *codeIn({words.begin(), words.end() - 1});
    sheet.perRow = typed.perRow;
    if (!typed.scheme.empty())
        sheet.scheme = typed.scheme;
    return sheet;
}

Result<Told> add(Workbench& bench, const services::Stock::NewSheet& sheet) {
    const auto saved = bench.stock.receive(sheet);
    if (!saved)
        return fail(saved.error());
    const auto back = bench.readBack(saved->lines.back());
    if (!back)
        return fail(back.error());
    Told told{sentenceOf(back->line, bench.names) + "."};
    told.members["sheet"] = back->line.about.front().text();
    told.members["run"] = codeOf(back->line, bench.names);
    return told;
}

/// What a photographed label says, and with --held takes it into stock: the label alone doesn't say who holds it.
int addLabel(const Call& call, const Typed& typed) {
    const auto frame = reading::loadPicture(typed.picture);
    if (!frame)
        return refuse(frame.error());
    const auto label = reading::sheetLabelIn(*frame);
    if (!label)
        return refuse(label.error());
    const auto run = label->run();
    if (!run)
        return refuse("The label names " + label->first.text() +
                      " and not how many there are; nothing was saved. Count them: discalctl stock add \"" +
                      label->first.text() + "\" COUNT");
    if (!typed.isHeld) {
        const Output out(call.isJson);
        out.say("The label says " + run->text() + ": " + counted(run->count, "tag", "tags") +
                (label->perRow > 0 ? ", " + std::to_string(label->perRow) + " in a row" : "") +
                ". It doesn't say who holds them; nothing was saved. With --held this device does from now on.");
        out.put({{"run", run->text()},
                 {"first", label->first.text()},
                 {"count", run->count},
                 {"scheme", label->scheme.pattern()},
                 {"per_row", label->perRow},
                 {"added", false}});
        return kDone;
    }
    const auto bench = Workbench::forWriting(call);
    if (!bench)
        return refuse(bench.error());
    auto told = add(**bench, {label->first.text(), run->count, label->scheme.pattern(), label->perRow});
    if (!told)
        return refuse(told.error());
    told->members["added"] = true;
    return report(Output(call.isJson), **bench, *told);
}

int addSheet(const Call& call, const Typed& typed) {
    const bool isTyped = typed.run.size() >= 2;
    if (isTyped != typed.picture.empty() || (isTyped && typed.isHeld) ||
        (!isTyped && (typed.perRow > 0 || !typed.scheme.empty() || !typed.run.empty())))
        return misunderstood("Give FIRST_COUNT, the first code and how many there are, or --label with a picture.");
    if (!isTyped)
        return addLabel(call, typed);
    const auto bench = Workbench::forWriting(call);
    if (!bench)
        return refuse(bench.error());
    const auto sheet = sheetIn(typed);
    const auto told = sheet ? add(**bench, *sheet) : fail(sheet.error());
    return told ? report(Output(call.isJson), **bench, *told) : refuse(told.error());
}

constexpr std::array<tag::Fate, 6> kFates{tag::Fate::Free,  tag::Fate::OnButterfly, tag::Fate::Spoiled,
                                          tag::Fate::Paper, tag::Fate::Missing,     tag::Fate::Given};

int list(const Call& call, bool hasTags) {
    const auto bench = Workbench::forReading(call);
    if (!bench)
        return refuse(bench.error());
    auto& projections = (*bench)->projections();
    Names& names = (*bench)->names;
    const auto sheets = projections.sheets();
    if (!sheets)
        return refuse(sheets.error());
    const Output out(call.isJson);
    if (sheets->empty())
        out.say("No sheet is in this journal; discalctl stock add FIRST COUNT takes one in.");
    for (const Sheet& sheet : *sheets) {
        if (!sheet.run) {
            out.say("A sheet whose own line is not here yet (" + sheet.id.text() + ")");
            out.put({{"sheet", sheet.id.text()}, {"run", nullptr}});
            continue;
        }
        std::array<std::int64_t, kFates.size()> counts{};
        std::vector<std::string> lines;
        json::array tags;
        std::int64_t unreadable = 0;
        for (std::uint32_t i = 0; i < sheet.run->count; ++i) {
            const tag::Code code = sheet.run->at(i);
            const auto state = projections.tag(code);
            if (!state)
                return refuse(state.error());
            ++counts[static_cast<std::size_t>(state->fate)];
            unreadable += state->needsNewer ? 1 : 0;
            if (!hasTags)
                continue;
            std::string line = "  " + code.text() + "  " + std::string(tag::textOf(state->fate));
            if (state->fate == tag::Fate::Free)
                line += state->holder.empty() ? ", offered by nobody" : ", with " + names.device(state->holder);
            if (state->needsNewer)
                line += ", " + std::string(kNeedsNewer);
            lines.push_back(std::move(line));
            json::object tag{{"code", code.text()}, {"fate", tag::textOf(state->fate)}};
            if (!state->holder.empty())
                tag["holder"] = state->holder;
            if (state->needsNewer)
                tag["needs_newer"] = true;
            if (state->butterflies.size() == 1)
                tag["butterfly"] = state->butterflies.front().text();
            tags.push_back(std::move(tag));
        }
        std::string text = sheet.run->text() + ": ";
        json::object object{
            {"sheet", sheet.id.text()}, {"run", sheet.run->text()}, {"scheme", sheet.run->scheme.pattern()}};
        for (std::size_t i = 0; i < kFates.size(); ++i) {
            const std::string fate(tag::textOf(kFates[i]));
            if (counts[i] > 0 || i < 2)
                text += (i > 0 ? ", " : "") + std::to_string(counts[i]) + " " + fate;
            object[fate] = counts[i];
        }
        json::array holders;
        std::vector<std::string> held;
        for (const auto& [device, runs] : sheet.holders) {
            std::string pieces;
            for (const tag::Run& run : runs.runs())
                pieces += (pieces.empty() ? "" : ", ") + run.text();
            if (pieces.empty())
                continue;
            held.push_back((runs.count() == sheet.run->count ? "" : pieces + " ") + "with " +
                           names.device(device));
            holders.push_back(json::object{{"device", device}, {"runs", pieces}, {"count", runs.count()}});
        }
        object["holders"] = std::move(holders);
        object["per_row"] = sheet.perRow;
        if (!sheet.contested.isEmpty())
            held.emplace_back("in doubt between devices: offered by nobody");
        if (unreadable > 0)
            held.push_back(std::to_string(unreadable) + (unreadable == 1 ? " needs" : " need") + " a newer Discal");
        object["needs_newer"] = unreadable;
        out.say(text + (held.empty() ? "" : "; " + listed(held)));
        for (const auto& line : lines)
            out.say(line);
        if (hasTags)
            object["tags"] = std::move(tags);
        out.put(object);
    }
    return kDone;
}

int giveBack(const Call& call, const std::vector<std::string>& typed) {
    const auto bench = Workbench::forWriting(call);
    if (!bench)
        return refuse(bench.error());
    auto& projections = (*bench)->projections();
    const std::string own = (*bench)->journal().device().text();
    std::vector<tag::Run> runs;
    if (!typed.empty()) {
        const auto run = runIn(typed, (*bench)->stock, projections);
        if (!run)
            return refuse(run.error());
        runs.push_back(*run);
    } else {
        // Everything that another device handed on to this one.
        const auto sheets = projections.sheetsHeldBy((*bench)->journal().device());
        if (!sheets)
            return refuse(sheets.error());
        for (const Sheet& sheet : *sheets)
            for (const auto& [giver, given] : sheet.giversOf(sheet.holders.at(own), own))
                for (const tag::Run& run : given.runs())
                    runs.push_back(run);
    }
    std::vector<std::string> said;
    std::optional<Error> nothing;
    for (const tag::Run& run : runs) {
        const auto saved = (*bench)->stock.giveBack(run);
        if (!saved && saved.error().code != Code::NothingToDo)
            return refuse(saved.error());
        if (!saved) {
            nothing = saved.error();
            continue;
        }
        for (const auto& line : saved->lines)
            if (const auto back = (*bench)->readBack(line))
                said.push_back(sentenceOf(back->line, (*bench)->names));
    }
    if (said.empty())
        return refuse(
            nothing.value_or(Error{Code::NothingToDo, "no free tag here came from another device"}));
    return report(Output(call.isJson), **bench, {listed(said) + "."});
}

int next(const Call& call, std::size_t count) {
    const auto bench = Workbench::forReading(call);
    if (!bench)
        return refuse(bench.error());
    const auto codes = (*bench)->stock.nextFree(count);
    if (!codes)
        return refuse(codes.error());
    if (codes->empty())
        return refuse(Error{Code::NotFound, "a free tag on this device"});
    const Output out(call.isJson);
    for (const auto& code : *codes) {
        out.say(code.text());
        out.put({{"code", code.text()}});
    }
    return kDone;
}

void addSheets(CLI::App& stock, Call& call) {
    const auto added = std::make_shared<Typed>();
    CLI::App& sheet =
        addVerb(stock, call, "add", "Take a sheet into stock", "stock add \"RKD 001\" 25 --per-row 5",
                On::OwnJournal, [&call, added] { return addSheet(call, *added); });
    sheet.add_option("FIRST_COUNT", added->run, "the first code and how many")->expected(0, 3)->type_name("");
    sheet.add_option("--label", added->picture, "a picture of the sheet's label instead: says what is on it")
        ->type_name("IMAGE");
    sheet.add_flag("--held", added->isHeld, "with --label: this device holds the sheet from now on");
    sheet.add_option("--per-row", added->perRow, "tags in a printed row")
        ->check(CLI::Range(0, 1000))
        ->type_name("N");
    sheet
        .add_option("--scheme", added->scheme,
                    "how codes are built, such as AAA000, or AAA000-IO without I and O")
        ->type_name("PATTERN");

    const auto listing = std::make_shared<Typed>();
    CLI::App& lists =
        addVerb(stock, call, "list", "List sheets: run, tags by fate, holder", "stock list --tags",
                On::OwnJournal, [&call, listing] { return list(call, listing->hasTags); });
    lists.add_flag("--tags", listing->hasTags, "each tag too");

    const auto asked = std::make_shared<Typed>();
    CLI::App& nexts =
        addVerb(stock, call, "next", "Print the next free code of this device, or the next N", "stock next 3",
                On::OwnJournal, [&call, asked] { return next(call, asked->count); });
    nexts.add_option("N", asked->count)->check(CLI::Range(1, 10'000))->type_name("");
}

void addHanding(CLI::App& stock, Call& call) {
    auto typed = std::make_shared<Typed>();
    CLI::App& hand = addRunVerb(stock, call, "hand", "Hand a run on to another device",
                                "stock hand \"RKD 001..RKD 010\" --to eh7ddx", typed,
                                [](Workbench& bench, const tag::Run& run, const Typed& t) -> Result<Saved> {
                                    const auto device = bench.names.findDevice(t.to);
                                    return device ? bench.stock.hand(run, *device) : fail(device.error());
                                });
    hand.add_option("--to", typed->to,
                    "the device, or the first 6 or more characters of one that is known here")
        ->required()
        ->type_name("DEVICE");

    addRunVerb(stock, call, "take", "Say that a run is in this hand, though no line says so",
               "stock take RKD001..010", std::make_shared<Typed>(),
               [](Workbench& bench, const tag::Run& run, const Typed&) { return bench.stock.take(run); });

    const auto back = std::make_shared<Typed>();
    CLI::App& returned =
        addVerb(stock, call, "return", "Hand free tags back to the device that handed them to this one",
                "stock return \"RKD 001..RKD 010\"", On::OwnJournal,
                [&call, back] { return giveBack(call, back->run); });
    returned
        .add_option("RUN", back->run,
                    "without it all that came from other devices; each part goes to its own giver")
        ->expected(0, 6)
        ->type_name("");
}

void addFatesOfTags(CLI::App& stock, Call& call) {
    const auto ruined = std::make_shared<Typed>();
    CLI::App& spoil = addVerb(stock, call, "spoil", "A tag is ruined before it was on a wing",
                              "stock spoil \"RKD 014\"", On::OwnJournal, [&call, ruined] {
                                  const auto bench = Workbench::forWriting(call);
                                  if (!bench)
                                      return refuse(bench.error());
                                  const auto code = (*bench)->stock.read(codeIn(ruined->run).value_or(""));
                                  if (!code)
                                      return refuse(code.error());
                                  if (auto saved = (*bench)->stock.spoil(code->code); !saved)
                                      return refuse(saved.error());
                                  Told told{code->code.text() + " is spoiled and is not offered any more."};
                                  told.members["code"] = code->code.text();
                                  return report(Output(call.isJson), **bench, told);
                              });
    spoil.add_option("CODE", ruined->run, "its code")->expected(1, 2)->required()->type_name("");

    addRunVerb(stock, call, "missing", "Tags that can't be found", "stock missing RKD021..025",
               std::make_shared<Typed>(),
               [](Workbench& bench, const tag::Run& run, const Typed&) { return bench.stock.missing(run); });
    addRunVerb(
        stock, call, "paper", "Tags used on a paper sheet; the lines are still to be typed",
        "stock paper \"RKD 101..RKD 125\"", std::make_shared<Typed>(),
        [](Workbench& bench, const tag::Run& run, const Typed&) { return bench.stock.usedOnPaper(run); });
    const auto given = std::make_shared<Typed>();
    CLI::App& give = addRunVerb(stock, call, "give", "Give tags away for good",
                                "stock give RKD076..100 --to \"Ferncliff School\"", given,
                                [](Workbench& bench, const tag::Run& run, const Typed& t) {
                                    return bench.stock.giveAway(run, t.to);
                                });
    give.add_option("--to", given->to, "who has them now; kept beside the lines and can be erased")
        ->required()
        ->type_name("TEXT");
}

} // namespace

void addStockVerbs(CLI::App& app, Call& call) {
    CLI::App& stock = addGroup(app, "stock", "Sheets and their tags");
    addSheets(stock, call);
    addHanding(stock, call);
    addFatesOfTags(stock, call);
    addLabelVerb(stock, call);
}

} // namespace discal::cli
