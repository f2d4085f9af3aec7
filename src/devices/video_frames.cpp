#include "devices/video_frames.h"

#include <QImage>
#include <QImageReader>
#include <QRect>
#include <QVideoFrameFormat>
#include <algorithm>
#include <tuple>

namespace discal::devices {

namespace {

using Format = QVideoFrameFormat::PixelFormat;
using services::Frame;

std::uint8_t clamped(int value) { return static_cast<std::uint8_t>(std::clamp(value, 0, 255)); }

/// ITU-R BT.601, Y from 16 to 235, in 8 bits behind the point. A camera that means BT.709 is off by a few shades of
/// colour; ink stays ink.
void putYuv(std::uint8_t* rgb, int y, int u, int v) {
    const int c = 298 * (y - 16) + 128;
    const int d = u - 128;
    const int e = v - 128;
    rgb[0] = clamped((c + 409 * e) >> 8);
    rgb[1] = clamped((c - 100 * d - 208 * e) >> 8);
    rgb[2] = clamped((c + 516 * d) >> 8);
}

/// Where chroma of a format with planes stands: plane and first byte of U and V, bytes from one to the next.
struct Chroma {
    int uPlane, vPlane, uFrom, vFrom, step;
};
std::optional<Chroma> chromaOf(Format format) {
    switch (format) {
    case Format::Format_YUV420P:
        return Chroma{1, 2, 0, 0, 1};
    case Format::Format_YV12:
        return Chroma{2, 1, 0, 0, 1};
    case Format::Format_NV12:
        return Chroma{1, 1, 0, 1, 2};
    case Format::Format_NV21:
        return Chroma{1, 1, 1, 0, 2};
    default:
        return std::nullopt;
    }
}

/// Where red, green and blue stand among the four bytes of a pixel; or Y of two pixels, U and V among those of a pair.
struct Places {
    int a, b, c, d;
};
std::optional<Places> rgbOf(Format format) {
    switch (format) {
    case Format::Format_BGRA8888:
    case Format::Format_BGRA8888_Premultiplied:
    case Format::Format_BGRX8888:
        return Places{2, 1, 0, 3};
    case Format::Format_RGBA8888:
    case Format::Format_RGBX8888:
        return Places{0, 1, 2, 3};
    case Format::Format_ARGB8888:
    case Format::Format_ARGB8888_Premultiplied:
    case Format::Format_XRGB8888:
        return Places{1, 2, 3, 0};
    case Format::Format_ABGR8888:
    case Format::Format_XBGR8888:
        return Places{3, 2, 1, 0};
    default:
        return std::nullopt;
    }
}
std::optional<Places> pairOf(Format format) {
    switch (format) {
    case Format::Format_YUYV:
        return Places{0, 2, 1, 3};
    case Format::Format_UYVY:
        return Places{1, 3, 0, 2};
    default:
        return std::nullopt;
    }
}

/// Even in all numbers, since colours are told for two pixels by two.
QRect middle(const QSize& size, int mostSide) {
    const int side = std::min({size.width(), size.height(), mostSide}) & ~1;
    return {((size.width() - side) / 2) & ~1, ((size.height() - side) / 2) & ~1, side, side};
}

/// One row of the square at a time: its pixels, red, green, blue.
template <class Put>
void fillRows(Frame& frame, const Put& put) {
    for (int y = 0; y < frame.height; ++y)
        put(y, frame.rgb.data() + static_cast<std::size_t>(y) * static_cast<std::size_t>(frame.width) * 3);
}

void convert(const QVideoFrame& mapped, const QRect& from, Frame& frame) {
    const Format format = mapped.pixelFormat();
    const auto row = [&](int plane, int y) { return mapped.bits(plane) + static_cast<qsizetype>(y) * mapped.bytesPerLine(plane); };
    if (const auto chroma = chromaOf(format)) {
        fillRows(frame, [&](int y, std::uint8_t* rgb) {
            const auto* luma = row(0, from.y() + y) + from.x();
            const auto* u = row(chroma->uPlane, (from.y() + y) / 2) + chroma->uFrom + from.x() / 2 * chroma->step;
            const auto* v = row(chroma->vPlane, (from.y() + y) / 2) + chroma->vFrom + from.x() / 2 * chroma->step;
            for (int x = 0; x < frame.width; ++x)
                putYuv(rgb + 3 * x, luma[x], u[x / 2 * chroma->step], v[x / 2 * chroma->step]);
        });
    } else if (const auto pair = pairOf(format)) {
        fillRows(frame, [&](int y, std::uint8_t* rgb) {
            const auto* at = row(0, from.y() + y) + from.x() * 2;
            for (int x = 0; x < frame.width; x += 2, at += 4) {
                putYuv(rgb + 3 * x, at[pair->a], at[pair->c], at[pair->d]);
                putYuv(rgb + 3 * x + 3, at[pair->b], at[pair->c], at[pair->d]);
            }
        });
    } else if (const auto places = rgbOf(format)) {
        fillRows(frame, [&](int y, std::uint8_t* rgb) {
            const auto* at = row(0, from.y() + y) + from.x() * 4;
            for (int x = 0; x < frame.width; ++x, at += 4, rgb += 3) {
                rgb[0] = at[places->a];
                rgb[1] = at[places->b];
                rgb[2] = at[places->c];
            }
        });
    }
}

bool isConverted(Format format) { return chromaOf(format) || pairOf(format) || rgbOf(format); }

/// Clockwise by a quarter.
Frame turned(const Frame& frame) {
    Frame out{frame.height, frame.width, std::vector<std::uint8_t>(frame.rgb.size())};
    for (int y = 0; y < out.height; ++y)
        for (int x = 0; x < out.width; ++x) {
            const auto to = static_cast<std::size_t>(y) * static_cast<std::size_t>(out.width) + static_cast<std::size_t>(x);
            const auto from = static_cast<std::size_t>(frame.height - 1 - x) * static_cast<std::size_t>(frame.width) +
                              static_cast<std::size_t>(y);
            std::copy_n(&frame.rgb[3 * from], 3, &out.rgb[3 * to]);
        }
    return out;
}

} // namespace

Frame middleOf(QVideoFrame frame, int mostSide) {
    const QRect from = middle(frame.size(), mostSide);
    if (!frame.isValid() || from.width() <= 0)
        return {};
    Frame out{from.width(), from.height(), {}};
    out.rgb.resize(static_cast<std::size_t>(out.width) * static_cast<std::size_t>(out.height) * 3);
    if (isConverted(frame.pixelFormat())) {
        if (!frame.map(QVideoFrame::ReadOnly))
            return {};
        convert(frame, from, out);
        frame.unmap();
    } else {
        const QImage image = frame.toImage().copy(from).convertToFormat(QImage::Format_RGB888);
        if (image.isNull())
            return {};
        fillRows(out, [&](int y, std::uint8_t* rgb) {
            std::copy_n(image.constScanLine(y), static_cast<std::size_t>(out.width) * 3, rgb);
        });
    }
    for (int turn = 0; turn < static_cast<int>(frame.rotationAngle()) / 90; ++turn)
        out = turned(out);
    return out;
}

Result<Frame> loadFrame(const std::filesystem::path& file) {
    constexpr qint64 kMostPixels = 64'000'000;
    QImageReader reader(QString::fromStdString(file.string()));
    const QSize size = reader.size();
    if (!size.isValid() || static_cast<qint64>(size.width()) * size.height() > kMostPixels)
        return fail(Code::BadInput, file.string());
    reader.setAutoTransform(true);
    const QImage image = reader.read().convertToFormat(QImage::Format_RGB888);
    if (image.isNull())
        return fail(Code::BadInput, file.string());
    Frame out{image.width(), image.height(), {}};
    out.rgb.resize(static_cast<std::size_t>(out.width) * static_cast<std::size_t>(out.height) * 3);
    fillRows(out, [&](int y, std::uint8_t* rgb) {
        std::copy_n(image.constScanLine(y), static_cast<std::size_t>(out.width) * 3, rgb);
    });
    return out;
}

std::optional<std::size_t> bestOf(const std::vector<Stream>& streams) {
    constexpr int kWidest = 4096;
    constexpr float kSlowest = 10;
    constexpr float kQuickest = 30;
    const auto worth = [](const Stream& s) {
        const bool isFit = s.mostPerSecond >= kSlowest && std::max(s.size.width(), s.size.height()) <= kWidest;
        const auto area = static_cast<double>(s.size.width()) * s.size.height();
        const double rate = s.mostPerSecond < kQuickest ? s.mostPerSecond : kQuickest;
        return isFit ? std::tuple(true, area, rate, !s.isPacked) : std::tuple(false, rate, area, !s.isPacked);
    };
    const auto best = std::max_element(streams.begin(), streams.end(),
                                       [&](const Stream& a, const Stream& b) { return worth(a) < worth(b); });
    return best == streams.end() ? std::nullopt : std::optional(static_cast<std::size_t>(best - streams.begin()));
}

} // namespace discal::devices
