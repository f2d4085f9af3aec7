#pragma once

#include "core/result.h"
#include "core/tag/glyph_columns.h"
#include "reading/strip.h"

#include <cstdint>
#include <memory>
#include <span>

namespace discal::reading {

/// The network that reads a strip; what its weights are and where they come from: assets/glyphs/README.md. Values are the
/// same on every thread; one object may be used by several.
class GlyphNetwork {
public:
    /// From the bytes of a weights file, which are copied. BadInput for any other shape or version, and for numbers that are
    /// none.
    [[nodiscard]] static Result<GlyphNetwork> fromBytes(std::span<const std::uint8_t> bytes);
    /// The one that this program carries.
    [[nodiscard]] static const GlyphNetwork& own();

    GlyphNetwork(GlyphNetwork&&) noexcept;
    GlyphNetwork& operator=(GlyphNetwork&&) noexcept;
    ~GlyphNetwork();

    /// What stands in each column of two pixels. Empty for a strip narrower than that, or whose ink doesn't make up its size.
    [[nodiscard]] tag::GlyphColumns read(const Strip& strip) const;

private:
    struct Weights;
    explicit GlyphNetwork(std::unique_ptr<Weights> weights);
    std::unique_ptr<Weights> m_weights;
};

} // namespace discal::reading
