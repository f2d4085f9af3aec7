#include "app/qr_images.h"

#include "reading/qr_code.h"

namespace discal::app {

QImage QrImages::requestImage(const QString& id, QSize* size, const QSize&) {
    const auto code = reading::makeQrCode(QByteArray::fromHex(id.toLatin1()).toStdString());
    if (!code)
        return {};
    QImage image(code->side, code->side, QImage::Format_ARGB32);
    image.fill(Qt::transparent);
    for (int y = 0; y < code->side; ++y)
        for (int x = 0; x < code->side; ++x)
            if (code->isDark(x, y))
                image.setPixelColor(x, y, Qt::black);
    if (size != nullptr)
        *size = image.size();
    return image;
}

} // namespace discal::app
