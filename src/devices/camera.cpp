#include "devices/camera.h"

#include "devices/video_frames.h"

#include <QCamera>
#include <QCameraDevice>
#include <QElapsedTimer>
#include <QGuiApplication>
#include <QMediaCaptureSession>
#include <QMediaDevices>
#include <QVideoSink>
#include <algorithm>
#include <atomic>
#include <mutex>
#include <tuple>
#include <utility>
#if QT_VERSION >= QT_VERSION_CHECK(6, 5, 0) && QT_CONFIG(permissions)
#include <QPermissions>
#define DISCAL_ASKS_FOR_CAMERA 1
#endif

namespace discal::devices {

namespace {

/// From one frame to the next: a reader is no quicker, and each costs the battery.
constexpr qint64 kEveryMs = 60;

QCameraDevice backCamera() {
    const auto all = QMediaDevices::videoInputs();
    const auto back = std::find_if(all.begin(), all.end(),
                                   [](const QCameraDevice& one) { return one.position() == QCameraDevice::BackFace; });
    return back != all.end() ? *back : QMediaDevices::defaultVideoInput();
}

} // namespace

/// What lives on the camera's thread. `take` and `onEnd` are set and cleared from the screen's, with the lock.
class Camera::Eye final : public QObject {
public:
    void begin(Take take, std::function<void(Error)> onEnd) {
        const std::lock_guard lock(m_mutex);
        m_take = std::move(take);
        m_onEnd = std::move(onEnd);
    }
    void forget() {
        const std::lock_guard lock(m_mutex);
        m_take = nullptr;
        m_onEnd = nullptr;
    }
    void end(Code why) {
        const std::lock_guard lock(m_mutex);
        m_take = nullptr;
        if (const auto onEnd = std::exchange(m_onEnd, nullptr))
            onEnd({why});
    }

    void open();
    void close() {
        if (m_camera)
            m_camera->stop();
        m_session.reset();
        m_camera.reset();
        m_sink.reset();
        hasTorch = false;
    }
    void setTorch(Torch torch) {
        if (m_camera && hasTorch)
            m_camera->setTorchMode(torch == Torch::On ? QCamera::TorchOn : QCamera::TorchOff);
    }
    void focusOn(double x, double y);

    std::atomic<bool> hasTorch{false};

private:
    void see(const QVideoFrame& seen);

    std::mutex m_mutex;
    Take m_take;
    std::function<void(Error)> m_onEnd;
    std::unique_ptr<QVideoSink> m_sink;
    std::unique_ptr<QCamera> m_camera;
    std::unique_ptr<QMediaCaptureSession> m_session;
    // Of the thread that frames come from
    QElapsedTimer m_sinceFrame;
    std::atomic<int> m_width{0};
    std::atomic<int> m_height{0};
    std::atomic<int> m_quarters{0};
};

void Camera::Eye::open() {
    close();
    const QCameraDevice device = backCamera();
    if (device.isNull())
        return end(Code::NotFound);
    m_camera = std::make_unique<QCamera>(device);
    m_sink = std::make_unique<QVideoSink>();
    m_session = std::make_unique<QMediaCaptureSession>();
    connect(m_camera.get(), &QCamera::errorOccurred, this, [this](QCamera::Error error) {
        if (error != QCamera::NoError)
            end(Code::Io);
    });
    // On whatever thread it comes: frames don't wait for this one.
    connect(m_sink.get(), &QVideoSink::videoFrameChanged, this, &Eye::see, Qt::DirectConnection);
    const auto formats = device.videoFormats();
    std::vector<Stream> streams;
    for (const QCameraFormat& format : formats)
        streams.push_back({format.resolution(), format.maxFrameRate(),
                           format.pixelFormat() == QVideoFrameFormat::Format_Jpeg});
    if (const auto best = bestOf(streams))
        m_camera->setCameraFormat(formats.at(static_cast<qsizetype>(*best)));
    if (m_camera->isFocusModeSupported(QCamera::FocusModeAutoNear))
        m_camera->setFocusMode(QCamera::FocusModeAutoNear);
    m_session->setCamera(m_camera.get());
    m_session->setVideoSink(m_sink.get());
    m_camera->start();
    hasTorch = m_camera->isTorchModeSupported(QCamera::TorchOn);
}

void Camera::Eye::see(const QVideoFrame& seen) {
    if (m_sinceFrame.isValid() && m_sinceFrame.elapsed() < kEveryMs)
        return;
    m_sinceFrame.start();
    services::Frame frame = middleOf(seen, kMostSide);
    if (frame.isEmpty())
        return;
    m_width = seen.width();
    m_height = seen.height();
    m_quarters = static_cast<int>(seen.rotationAngle()) / 90;
    const std::lock_guard lock(m_mutex);
    if (m_take)
        m_take(std::move(frame));
}

void Camera::Eye::focusOn(double x, double y) {
    const int w = m_width;
    const int h = m_height;
    if (!m_camera || w <= 0 || h <= 0 ||
        !m_camera->supportedFeatures().testFlag(QCamera::Feature::CustomFocusPoint))
        return;
    // As the sensor lies: back by each quarter that the frame was turned.
    for (int turn = 0; turn < m_quarters; ++turn)
        std::tie(x, y) = std::pair(y, 1 - x);
    const double side = std::min({w, h, kMostSide});
    m_camera->setCustomFocusPoint({(w - side + 2 * x * side) / (2 * w), (h - side + 2 * y * side) / (2 * h)});
}

Camera::Camera() : m_eye(std::make_unique<Eye>()) {
    m_eye->moveToThread(&m_thread);
    m_thread.setObjectName(QStringLiteral("camera"));
}

Camera::~Camera() {
    m_eye->forget();
    if (!m_thread.isRunning())
        return;
    // Where it was opened.
    QMetaObject::invokeMethod(m_eye.get(), [eye = m_eye.get()] { eye->close(); }, Qt::BlockingQueuedConnection);
    m_thread.quit();
    m_thread.wait();
}

Result<void> Camera::start(Take take, std::function<void(Error)> onEnd) {
    m_eye->begin(std::move(take), std::move(onEnd));
    if (!m_thread.isRunning())
        m_thread.start();
#ifdef DISCAL_ASKS_FOR_CAMERA
    const QCameraPermission permission;
    switch (qApp->checkPermission(permission)) {
    case Qt::PermissionStatus::Denied:
        m_eye->forget();
        return fail(Code::NotAllowed);
    case Qt::PermissionStatus::Undetermined:
        qApp->requestPermission(permission, m_eye.get(), [eye = m_eye.get()](const QPermission& said) {
            if (said.status() == Qt::PermissionStatus::Granted)
                eye->open();
            else
                eye->end(Code::NotAllowed);
        });
        return {};
    case Qt::PermissionStatus::Granted:
        break;
    }
#endif
    QMetaObject::invokeMethod(m_eye.get(), [eye = m_eye.get()] { eye->open(); }, Qt::QueuedConnection);
    return {};
}

void Camera::stop() {
    m_eye->forget();
    if (m_thread.isRunning())
        QMetaObject::invokeMethod(m_eye.get(), [eye = m_eye.get()] { eye->close(); }, Qt::QueuedConnection);
}

bool Camera::hasTorch() const { return m_eye->hasTorch; }

void Camera::setTorch(Torch torch) {
    QMetaObject::invokeMethod(m_eye.get(), [eye = m_eye.get(), torch] { eye->setTorch(torch); }, Qt::QueuedConnection);
}

void Camera::focusOn(double x, double y) {
    QMetaObject::invokeMethod(m_eye.get(), [eye = m_eye.get(), x, y] { eye->focusOn(x, y); }, Qt::QueuedConnection);
}

} // namespace discal::devices
