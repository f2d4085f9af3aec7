#pragma once

#include "reading/drawn/chance.h"
#include "reading/drawn/homography.h"
#include "reading/drawn/light.h"
#include "reading/drawn/print.h"
#include "services/ports/frame_source.h"

#include <vector>

namespace discal::drawn {

/// How the disc lies before the camera. Angles in radians.
struct Pose {
    Point centre;         ///< pixels
    double diameter{300}; ///< pixels, if it weren't tilted
    double turn{0};       ///< in the picture's plane, clockwise
    double tilt{0};       ///< out of it
    double tiltAxis{0};
};

/// From the tag's plane (disc's centre 0, radius 1, y down) to pixels, by a camera 10 cm away from a disc of 9 mm.
[[nodiscard]] Homography seen(const Pose& pose, int width, int height);

/// A bright reflection: an ellipse with soft edges. Glossy paper shows it whole, what lies beside the disc a share of
/// it.
struct Glare {
    Point centre;
    double along{100}; ///< pixels, where it is down to 1/e
    double across{60};
    double turn{0};
    double strength{0}; ///< added light, on the disc
    double beside{1};   ///< share of it seen beside the disc

    /// Added light at a pixel, on the disc.
    [[nodiscard]] double at(double x, double y) const;
};

/// Edge of a shadow that lies over one side of the picture.
struct Shadow {
    Point at;
    double turn{0};
    double softness{40}; ///< pixels
    double depth{0};     ///< 0 to 1: how much light it takes
};

/// Light and optics of one frame.
struct Exposure {
    double brightness{1};
    Colour cast{1, 1, 1};
    Point slope; ///< how much brighter towards the right and bottom edge
    std::vector<Shadow> shadows;
    std::vector<Glare> glares;
    double vignette{0}; ///< light lost in the corners, 0 to 1
    double sigma{0};    ///< of a gaussian blur, pixels
    double motion{0};   ///< pixels moved while open
    double motionTurn{0};
    double noise{0.004};    ///< deviation in the dark, of full light
    double shotNoise{0.01}; ///< deviation at full light
};

/// Lays the disc on a picture, and the shadow that it casts: moved by `shadow` radii, taking `depth` of the light.
void layTag(Light& picture, const FlatTag& tag, const Homography& seen, Point shadow, double depth);
/// Adds what the disc reflects more than what lies beside it.
void layGlares(Light& picture, const Homography& seen, const Exposure& exposure);
/// Blurs as the lens and a moving hand do.
void blur(Light& picture, double sigma, double motion, double motionTurn);
/// As it is after compression by JPEG of a quality from 1 to 100.
void compress(services::Frame& frame, int quality);
/// Lights, exposes and encodes; without compression.
[[nodiscard]] services::Frame expose(const Light& picture, const Exposure& exposure, Chance chance);

} // namespace discal::drawn
