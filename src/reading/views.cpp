#include "reading/views.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace discal::reading {

namespace {

std::size_t area(int width, int height) {
    return static_cast<std::size_t>(width) * static_cast<std::size_t>(height);
}

Grey ofSize(int width, int height) {
    return {width, height, std::vector<std::uint8_t>(area(width, height), 255)};
}

const std::uint8_t* rowOf(const Grey& grey, int y) {
    return grey.pixels.data() + area(grey.width, y);
}

std::uint8_t* rowOf(Grey& grey, int y) {
    return grey.pixels.data() + area(grey.width, y);
}

/// Means along a line of `count` pixels, `step` apart.
void smoothLine(const std::uint8_t* from, std::uint8_t* to, int count, std::size_t step, int radius) {
    const auto at = [&](int i) {
        return int{from[step * static_cast<std::size_t>(std::clamp(i, 0, count - 1))]};
    };
    const int across = 2 * radius + 1;
    int sum = 0;
    for (int i = -radius; i <= radius; ++i)
        sum += at(i);
    for (int i = 0; i < count; ++i) {
        to[step * static_cast<std::size_t>(i)] = static_cast<std::uint8_t>((sum + radius) / across);
        sum += at(i + radius + 1) - at(i - radius);
    }
}

} // namespace

bool isSound(const services::Frame& frame) noexcept {
    return frame.width > 0 && frame.height > 0 && frame.rgb.size() == 3 * area(frame.width, frame.height);
}

Grey greyOf(const services::Frame& frame) {
    Grey out = ofSize(frame.width, frame.height);
    const std::uint8_t* from = frame.rgb.data();
    for (std::uint8_t& to : out.pixels) {
        to = static_cast<std::uint8_t>((306U * from[0] + 601U * from[1] + 117U * from[2] + 512U) >> 10U);
        from += 3;
    }
    return out;
}

Grey greenHalved(const services::Frame& frame) {
    Grey out = ofSize(frame.width / 2, frame.height / 2);
    const std::size_t row = 3 * static_cast<std::size_t>(frame.width);
    for (int y = 0; y < out.height; ++y) {
        const std::uint8_t* from = frame.rgb.data() + 2 * static_cast<std::size_t>(y) * row + 1;
        std::uint8_t* to = rowOf(out, y);
        for (int x = 0; x < out.width; ++x, from += 6)
            to[x] = static_cast<std::uint8_t>((from[0] + from[3] + from[row] + from[row + 3]) / 4);
    }
    return out;
}

Grey smaller(const Grey& grey, int times) {
    if (grey.width < times || grey.height < times)
        return grey;
    Grey out = ofSize(grey.width / times, grey.height / times);
    for (int y = 0; y < out.height; ++y) {
        std::uint8_t* to = rowOf(out, y);
        for (int x = 0; x < out.width; ++x) {
            int sum = 0;
            for (int j = 0; j < times; ++j) {
                const std::uint8_t* from = rowOf(grey, y * times + j) + static_cast<std::ptrdiff_t>(x) * times;
                for (int i = 0; i < times; ++i)
                    sum += from[i];
            }
            to[x] = static_cast<std::uint8_t>(sum / (times * times));
        }
    }
    return out;
}

Grey doubled(const Grey& grey) {
    Grey out = ofSize(2 * grey.width, 2 * grey.height);
    for (int y = 0; y < out.height; ++y) {
        // Three quarters of the pixel it lies in, one of the neighbour, along either side.
        const std::uint8_t* near = rowOf(grey, y / 2);
        const std::uint8_t* far = rowOf(grey, std::clamp(y / 2 + (y % 2 == 0 ? -1 : 1), 0, grey.height - 1));
        std::uint8_t* to = rowOf(out, y);
        for (int x = 0; x < out.width; ++x) {
            const int a = x / 2;
            const int b = std::clamp(a + (x % 2 == 0 ? -1 : 1), 0, grey.width - 1);
            to[x] = static_cast<std::uint8_t>((9 * near[a] + 3 * near[b] + 3 * far[a] + far[b] + 8) / 16);
        }
    }
    return out;
}

Grey smoothed(const Grey& grey, int radius) {
    Grey across = ofSize(grey.width, grey.height);
    for (int y = 0; y < grey.height; ++y)
        smoothLine(rowOf(grey, y), rowOf(across, y), grey.width, 1, radius);
    Grey out = ofSize(grey.width, grey.height);
    for (int x = 0; x < grey.width; ++x)
        smoothLine(across.pixels.data() + x, out.pixels.data() + x, grey.height, static_cast<std::size_t>(grey.width),
                   radius);
    return out;
}

Grey sharpened(const Grey& grey, int radius) {
    Grey out = smoothed(grey, radius);
    for (std::size_t i = 0; i < out.pixels.size(); ++i)
        out.pixels[i] = static_cast<std::uint8_t>(std::clamp(3 * grey.pixels[i] - 2 * out.pixels[i], 0, 255));
    return out;
}

Grey inverted(Grey grey) {
    for (std::uint8_t& pixel : grey.pixels)
        pixel = static_cast<std::uint8_t>(255 - pixel);
    return grey;
}

Grey turned(const Grey& grey, double degrees) {
    const double angle = degrees * std::numbers::pi / 180;
    const double cosine = std::cos(angle);
    const double sine = std::sin(angle);
    const double width = grey.width;
    const double height = grey.height;
    Grey out = ofSize(static_cast<int>(std::ceil(std::abs(width * cosine) + std::abs(height * sine))),
                      static_cast<int>(std::ceil(std::abs(width * sine) + std::abs(height * cosine))));
    for (int y = 0; y < out.height; ++y) {
        std::uint8_t* to = rowOf(out, y);
        for (int x = 0; x < out.width; ++x) {
            const double fromX = cosine * (x - out.width / 2.0) + sine * (y - out.height / 2.0) + width / 2;
            const double fromY = cosine * (y - out.height / 2.0) - sine * (x - out.width / 2.0) + height / 2;
            if (fromX < 0 || fromY < 0 || fromX >= width - 1 || fromY >= height - 1)
                continue;
            const int left = static_cast<int>(fromX);
            const int top = static_cast<int>(fromY);
            const double right = fromX - left;
            const double below = fromY - top;
            const std::uint8_t* a = rowOf(grey, top) + left;
            const std::uint8_t* b = a + grey.width;
            to[x] = static_cast<std::uint8_t>((1 - below) * ((1 - right) * a[0] + right * a[1]) +
                                              below * ((1 - right) * b[0] + right * b[1]) + 0.5);
        }
    }
    return out;
}

} // namespace discal::reading
