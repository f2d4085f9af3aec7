#pragma once

#include "core/error.h"

#include <string>

namespace discal::cli {

/// What went wrong in plain English: what happened, what is safe, what to do. One sentence or two, no line
/// end. Every Code has its text; a new one without is a compiler's warning.
[[nodiscard]] std::string textOf(const Error& error);

} // namespace discal::cli
