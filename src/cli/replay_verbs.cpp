#include "cli/error_text.h"
#include "cli/new_journal.h"
#include "cli/output.h"
#include "cli/reading_words.h"
#include "cli/verbs.h"
#include "reading/picture_file.h"
#include "reading/reader.h"
#include "services/sample/replay.h"
#include "services/system/own_gazetteer.h"
#include "sync/delivery.h"

#include <cmath>
#include <fstream>
#include <iterator>
#include <memory>
#include <optional>

namespace discal::cli {

namespace fs = std::filesystem;
namespace sample = services::sample;

namespace {

/// All chains that `from` holds go to `to`, as parcels would bring them.
Result<void> exchange(storage::Journal& from, storage::Journal& to) {
    const auto chains = from.file().chains();
    if (!chains)
        return fail(chains.error());
    for (const auto& chain : *chains) {
        const auto known = to.file().chain(chain.device);
        if (!known)
            return fail(known.error());
        const std::int64_t next = *known ? (*known)->head.seq + 1 : 1;
        if (chain.head.seq < next)
            continue;
        const auto delivery = sync::deliveryOf(from, chain.device, next, sync::Blobs::With);
        if (!delivery && delivery.error().code == Code::NothingToDo)
            continue;
        if (!delivery)
            return fail(delivery.error());
        if (auto receipt = to.receive(*delivery); !receipt)
            return fail(receipt.error());
    }
    return {};
}

/// Compares line by line. Empty when they are equal, else a sentence with the first line that differs.
std::string difference(const std::string& expected, const std::string& actual) {
    std::size_t line = 1;
    std::size_t at = 0;
    while (at < expected.size() || at < actual.size()) {
        const auto lineOf = [at](const std::string& text) -> std::optional<std::string> {
            if (at >= text.size())
                return std::nullopt;
            return text.substr(at, text.find('\n', at) - at);
        };
        const auto wanted = lineOf(expected);
        const auto got = lineOf(actual);
        if (wanted != got)
            return "line " + std::to_string(line) + " differs.\n  expected: " + wanted.value_or("(no line)") +
                   "\n  written:  " + got.value_or("(no line)");
        at += wanted->size() + 1;
        ++line;
    }
    return {};
}

/// Of a look at frames. To stderr, since it is no line.
void tellOf(const sample::Sight& sight) {
    if (sight.isPassedOver())
        return tell("passed over, since nothing here reads pictures: " + sight.frame);
    const services::Reading& reading = *sight.reading;
    const std::string at = " from " + sight.frame;
    if (sight.label)
        return tell("read a sheet's label" + at + ": " + sight.label->first.text() +
                    (sight.label->count > 0 ? ", " + counted(sight.label->count, "tag", "tags") : ""));
    if (sight.purpose == sample::Sight::For::Label)
        return tell("refused: no sheet's label seen (" + sight.frame + ")");
    if (reading.verdict == services::Verdict::Refused)
        return tell("refused: " + std::string(reasonFor(reading.why)) + " (" + sight.frame + ")");
    // Rounded down: 100 % would be a promise.
    const int percent = static_cast<int>(std::floor(100 * reading.confidence));
    tell("read " + (reading.code ? reading.code->text() : "what is no code") + at + " (" + std::to_string(percent) +
         " %)" + (reading.verdict == services::Verdict::Unlisted ? ", none of ours" : ""));
}

int replay(const Call& call, const std::string& folder) {
    const auto path = newJournalPath(call, "replay");
    if (!path)
        return refuse(path.error());
    if (call.journal.empty())
        tell("Writing to " + path->string());
    const auto gazetteer = services::openChecked();
    if (!gazetteer)
        return refuse(gazetteer.error());
    sample::ReplayOptions options;
    options.names = &gazetteer->names;
    options.folder = folder;
    options.journal = *path;
    options.exchange = exchange;
    options.onSaved = [&](const std::string& phone, const services::SavedLine& line) {
        followLine(call, line, phone);
    };
    options.eyes.makeReader = [] { return reading::makeReader(); };
    options.eyes.load = [](const fs::path& file) { return reading::loadPicture(file); };
    options.onSight = tellOf;
    // The expected lines are those of the first phone's journal, with what it took in.
    std::optional<Result<std::string>> written;
    options.onFinished = [&](const std::string&, storage::Journal& journal) {
        if (!written)
            written = sample::journalAsNdjson(journal);
    };
    const auto report = sample::replay(options);
    if (!report)
        return refuse("The replay stopped. " + textOf(report.error()));
    tell(report->session + ": " + counted(report->acts, "act", "acts") + ", " +
         counted(report->lines, "line", "lines") + ", " +
         counted(report->butterflies, "butterfly", "butterflies") + ".");
    if (report->passedOver > 0)
        tell(counted(report->passedOver, "look at frames was", "looks at frames were") +
             " passed over: not read, and not compared with what was expected.");
    for (const auto& phone : report->phones)
        tell("Sample journal of " + (phone.name.empty() ? "the phone" : "phone " + phone.name) + ": " +
             phone.journal.string() + " (" + counted(phone.lines, "line", "lines") + ")");
    const fs::path expected = fs::path(folder) / "expected" / "journal.ndjson";
    std::error_code ec;
    if (!fs::exists(expected, ec))
        return kDone;
    if (!written || !*written)
        return written ? refuse(written->error())
                       : refuse("No journal was written to compare with " + expected.string());
    std::ifstream in(expected, std::ios::binary);
    const std::string wanted{std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
    if (const std::string differs = difference(wanted, **written); !differs.empty())
        return refuse(expected.string() + ": " + differs);
    tell("The lines are those of " + expected.string());
    return kDone;
}

} // namespace

void addReplayVerbs(CLI::App& app, Call& call) {
    const auto folder = std::make_shared<std::string>();
    addVerb(app, call, "replay", "Run a sample session through the same services as the app",
            "replay sample-sessions/first-morning", On::NewJournal,
            [&call, folder] { return replay(call, *folder); })
        .add_option("DIR", *folder, "a folder with session.jsonl")
        ->required()
        ->type_name("");
}

} // namespace discal::cli
