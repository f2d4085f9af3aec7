#pragma once

#include "reading/drawn/homography.h"
#include "reading/drawn/typefaces.h"
#include "services/ports/code_reader.h"
#include "services/ports/frame_source.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace discal::drawn {

/// How hard a frame is to read.
enum class Tier : std::uint8_t {
    Clean, ///< tilt to 8 degrees, disc 260-420 pixels, sharp
    Field, ///< tilt to 18 degrees, 200-420 pixels, some blur, glare that lightens, a finger over the rim
    Hard,  ///< tilt to 25 degrees, 160-320 pixels, always blurred, glare to clipping over part of the print
};

struct Options {
    Tier tier{Tier::Field};
    TypefaceSet typefaces{TypefaceSet::Tuning};
    std::string code; ///< what is printed, canonical ("RKD 014"); empty: by chance
    int burst{0};     ///< 0, 1, 2 ...: the same tag in the same place, held by a hand that shakes
    /// Drawn so that it must be refused for this reason: any but Unsure. The tier sets all else.
    std::optional<services::Refusal> refusal;
};

/// A drawn camera frame and the truth about it.
struct TagFrame {
    services::Frame frame;
    std::string code; ///< what is printed; empty where no tag is
    Tier tier{Tier::Field};
    std::optional<services::Refusal> refusal; ///< as asked for
    Point centre;                             ///< where the disc's centre is seen, pixels
    double diameter{0};                       ///< pixels, if it weren't tilted; 0 where no tag is
    double tiltDegrees{0};
    double turnDegrees{0}; ///< of the print, clockwise; 0 is upright
    Homography tagToFrame; ///< from the disc (centre 0, radius 1, y down) to pixels
    double capitals{0};    ///< height of the code's capitals, of the disc's diameter
    double codeReach{0};   ///< how far the code's ink is from the centre, in radii
    double printReach{0};  ///< the same with the small print
    std::string typeface;  ///< file
};

/// Draws a frame, the same for the same seed and options; frames of other tiers are of other tags. A drawing, not a
/// photograph. Any thread.
[[nodiscard]] TagFrame drawFrame(std::uint64_t seed, const Options& options);

/// "clean", "field", "hard"
[[nodiscard]] std::string_view tierName(Tier tier);
/// "no-tag", "too-far", "blurred", "glare", "covered", "unsure"
[[nodiscard]] std::string_view reasonName(services::Refusal reason);

} // namespace discal::drawn
