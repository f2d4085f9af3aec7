// Any bytes, to the reader of sheets' labels. What it lets through is a run that can be printed, and reads back.

#include "core/tag/label.h"

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

using namespace discal;

namespace {

void require(bool holds) {
    if (!holds)
        std::abort();
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    const auto label = tag::readLabel(text);
    if (!label) {
        require(!label.error().detail.empty());
        return 0;
    }
    require(label->scheme.admits(label->first));
    require(label->run().has_value() == (label->count > 0));
    const auto again = tag::readLabel(tag::labelText(*label));
    require(again && *again == *label);
    return 0;
}
