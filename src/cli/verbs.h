#pragma once

#include "cli/call.h"

/// The verbs of the command line, a file a group (design section 10).
namespace discal::cli {

void addReplayVerbs(CLI::App& app, Call& call);
void addGenerateVerb(CLI::App& app, Call& call);
void addJournalVerbs(CLI::App& app, Call& call);
void addStockVerbs(CLI::App& app, Call& call);
void addTaggingVerbs(CLI::App& app, Call& call);
void addAmendVerbs(CLI::App& app, Call& call);
void addStationVerbs(CLI::App& app, Call& call);
void addParcelVerbs(CLI::App& app, Call& call);
void addPlaceVerbs(CLI::App& app, Call& call);
void addFlightVerb(CLI::App& app, Call& call);
void addReadVerbs(CLI::App& app, Call& call);
/// Into the group "stock".
void addLabelVerb(CLI::App& stock, Call& call);

} // namespace discal::cli
