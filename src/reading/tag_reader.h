#pragma once

#include "core/tag/decoder.h"
#include "reading/glyph_network.h"
#include "reading/second_reader.h"
#include "services/ports/code_reader.h"

#include <optional>

namespace discal::reading {

/// What one frame shows of a tag.
struct TagSight {
    std::optional<tag::Evidence> evidence; ///< none where no print was found
    services::Refusal hindrance{services::Refusal::NoTag}; ///< what was in the way, if it can't be read
    bool hasOtherPrint{false};              ///< clear print is seen that spells nothing of a possible shape
    services::Frame upright;                ///< as in services::Reading
};

/// Finds a tag in a frame and the print on it. One thread at a time.
class TagReader {
public:
    /// `second` may be left out: then the network reads alone.
    TagReader(const GlyphNetwork& network, SecondReader* second) : m_network(network), m_second(second) {}

    /// `decoder` says which spellings are possible; it isn't changed.
    [[nodiscard]] TagSight look(const services::Frame& frame, const tag::Decoder& decoder);

private:
    const GlyphNetwork& m_network;
    SecondReader* m_second;
};

} // namespace discal::reading
