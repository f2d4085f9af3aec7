#pragma once

#include "core/result.h"
#include "core/tag/decoder.h"
#include "reading/strip.h"

#include <filesystem>
#include <memory>

namespace discal::reading {

/// Tesseract on a strip: the reader that knows nothing of the network. One thread at a time; making one takes 0.2 to 1 s.
class SecondReader {
public:
    /// `languageFolder`: where eng.traineddata lies; empty: where this system's Tesseract looks. NotFound when it isn't there.
    [[nodiscard]] static Result<SecondReader> open(const std::filesystem::path& languageFolder);

    SecondReader(SecondReader&&) noexcept;
    SecondReader& operator=(SecondReader&&) noexcept;
    ~SecondReader();

    /// The glyphs from left to right, with what else each may be. Empty when it reads nothing, or for a strip whose ink doesn't
    /// make up its size.
    [[nodiscard]] std::vector<tag::SeenGlyph> read(const Strip& strip);

private:
    struct Engine;
    explicit SecondReader(std::unique_ptr<Engine> engine);
    std::unique_ptr<Engine> m_engine;
};

} // namespace discal::reading
