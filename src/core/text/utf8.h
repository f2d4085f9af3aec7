#pragma once

#include <string_view>

namespace discal::text {

/// Well-formed UTF-8 as The Unicode Standard 15.0, table 3-7: no overlong forms, no surrogates, nothing above
/// U+10FFFF. An empty string is well formed.
[[nodiscard]] bool isUtf8(std::string_view s);

} // namespace discal::text
