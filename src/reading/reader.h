#pragma once

#include "core/result.h"
#include "services/ports/code_reader.h"

#include <filesystem>
#include <memory>

namespace discal::reading {

/// A reader of tags and barcodes. `languageFolder` is where eng.traineddata lies; empty: where this system's Tesseract
/// looks. NotFound when it isn't there. Takes 0.2 to 1 s: call it on the thread that reads.
[[nodiscard]] Result<std::unique_ptr<services::CodeReader>> makeReader(const std::filesystem::path& languageFolder = {});

} // namespace discal::reading
