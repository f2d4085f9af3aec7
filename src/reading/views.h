#pragma once

#include "services/ports/frame_source.h"

#include <cstdint>
#include <vector>

/// A picture in grey, and the views of it in which barcodes are looked for.
namespace discal::reading {

/// `height` rows of `width` pixels, 0 black to 255 white, top row first, no padding.
struct Grey {
    int width{0};
    int height{0};
    std::vector<std::uint8_t> pixels;
};

/// Whether the pixels make up the size, and there are any.
[[nodiscard]] bool isSound(const services::Frame& frame) noexcept;

/// Luma (ITU-R BT.601). The frame must be sound, as all pictures below.
[[nodiscard]] Grey greyOf(const services::Frame& frame);
/// Green alone, at half the width and height: for a frame that must not take long. At least 2 pixels a side.
[[nodiscard]] Grey greenHalved(const services::Frame& frame);
/// Each pixel the mean of `times` squared; what is left over at right and bottom is cut off. The same picture when less
/// than a pixel would be left.
[[nodiscard]] Grey smaller(const Grey& grey, int times);
/// Twice the width and height, between pixels in proportion.
[[nodiscard]] Grey doubled(const Grey& grey);
/// Each pixel the mean of the (2 radius + 1) squared around it; the edge goes on.
[[nodiscard]] Grey smoothed(const Grey& grey, int radius);
/// What differs from the smoothed picture, twice as much more.
[[nodiscard]] Grey sharpened(const Grey& grey, int radius);
[[nodiscard]] Grey inverted(Grey grey);
/// Turned clockwise about its centre, on white, as large as it needs to be.
[[nodiscard]] Grey turned(const Grey& grey, double degrees);

} // namespace discal::reading
