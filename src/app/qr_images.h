#pragma once

#include <QQuickImageProvider>

namespace discal::app {

/// QR codes for pages: "image://qr/" and the text in hexadecimal. Dark squares are black, the rest is clear, so that the
/// page gives the ground; a pixel a square.
class QrImages : public QQuickImageProvider {
public:
    QrImages() : QQuickImageProvider(QQuickImageProvider::Image) {}
    QImage requestImage(const QString& id, QSize* size, const QSize& requestedSize) override;
};

} // namespace discal::app
