#include "devices/camera.h"
#include "devices/video_frames.h"

#include "catch_compat.hpp"

#include <QCameraDevice>
#include <QGuiApplication>
#include <QImage>
#include <QMediaDevices>
#include <QVideoFrameFormat>
#include <QVideoSink>
#include <cstring>
#include <future>

// No camera is needed here; what a real one does with these calls was not tried.

using namespace discal;
using devices::bestOf;
using devices::middleOf;
using devices::Stream;
using Format = QVideoFrameFormat::PixelFormat;

namespace {

/// Qt's own conversion, and cameras, need one.
void application() {
    static int count = 1;
    static char name[] = "devices_tests";
    static char* arguments[] = {name, nullptr};
    qputenv("QT_QPA_PLATFORM", "offscreen");
    static const QGuiApplication one(count, arguments);
}

/// Something else everywhere, and no sharp edge: chroma is told for two pixels by two.
int shade(int x, int y, int plane) { return 40 + (x * 3 + y * 2 + plane * 50) % 160; }

QVideoFrame drawn(Format format, const QSize& size) {
    QVideoFrame frame(QVideoFrameFormat(size, format));
    REQUIRE(frame.map(QVideoFrame::WriteOnly));
    for (int plane = 0; plane < frame.planeCount(); ++plane)
        for (int i = 0; i < frame.mappedBytes(plane); ++i)
            frame.bits(plane)[i] = static_cast<uchar>(
                shade(i % frame.bytesPerLine(plane) / 8, i / frame.bytesPerLine(plane) / 8, plane));
    // Nothing shines through what a camera sees.
    if (format == Format::Format_BGRA8888 || format == Format::Format_RGBA8888)
        for (int i = 3; i < frame.mappedBytes(0); i += 4)
            frame.bits(0)[i] = 255;
    frame.unmap();
    return frame;
}

} // namespace

// Outside source: Qt's own conversion of the whole frame (QVideoFrame::toImage, Qt 6.4.2), within the rounding of two
// fixed-point forms of ITU-R BT.601.
TEST_CASE("The middle of a frame has the colours that Qt gives the whole one", "[devices][camera]") {
    application();
    for (const Format format : {Format::Format_NV12, Format::Format_NV21, Format::Format_YUV420P, Format::Format_YV12,
                                Format::Format_YUYV, Format::Format_UYVY, Format::Format_BGRA8888, Format::Format_BGRX8888,
                                Format::Format_RGBA8888, Format::Format_RGBX8888, Format::Format_XRGB8888,
                                Format::Format_XBGR8888}) {
        INFO(QVideoFrameFormat::pixelFormatToString(format).toStdString());
        const QVideoFrame whole = drawn(format, {96, 64});
        const auto frame = middleOf(whole, 40);
        REQUIRE(frame.width == 40);
        REQUIRE(frame.height == 40);
        REQUIRE(frame.rgb.size() == 40 * 40 * 3);
        const QImage image = whole.toImage().copy(28, 12, 40, 40).convertToFormat(QImage::Format_RGB888);
        REQUIRE(image.size() == QSize(40, 40));
        int worst = 0;
        for (int y = 0; y < 40; ++y)
            for (int i = 0; i < 120; ++i)
                worst = std::max(worst, std::abs(image.constScanLine(y)[i] - frame.rgb[static_cast<std::size_t>(y * 120 + i)]));
        CHECK(worst <= 4);
    }
}

TEST_CASE("What a frame is packed as is left to Qt, and what is none gives nothing", "[devices][camera]") {
    application();
    const auto grey = middleOf(drawn(Format::Format_Y8, {64, 48}), 1440);
    CHECK(grey.width == 48);
    CHECK(grey.rgb.size() == 48 * 48 * 3);
    CHECK(middleOf(QVideoFrame(), 1440).isEmpty());
    CHECK(middleOf(QVideoFrame(QVideoFrameFormat({1, 1}, Format::Format_NV12)), 1440).isEmpty());
}

TEST_CASE("A frame is turned as it is to be seen", "[devices][camera]") {
    QVideoFrame frame(QVideoFrameFormat({4, 4}, Format::Format_RGBX8888));
    REQUIRE(frame.map(QVideoFrame::WriteOnly));
    std::memset(frame.bits(0), 0, static_cast<std::size_t>(frame.mappedBytes(0)));
    frame.bits(0)[0] = 255;  // red at the left of the first row
    frame.unmap();
    const auto redAt = [&](QVideoFrame::RotationAngle angle) {
        frame.setRotationAngle(angle);
        const auto out = middleOf(frame, 1440);
        for (std::size_t i = 0; i < 16; ++i)
            if (out.rgb[3 * i] == 255)
                return QPoint(static_cast<int>(i % 4), static_cast<int>(i / 4));
        return QPoint(-1, -1);
    };
    CHECK(redAt(QVideoFrame::Rotation0) == QPoint(0, 0));
    CHECK(redAt(QVideoFrame::Rotation90) == QPoint(3, 0));
    CHECK(redAt(QVideoFrame::Rotation180) == QPoint(3, 3));
    CHECK(redAt(QVideoFrame::Rotation270) == QPoint(0, 3));
}

TEST_CASE("A sink hands frames to whoever listens at once, as a camera's would", "[devices][camera]") {
    QVideoSink sink;
    services::Frame got;
    QObject::connect(&sink, &QVideoSink::videoFrameChanged, &sink,
                     [&](const QVideoFrame& frame) { got = middleOf(frame, 32); }, Qt::DirectConnection);
    sink.setVideoFrame(drawn(Format::Format_NV12, {64, 48}));
    CHECK(got.width == 32);
}

TEST_CASE("Of a camera's streams the largest one that is quick enough is taken", "[devices][camera]") {
    const auto sizeOf = [](const std::vector<Stream>& streams) { return streams.at(bestOf(streams).value()).size; };
    CHECK(sizeOf({{{640, 480}, 60}, {{3840, 2160}, 30}, {{1920, 1080}, 60}}) == QSize(3840, 2160));
    // Too slow to aim with, or more than can be held.
    CHECK(sizeOf({{{1920, 1080}, 30}, {{3840, 2160}, 5}}) == QSize(1920, 1080));
    CHECK(sizeOf({{{1920, 1080}, 30}, {{8192, 4320}, 30}}) == QSize(1920, 1080));
    CHECK(sizeOf({{{1280, 720}, 5}, {{640, 480}, 8}}) == QSize(640, 480));
    CHECK(bestOf({{{1280, 720}, 15}, {{1280, 720}, 30, true}, {{1280, 720}, 60}}) == 2U);
    CHECK_FALSE(bestOf({}));
}

TEST_CASE("A phone without a camera says so, and stops at once", "[devices][camera]") {
    application();
    devices::Camera camera;
    if (!QMediaDevices::videoInputs().isEmpty()) {
        WARN("There is a camera here: skipped.");
        return;
    }
    std::promise<Code> ended;
    REQUIRE(camera.start([](services::Frame) {}, [&](Error error) { ended.set_value(error.code); }));
    CHECK(ended.get_future().get() == Code::NotFound);
    CHECK_FALSE(camera.hasTorch());
    camera.setTorch(services::FrameSource::Torch::On);
    camera.focusOn(0.5, 0.5);
    camera.stop();
    REQUIRE(camera.start([](services::Frame) {}, [](Error) {}));
}
