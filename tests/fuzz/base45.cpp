// Any bytes, to the reader of base45: what was put in as the code of another phone. What it lets through has one
// spelling, the one that was read.

#include "core/text/base_n.h"

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

using namespace discal;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view typed(reinterpret_cast<const char*>(data), size);
    const auto bytes = text::fromBase45(typed);
    if (bytes && text::base45(*bytes) != typed)
        std::abort();
    return 0;
}
