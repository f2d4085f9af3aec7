#include "cli/verbs.h"

#include <exception>
#include <iostream>

int main(int argc, char* argv[]) {
    using namespace discal::cli;
    try {
        Call call;
        CLI::App app(
            "Discal, a field journal for people who tag butterflies: everything it can do, from a script.",
            "discalctl");
        app.set_version_flag("--version", "discalctl " DISCAL_VERSION);
        app.require_subcommand(1);
        app.footer("Every verb has --help with an example, and --json.\n"
                   "Exit codes: 0 done, 1 refused (the reason is on stderr), 2 not understood.");
        addTaggingVerbs(app, call);
        addAmendVerbs(app, call);
        addStockVerbs(app, call);
        addStationVerbs(app, call);
        addJournalVerbs(app, call);
        addParcelVerbs(app, call);
        addPlaceVerbs(app, call);
        addFlightVerb(app, call);
        addReadVerbs(app, call);
        addReplayVerbs(app, call);
        addGenerateVerb(app, call);
        try {
            app.parse(argc, argv);
        } catch (const CLI::ParseError& e) {
            return app.exit(e) == 0 ? kDone : kUsage;
        }
        return call.run();
    } catch (const std::exception& e) {
        std::cerr << "Stopped: " << e.what() << ". What was said to be saved is safe; try again.\n";
    } catch (...) {
        std::cerr << "Stopped for a reason unknown. What was said to be saved is safe; try again.\n";
    }
    return kRefused;
}
