#pragma once

#include <array>
#include <cstddef>

namespace discal::drawn {

struct Point {
    double x{0};
    double y{0};
};

/// Where points of a plane are seen. Row by row; (x, y) goes to (X / Z, Y / Z).
struct Homography {
    std::array<double, 9> m{1, 0, 0, 0, 1, 0, 0, 0, 1};

    [[nodiscard]] Point operator()(Point p) const {
        const double z = m[6] * p.x + m[7] * p.y + m[8];
        return {(m[0] * p.x + m[1] * p.y + m[2]) / z, (m[3] * p.x + m[4] * p.y + m[5]) / z};
    }
    /// Of the plane moved by an offset first.
    [[nodiscard]] Homography movedBy(Point p) const {
        Homography h = *this;
        for (std::size_t row = 0; row < 9; row += 3)
            h.m[row + 2] = m[row] * p.x + m[row + 1] * p.y + m[row + 2];
        return h;
    }
    [[nodiscard]] Homography inverse() const {
        const auto& a = m;
        return {{a[4] * a[8] - a[5] * a[7], a[2] * a[7] - a[1] * a[8], a[1] * a[5] - a[2] * a[4],
                 a[5] * a[6] - a[3] * a[8], a[0] * a[8] - a[2] * a[6], a[2] * a[3] - a[0] * a[5],
                 a[3] * a[7] - a[4] * a[6], a[1] * a[6] - a[0] * a[7], a[0] * a[4] - a[1] * a[3]}};
    }
};

} // namespace discal::drawn
