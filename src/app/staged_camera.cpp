#include "app/staged_camera.h"

#include <QCoreApplication>
#include <QElapsedTimer>
#include <QPainter>
#include <algorithm>
#include <utility>

namespace discal::app {

namespace {

constexpr int kSide = 720;

void drawDisc(QPainter& painter, const QPointF& middle, qreal radius, const QString& letters, const QString& digits) {
    painter.setPen(QPen(QColor("#B9B2A0"), radius / 40));
    painter.setBrush(QColor("#F6F2E6"));
    painter.drawEllipse(middle, radius, radius);
    QFont font(QStringLiteral("Atkinson Hyperlegible Mono"));
    font.setWeight(QFont::Bold);
    font.setPixelSize(std::max(1, static_cast<int>(radius * 0.62)));
    painter.setFont(font);
    painter.setPen(QColor("#1B1B18"));
    const QRectF upper(middle.x() - radius, middle.y() - radius * 0.72, 2 * radius, radius * 0.72);
    painter.drawText(upper, Qt::AlignCenter, letters);
    painter.drawText(upper.translated(0, radius * 0.66), Qt::AlignCenter, digits);
}

} // namespace

class StagedCamera::Reader final : public services::CodeReader {
public:
    explicit Reader(std::shared_ptr<Stage> stage) : m_stage(std::move(stage)) {}
    void expect(services::Wanted) override {}
    [[nodiscard]] services::Reading look(const services::Frame&) override {
        const std::lock_guard lock(m_stage->mutex);
        return m_stage->reading;
    }

private:
    std::shared_ptr<Stage> m_stage;
};

Result<void> StagedCamera::start(Take take, std::function<void(Error)>) {
    if (refuses)
        return fail(*refuses);
    m_take = std::move(take);
    return {};
}

void StagedCamera::join(viewmodels::CameraPageModel& model) {
    model.setEyes(*this, [stage = m_stage]() -> Result<std::unique_ptr<services::CodeReader>> {
        return std::make_unique<Reader>(stage);
    });
}

void StagedCamera::stage(const QImage& frame, services::Reading reading) {
    m_frame = frameFrom(frame);
    const std::lock_guard lock(m_stage->mutex);
    m_stage->reading = std::move(reading);
}

void StagedCamera::runUntil(const std::function<bool()>& isSo) {
    constexpr qint64 kMostMs = 2000;
    QElapsedTimer since;
    since.start();
    while (!isSo() && since.elapsed() < kMostMs) {
        if (m_take)
            m_take(m_frame);
        QCoreApplication::processEvents(QEventLoop::AllEvents, 5);
    }
}

services::Frame frameFrom(const QImage& image) {
    const QImage rgb = image.convertToFormat(QImage::Format_RGB888);
    services::Frame frame{rgb.width(), rgb.height(), {}};
    for (int y = 0; y < rgb.height(); ++y)
        frame.rgb.insert(frame.rgb.end(), rgb.constScanLine(y), rgb.constScanLine(y) + 3 * rgb.width());
    return frame;
}

QImage drawnTag(const QString& letters, const QString& digits, Seen how) {
    QImage image(kSide, kSide, QImage::Format_RGB32);
    image.fill(QColor("#7C8F55"));
    QPainter painter(&image);
    painter.setRenderHint(QPainter::Antialiasing);
    painter.setPen(Qt::NoPen);
    for (int i = 0; i < 40; ++i) {
        painter.setBrush(i % 3 == 0 ? QColor("#8FA163") : QColor("#6A7D48"));
        painter.drawEllipse(QPointF((i * 197) % kSide, (i * 331) % kSide), 18 + i % 5 * 9, 60);
    }
    if (how != Seen::Not) {
        const qreal scale = how == Seen::Far ? 0.45 : 1;
        painter.translate(kSide / 2.0, kSide / 2.0);
        painter.scale(scale, scale);
        painter.rotate(-8);
        painter.setPen(QPen(QColor("#2A1A10"), 12));
        painter.setBrush(QColor("#D9791F"));
        painter.drawEllipse(QPointF(20, 10), 330, 300);
        painter.setPen(QPen(QColor("#2A1A10"), 7));
        for (const QPointF& end : {QPointF(300, -140), QPointF(340, 60), QPointF(220, 230), QPointF(-60, 300), QPointF(-260, 150)})
            painter.drawLine(QPointF(-40, -60), end);
        drawDisc(painter, {0, 0}, 205, letters, digits);
        if (how == Seen::Glare) {
            painter.setPen(Qt::NoPen);
            painter.setBrush(QColor(255, 255, 255, 235));
            painter.drawEllipse(QPointF(60, -30), 150, 110);
        }
        if (how == Seen::Covered) {
            painter.setPen(QPen(QColor("#9A6A4C"), 5));
            painter.setBrush(QColor("#D9A582"));
            painter.drawRoundedRect(QRectF(-30, 10, 420, 190), 95, 95);
        }
    }
    painter.end();
    if (how == Seen::Blurred)
        return image.scaled(40, 40, Qt::IgnoreAspectRatio, Qt::SmoothTransformation)
            .scaled(kSide, kSide, Qt::IgnoreAspectRatio, Qt::SmoothTransformation);
    return image;
}

QImage drawnDisc(const QString& letters, const QString& digits, int side) {
    QImage image(side, side, QImage::Format_RGB32);
    image.fill(QColor("#D9791F"));
    QPainter painter(&image);
    painter.setRenderHint(QPainter::Antialiasing);
    drawDisc(painter, {side / 2.0, side / 2.0}, side * 0.47, letters, digits);
    return image;
}

} // namespace discal::app
