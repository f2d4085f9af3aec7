#pragma once

#include "core/tag/code.h"
#include "core/tag/scheme.h"
#include "services/ports/frame_source.h"

#include <optional>
#include <string>
#include <vector>

namespace discal::services {

/// What a look at frames is for.
struct Wanted {
    /// The codes that this phone may meet: its free tags for a new butterfly, all that it knows for one already tagged.
    /// Any order; may be empty, then no tag is accepted, but read all the same.
    std::vector<tag::Code> codes;
    /// How codes are built, ours and others'. Those of `codes` need not be named again. Empty and no codes: any shape.
    std::vector<tag::Scheme> schemes;
    bool hasTags{true};     ///< look for printed tags
    bool hasBarcodes{true}; ///< look for QR codes, Data Matrix and Code 128
};

enum class Verdict : std::uint8_t {
    Accepted, ///< `code` is one of `Wanted::codes`
    Unlisted, ///< read well, but none of ours: `text` as read
    Refused,  ///< see `why`
};

/// Why there is no reading, worst hindrance first; each is something that a person can act on.
enum class Refusal : std::uint8_t {
    NoTag,    ///< no tag seen
    TooFar,   ///< the tag is too small in the frame
    Blurred,
    Glare,
    Covered,  ///< a finger, or dirt, over the print
    Unsure,   ///< read, but another code of ours, or somebody else's, is nearly as likely
};

enum class Symbology : std::uint8_t { QrCode, DataMatrix, Code128 };

struct Barcode {
    Symbology symbology;
    std::string text; ///< bytes as they were encoded
};

/// What the frames since expect() say.
struct Reading {
    Verdict verdict{Verdict::Refused};
    Refusal why{Refusal::NoTag};   ///< means something only where refused
    std::optional<tag::Code> code; ///< accepted, and where `text` of an unlisted one has the form of a code
    std::string text;              ///< as read; also of a refused one, as far as it was; may be empty
    double confidence{0};          ///< 0 to 1: how probable it is that `text` is what is printed
    int frames{0};                 ///< how many frames of the look show the same
    Frame upright;                 ///< the tag's disc, turned upright and flattened; empty if none was seen
    std::vector<Barcode> barcodes; ///< of the last frame
};

/// Reads pictures. One thread at a time, never the screen's: a frame takes a tenth of a second, the first one longer.
class CodeReader {
public:
    virtual ~CodeReader() = default;
    /// Begins a look: frames taken before no longer count.
    virtual void expect(Wanted wanted) = 0;
    /// Takes one more frame into account. Frames of any size; one that is empty, or whose pixels don't make up its size,
    /// shows nothing.
    [[nodiscard]] virtual Reading look(const Frame& frame) = 0;
};

} // namespace discal::services
