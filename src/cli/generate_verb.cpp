#include "cli/new_journal.h"
#include "cli/output.h"
#include "cli/verbs.h"
#include "services/sample/generate.h"

#include <memory>

namespace discal::cli {

namespace {

struct Typed {
    std::int64_t releases{0};
    std::uint64_t seed{0};
};

int generate(const Call& call, const Typed& typed) {
    const auto path = newJournalPath(call, "generate");
    if (!path)
        return refuse(path.error());
    if (call.journal.empty())
        tell("Writing to " + path->string());
    services::sample::GenerateOptions options;
    options.releases = typed.releases;
    options.seed = typed.seed;
    options.journal = *path;
    options.onSaved = [&call](const services::SavedLine& line) { followLine(call, line); };
    const auto report = services::sample::generate(options);
    if (!report)
        return refuse(report.error());
    tell(counted(report->lines, "line", "lines") + ", " +
         counted(report->butterflies, "butterfly", "butterflies") + ", " + std::to_string(report->released) +
         " released, in " + counted(report->sessions, "session", "sessions") + ". The sample journal is at " +
         path->string());
    return kDone;
}

} // namespace

void addGenerateVerb(CLI::App& app, Call& call) {
    const auto typed = std::make_shared<Typed>();
    CLI::App& verb = addVerb(app, call, "generate", "Write an invented season of any size, for benchmarks",
                             "generate --releases 1000 --seed 7 --journal season.discal", On::NewJournal,
                             [&call, typed] { return generate(call, *typed); });
    verb.add_option("--releases", typed->releases, "butterflies let go with a tag")
        ->required()
        ->check(CLI::NonNegativeNumber)
        ->type_name("N");
    verb.add_option("--seed", typed->seed, "the same number gives the same bytes")
        ->required()
        ->type_name("S");
}

} // namespace discal::cli
