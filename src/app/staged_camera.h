#pragma once

#include "services/ports/code_reader.h"
#include "viewmodels/camera_page_model.h"

#include <QImage>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>

namespace discal::app {

/// A camera and a reader for scenes: they show a drawn tag and say what the scene says. Where frames come from is the
/// screen's thread; they are read on the look's, as always.
class StagedCamera final : public services::FrameSource {
public:
    [[nodiscard]] Result<void> start(Take take, std::function<void(Error)> onEnd) override;
    void stop() override { m_take = nullptr; }
    [[nodiscard]] bool hasTorch() const override { return hasLight; }

    [[nodiscard]] bool isRunning() const { return static_cast<bool>(m_take); }

    /// Gives the model these eyes. Call before the page opens; this must outlive the model.
    void join(viewmodels::CameraPageModel& model);
    /// From now on each frame is this one, and says that.
    void stage(const QImage& frame, services::Reading reading);
    /// Frames come until it is so, or for two seconds at most.
    void runUntil(const std::function<bool()>& isSo);

    std::optional<Code> refuses{};
    bool hasLight{false};

private:
    struct Stage {
        std::mutex mutex;
        services::Reading reading;
    };
    class Reader;

    Take m_take;
    services::Frame m_frame;
    std::shared_ptr<Stage> m_stage = std::make_shared<Stage>();
};

/// How a drawn tag is seen.
enum class Seen { Well, Far, Blurred, Glare, Covered, Not };
/// A tag of our own look on an orange wing before a meadow, as a camera would see it; `code` in two lines.
[[nodiscard]] QImage drawnTag(const QString& letters, const QString& digits, Seen how);
/// Its disc, upright.
[[nodiscard]] QImage drawnDisc(const QString& letters, const QString& digits, int side);
[[nodiscard]] services::Frame frameFrom(const QImage& image);

} // namespace discal::app
