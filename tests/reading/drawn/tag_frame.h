#pragma once

#include "reading/drawn/homography.h"
#include "reading/drawn/typefaces.h"
#include "services/ports/frame_source.h"

#include <cstdint>
#include <string>
#include <string_view>

namespace discal::drawn {

/// How hard a frame is to read.
enum class Tier : std::uint8_t {
    Clean, ///< tilt to 8 degrees, disc 260-420 pixels, sharp
    Field, ///< tilt to 18 degrees, 200-420 pixels, some blur, glare
    Hard,  ///< tilt to 25 degrees, 160-320 pixels, always blurred, glare to clipping
};

struct Options {
    Tier tier{Tier::Field};
    TypefaceSet typefaces{TypefaceSet::Tuning};
    std::string code; ///< what is printed, canonical ("RKD 014"); empty: by chance
    int burst{0};     ///< 0, 1, 2 ...: the same tag in the same place, held by a hand that shakes
};

/// A drawn camera frame and the truth about it.
struct TagFrame {
    services::Frame frame;
    std::string code; ///< what is printed
    Tier tier{Tier::Field};
    Point centre;           ///< where the disc's centre is seen, pixels
    double diameter{0};     ///< pixels, if it weren't tilted
    double tiltDegrees{0};
    double turnDegrees{0};  ///< of the print, clockwise; 0 is upright
    Homography tagToFrame;  ///< from the disc (centre 0, radius 1, y down) to pixels
    double capitals{0};     ///< height of the code's capitals, of the disc's diameter
    double codeReach{0};    ///< how far the code's ink is from the centre, in radii
    double printReach{0};   ///< the same with the small print
    std::string typeface;   ///< file
};

/// Draws a frame, the same for the same seed and options. A drawing, not a photograph. Any thread.
[[nodiscard]] TagFrame drawFrame(std::uint64_t seed, const Options& options);

/// A code such as makers print: mostly 2-4 letters with 3-4 digits.
[[nodiscard]] std::string codeFor(std::uint64_t seed);

/// "clean", "field", "hard"
[[nodiscard]] std::string_view tierName(Tier tier);

} // namespace discal::drawn
