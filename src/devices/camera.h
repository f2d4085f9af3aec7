#pragma once

#include "services/ports/frame_source.h"

#include <QThread>
#include <memory>

namespace discal::devices {

/// The phone's camera, on a thread of its own: opening a device may take longer than the screen can wait. Gives the middle
/// of the largest stream it has, at most kMostSide pixels square and some fifteen frames a second. The back camera where
/// there are two. Made, started and stopped on the screen's thread.
class Camera final : public services::FrameSource {
public:
    /// Two and a half times what a tag of 9 mm takes of a 4K picture from 10 cm: room to aim. Our choice.
    static constexpr int kMostSide = 1440;

    Camera();
    ~Camera() override;

    /// Returns at once: that there is no camera (NotFound), no permission (NotAllowed), or that it doesn't start (Io) is
    /// told by `onEnd`. Asks for the permission where that is still to be asked.
    [[nodiscard]] Result<void> start(Take take, std::function<void(Error)> onEnd) override;
    void stop() override;
    [[nodiscard]] bool hasTorch() const override;
    void setTorch(Torch torch) override;
    void focusOn(double x, double y) override;

private:
    class Eye;

    QThread m_thread;
    std::unique_ptr<Eye> m_eye;
};

} // namespace discal::devices
