#pragma once

#include "cli/names.h"
#include "core/doubt/doubt.h"

#include <string>

namespace discal::cli {

/// What a doubt means, as a sentence that says what is safe: "RKD 014 is on more than one butterfly; all
/// lines are kept and marked." A rule of a newer Discal is named as it is.
[[nodiscard]] std::string sentenceOf(const doubt::Doubt& doubt, storage::Journal& journal, Names& names);

/// The rule in two or three words, for marks in a list: "code used twice".
[[nodiscard]] std::string shortRule(std::string_view rule);

/// The doubt's subject as people say it: "RKD 014", "sheet RKD 001-025", "butterfly RKD 014".
[[nodiscard]] std::string subjectWords(const std::string& subject, storage::Journal& journal, Names& names);

} // namespace discal::cli
