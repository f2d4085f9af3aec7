#pragma once

#include "cli/call.h"
#include "core/result.h"
#include "services/line_writer.h"

#include <filesystem>

/// What replay and generate share: they write only to a new journal, and print each line when it is saved.
namespace discal::cli {

/// --journal, or journal.discal in a new temporary folder. Io when no such folder can be made.
[[nodiscard]] Result<std::filesystem::path> newJournalPath(const Call& call, const std::string& what);

/// "seq id kind", and the words of its place if it has some; out before it returns: whoever reads it may count on the
/// line. `phone` only under --json,
/// and only where it is not empty.
void followLine(const Call& call, const services::SavedLine& line, const std::string& phone = {});

} // namespace discal::cli
