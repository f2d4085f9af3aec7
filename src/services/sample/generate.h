#pragma once

#include "core/result.h"
#include "services/line_writer.h"

#include <cstdint>
#include <filesystem>
#include <functional>

namespace discal::services::sample {

struct GenerateOptions {
    std::int64_t releases{1000}; ///< butterflies let go with a tag; 0 to 5,000,000: the codes from RKA 000 on
    std::uint64_t seed{0};
    std::filesystem::path journal; ///< a new file
    /// Each line after its commit returned.
    std::function<void(const SavedLine&)> onSaved;
};

struct GenerateReport {
    std::int64_t lines{0};
    std::int64_t butterflies{0}; ///< all that the journal knows of
    std::int64_t released{0};    ///< let go with a tag on: `releases` of the options
    std::int64_t sessions{0};
    std::int64_t sheets{0};
};

/// An invented season at Thistledown Ridge of any size, through the same services as the app, for benchmarks.
/// Time and memory grow evenly with `releases`. Equal options give the same bytes; device.started says
/// sample: "generated".
///
/// Exists (detail: the path) when there is a file; OutOfRange for a number of releases outside its range.
[[nodiscard]] Result<GenerateReport> generate(const GenerateOptions& options);

} // namespace discal::services::sample
