#include "viewmodels/tag_reading.h"

#include <QBuffer>
#include <algorithm>
#include <array>
#include <cmath>

namespace discal::viewmodels {

namespace {

/// Of the picture that is kept: more shows no more of nine millimetres.
constexpr int kMostKeptSide = 360;
constexpr int kMostShownSide = 360;

} // namespace

QImage imageOf(const services::Frame& frame) {
    const auto row = static_cast<std::size_t>(frame.width) * 3;
    if (frame.width <= 0 || frame.height <= 0 || frame.rgb.size() != row * static_cast<std::size_t>(frame.height))
        return {};
    return QImage(frame.rgb.data(), frame.width, frame.height, static_cast<qsizetype>(row), QImage::Format_RGB888).copy();
}

QImage shownOf(const services::Frame& frame, int mostSide) {
    const int longest = std::max(frame.width, frame.height);
    if (longest <= mostSide)
        return imageOf(frame);
    // One pixel of several, and no copy of all of them: it is done for each frame.
    const int step = (longest + mostSide - 1) / mostSide;
    const int width = frame.width / step;
    const int height = frame.height / step;
    if (width <= 0 || height <= 0 ||
        frame.rgb.size() != static_cast<std::size_t>(frame.width) * static_cast<std::size_t>(frame.height) * 3)
        return {};
    QImage image(width, height, QImage::Format_RGB32);
    for (int y = 0; y < height; ++y) {
        const auto* from = frame.rgb.data() + static_cast<std::size_t>(y * step) * static_cast<std::size_t>(frame.width) * 3;
        auto* to = reinterpret_cast<QRgb*>(image.scanLine(y));
        for (int x = 0; x < width; ++x, from += 3 * step)
            to[x] = qRgb(from[0], from[1], from[2]);
    }
    return image;
}

std::string keptPicture(const QImage& picture) {
    if (picture.isNull())
        return {};
    for (int side = kMostKeptSide; side >= 45; side /= 2) {
        const QImage small = std::max(picture.width(), picture.height()) > side
                                 ? picture.scaled(side, side, Qt::KeepAspectRatio, Qt::SmoothTransformation)
                                 : picture;
        for (const int quality : {85, 65, 45}) {
            QByteArray bytes;
            QBuffer buffer(&bytes);
            if (!buffer.open(QIODevice::WriteOnly) || !small.save(&buffer, "JPG", quality))
                return {};
            if (static_cast<std::size_t>(bytes.size()) <= services::CodeRead::kMostPictureBytes)
                return bytes.toStdString();
        }
    }
    return {};
}

TagReading readingOf(const services::Reading& reading, Keeping keeping) {
    TagReading out;
    out.code = reading.code;
    out.text = reading.code ? QString::fromStdString(reading.code->text()) : QString::fromStdString(reading.text);
    out.isListed = reading.verdict == services::Verdict::Accepted;
    out.perMille = std::clamp<std::int64_t>(std::llround(reading.confidence * 1000), 0, 1000);
    const QImage upright = imageOf(reading.upright);
    if (keeping == Keeping::Picture)
        out.kept = keptPicture(upright);
    out.picture = std::max(upright.width(), upright.height()) > kMostShownSide
                      ? upright.scaled(kMostShownSide, kMostShownSide, Qt::KeepAspectRatio, Qt::SmoothTransformation)
                      : upright;
    return out;
}

} // namespace discal::viewmodels
