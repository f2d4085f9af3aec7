#pragma once

#include "services/ports/code_reader.h"

#include <string_view>

namespace discal::cli {

/// "blurred", "the tag is too small in the picture" ...
[[nodiscard]] std::string_view reasonFor(services::Refusal why);

} // namespace discal::cli
