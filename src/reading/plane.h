#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

namespace discal::reading {

/// Grey values, rows top first without padding; what they mean is said where one is made.
struct Plane {
    int width{0};
    int height{0};
    std::vector<float> values;

    Plane() = default;
    Plane(int w, int h)
        : width(w), height(h), values(static_cast<std::size_t>(w) * static_cast<std::size_t>(h), 0.0F) {}

    [[nodiscard]] float& at(int x, int y) { return values[index(x, y)]; }
    [[nodiscard]] float at(int x, int y) const { return values[index(x, y)]; }

    /// Between pixels, whose middles are whole numbers; outside, the nearest pixel's.
    [[nodiscard]] float between(float x, float y) const {
        x = std::clamp(x, 0.0F, static_cast<float>(width - 1));
        y = std::clamp(y, 0.0F, static_cast<float>(height - 1));
        const int left = std::min(static_cast<int>(x), std::max(0, width - 2));
        const int top = std::min(static_cast<int>(y), std::max(0, height - 2));
        const int right = std::min(left + 1, width - 1);
        const int bottom = std::min(top + 1, height - 1);
        const float fx = x - static_cast<float>(left);
        const float fy = y - static_cast<float>(top);
        return (at(left, top) * (1 - fx) + at(right, top) * fx) * (1 - fy) +
               (at(left, bottom) * (1 - fx) + at(right, bottom) * fx) * fy;
    }

private:
    [[nodiscard]] std::size_t index(int x, int y) const {
        return static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x);
    }
};

} // namespace discal::reading
