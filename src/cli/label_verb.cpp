#include "cli/typed.h"
#include "cli/verbs.h"
#include "cli/workbench.h"
#include "core/tag/label.h"

#include <memory>

#if DISCAL_DRAWS
#include "print/offscreen.h"
#include "print/sheet_label.h"

#include <map>
#endif

namespace discal::cli {

namespace {

struct Typed {
    std::vector<std::string> words; ///< which run or sheet, then the file
    std::string paper{"label"};
};

#if DISCAL_DRAWS

using tag::SheetLabel;

const std::map<std::string, print::Paper> kPapers{
    {"label", print::Paper::Label}, {"a4", print::Paper::A4}, {"letter", print::Paper::Letter}};

SheetLabel labelOf(const tag::Run& run, int perRow) {
    return {run.scheme, run.at(0), run.count, perRow};
}

/// A sheet by its id or by one of its codes, or a run: then what else is known of the sheet that it is part of.
Result<SheetLabel> labelFor(Workbench& bench, const std::vector<std::string>& which) {
    if (which.size() == 1)
        if (const auto id = journal::Uuid::parse(which.front())) {
            const auto sheet = bench.projections().sheet(id->text());
            if (!sheet)
                return fail(sheet.error());
            if (!*sheet || !(*sheet)->run)
                return fail(Code::NotFound, "sheet " + which.front());
            return labelOf(*(*sheet)->run, (*sheet)->perRow);
        }
    const auto code = tag::parseAny(codeIn(which).value_or(""));
    const auto run = code ? Result<tag::Run>(tag::Run{tag::Scheme::of(*code), tag::Scheme::of(*code).ordinal(*code), 1})
                          : runIn(which, bench.stock, bench.projections());
    if (!run)
        return fail(run.error());
    const auto sheets = bench.projections().sheetsWith(run->at(0));
    if (!sheets)
        return fail(sheets.error());
    for (const tag::Sheet& sheet : *sheets)
        if (sheet.run && sheet.run->contains(run->at(0)) && sheet.run->contains(run->last()))
            return code ? labelOf(*sheet.run, sheet.perRow) : labelOf(*run, sheet.perRow);
    return code ? fail(Code::NotFound, "a sheet with " + code->text()) : Result<SheetLabel>(labelOf(*run, 0));
}

Result<std::string> stationName(Workbench& bench) {
    if (bench.projections().roles().station().empty())
        return std::string();
    const auto station = bench.projections().record(journal::RecordType::Station, "station");
    if (!station)
        return fail(station.error());
    return std::string(*station ? journal::textIn((*station)->members, "name").value_or("") : "");
}

int printLabel(const Call& call, const Typed& typed) {
    const std::filesystem::path file = typed.words.back();
    const bool isPdf = file.extension() == ".pdf";
    if (!isPdf && file.extension() != ".png")
        return misunderstood("The file's name ends in .pdf or .png.");
    const auto bench = Workbench::forReading(call);
    if (!bench)
        return refuse(bench.error());
    const auto label = labelFor(**bench, {typed.words.begin(), typed.words.end() - 1});
    if (!label)
        return refuse(label.error());
    const auto station = stationName(**bench);
    if (!station)
        return refuse(station.error());
    const print::Offscreen offscreen;
    const print::SheetLabelPrint printed{*label, *station};
    const auto paper = kPapers.at(typed.paper);
    const auto written = isPdf ? print::writeLabelPdf(printed, file, paper) : print::writeLabelPng(printed, file, paper);
    if (!written)
        return refuse(written.error());
    const auto run = label->run();
    const Output out(call.isJson);
    out.say("The label for " + run->text() + " is in " + file.string() + "; read back, it says the same.");
    out.put({{"file", file.string()},
             {"run", run->text()},
             {"count", run->count},
             {"text", tag::labelText(*label)},
             {"paper", typed.paper}});
    return kDone;
}

#else

int printLabel(const Call&, const Typed&) {
    return refuse("This discalctl was built without Qt, which draws labels; nothing was written. Use one that was built "
                  "with the app.");
}

#endif

} // namespace

void addLabelVerb(CLI::App& stock, Call& call) {
    const auto typed = std::make_shared<Typed>();
    CLI::App& verb = addVerb(stock, call, "label", "Draw a label for a sheet, or a run of it, with a code to photograph",
                             "stock label \"RKD 001\" sheet.pdf", On::OwnJournal,
                             [&call, typed] { return printLabel(call, *typed); });
    verb.add_option("WHICH_OUT", typed->words,
                    "a code on the sheet, a run (\"RKD 001..RKD 010\") or a sheet's id; then the file, .pdf or .png")
        ->expected(2, 5)
        ->required()
        ->type_name("");
    verb.add_option("--paper", typed->paper, "label (62 x 29 mm), a4 or letter")
        ->check(CLI::IsMember({"label", "a4", "letter"}))
        ->type_name("PAPER");
}

} // namespace discal::cli
