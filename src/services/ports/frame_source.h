#pragma once

#include "core/result.h"

#include <cstdint>
#include <functional>
#include <vector>

namespace discal::services {

/// One picture: `height` rows of `width` pixels, each red, green, blue in 8 bits, top row first, no padding. Both are 0
/// for no picture. Movable; copying copies the pixels.
struct Frame {
    int width{0};
    int height{0};
    std::vector<std::uint8_t> rgb;

    [[nodiscard]] bool isEmpty() const noexcept { return rgb.empty(); }
};

/// A camera, or pictures that stand for one. Frames come from a thread of the source's own, one call at a time, never
/// after stop() returned. Whoever takes them keeps the newest only and returns at once: a source may drop frames, and
/// holds no more than two.
class FrameSource {
public:
    virtual ~FrameSource() = default;

    using Take = std::function<void(Frame)>;
    /// NotFound without a camera, NotAllowed without permission, Io when it doesn't start. A failure later on ends the
    /// frames and is told by `onEnd`, from any thread.
    [[nodiscard]] virtual Result<void> start(Take take, std::function<void(Error)> onEnd) = 0;
    /// Does nothing when it isn't running. Returns when no call of `take` is under way or will come.
    virtual void stop() = 0;

    /// Whether there is a light beside it; known while it runs. Off whenever it starts.
    [[nodiscard]] virtual bool hasTorch() const { return false; }
    enum class Torch : std::uint8_t { Off, On };
    virtual void setTorch(Torch) {}
    /// Brings into focus what is seen there, in fractions of the frame from its left and top, where it can.
    virtual void focusOn(double /*x*/, double /*y*/) {}
};

} // namespace discal::services
