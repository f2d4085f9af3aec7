#pragma once

// A camera and a reader that say what a test wants, without any thread but the look's own.

#include "core/tag/code.h"
#include "services/tag_look.h"
#include "viewmodels/camera_page_model.h"

#include <QCoreApplication>
#include <QElapsedTimer>
#include <functional>
#include <mutex>
#include <optional>
#include <utility>

namespace discal::tests {

class FakeCamera final : public services::FrameSource {
public:
    [[nodiscard]] Result<void> start(Take take, std::function<void(Error)> onEnd) override {
        if (refuses)
            return fail(*refuses);
        m_take = std::move(take);
        m_onEnd = std::move(onEnd);
        isRunning = true;
        ++starts;
        return {};
    }
    void stop() override { isRunning = false; }
    [[nodiscard]] bool hasTorch() const override { return hasLight; }
    void setTorch(Torch torch) override { light = torch; }
    void focusOn(double x, double y) override { focus = {x, y}; }

    void give(services::Frame frame = {2, 2, std::vector<std::uint8_t>(12, 200)}) { m_take(std::move(frame)); }
    void end(Code why) { m_onEnd({why}); }

    std::optional<Code> refuses;
    bool isRunning{false};
    int starts{0};
    bool hasLight{false};
    Torch light{Torch::Off};
    std::pair<double, double> focus{-1, -1};

private:
    Take m_take;
    std::function<void(Error)> m_onEnd;
};

/// Says the same of each frame.
class FakeReader final : public services::CodeReader {
public:
    struct Said {
        std::mutex mutex;
        services::Reading reading;
        services::Wanted wanted;
    };
    explicit FakeReader(Said& said) : m_said(said) {}
    void expect(services::Wanted wanted) override {
        const std::lock_guard lock(m_said.mutex);
        m_said.wanted = std::move(wanted);
    }
    [[nodiscard]] services::Reading look(const services::Frame&) override {
        const std::lock_guard lock(m_said.mutex);
        return m_said.reading;
    }

private:
    Said& m_said;
};

/// A model with eyes. Frames are given, and events turned, until what was said has arrived.
class Eyes {
public:
    explicit Eyes(viewmodels::CameraPageModel& model) : m_model(model) {
        model.setEyes(camera, [this]() -> Result<std::unique_ptr<services::CodeReader>> {
            if (noReader)
                return fail(*noReader);
            return std::make_unique<FakeReader>(said);
        });
    }

    /// The model stands longer than this: at rest it needs neither camera nor reader any more.
    ~Eyes() { m_model.setAwake(false); }
    Eyes(const Eyes&) = delete;
    Eyes& operator=(const Eyes&) = delete;

    FakeCamera camera;
    FakeReader::Said said;
    std::optional<Code> noReader;

    void say(services::Reading reading) {
        const std::lock_guard lock(said.mutex);
        said.reading = std::move(reading);
    }
    void sayRefused(services::Refusal why) {
        services::Reading reading;
        reading.why = why;
        say(std::move(reading));
    }
    /// Of a tag of ours, or of somebody else's.
    void sayRead(const std::string& code, services::Verdict verdict = services::Verdict::Accepted) {
        services::Reading reading;
        reading.verdict = verdict;
        reading.text = code;
        if (const auto parsed = tag::Code::fromText(code))
            reading.code = *parsed;
        reading.confidence = 0.987;
        reading.upright = {8, 8, std::vector<std::uint8_t>(8 * 8 * 3, 120)};
        say(std::move(reading));
    }
    void sayBarcode(const std::string& text) {
        services::Reading reading;
        reading.barcodes = {{services::Symbology::QrCode, text}};
        say(std::move(reading));
    }
    services::Wanted wanted() {
        const std::lock_guard lock(said.mutex);
        return said.wanted;
    }
    /// Frames come until it is so; false when it isn't after ten seconds.
    [[nodiscard]] bool until(const std::function<bool()>& isSo) {
        QElapsedTimer since;
        since.start();
        while (!isSo()) {
            if (since.elapsed() > 10'000)
                return false;
            if (camera.isRunning)
                camera.give();
            QCoreApplication::processEvents(QEventLoop::AllEvents, 5);
        }
        return true;
    }
    [[nodiscard]] bool untilAdvice(const QString& advice) {
        return until([&] { return m_model.advice() == advice; });
    }

private:
    viewmodels::CameraPageModel& m_model;
};

} // namespace discal::tests
