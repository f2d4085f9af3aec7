#pragma once

#include "reading/plane.h"

#include <algorithm>
#include <cstddef>
#include <vector>

namespace discal::reading {

/// The value below which this share of the values lies; 0 of none.
[[nodiscard]] inline float quantileOf(std::vector<float> values, double share) {
    if (values.empty())
        return 0;
    const auto at = values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
    std::nth_element(values.begin(), at, values.end());
    return *at;
}

/// Sums of all values up and left of a corner.
class Sums {
public:
    explicit Sums(const Plane& plane) : m_width(plane.width + 1), m_height(plane.height + 1) {
        m_sums.resize(static_cast<std::size_t>(m_width) * static_cast<std::size_t>(m_height), 0);
        for (int y = 0; y < plane.height; ++y) {
            double row = 0;
            for (int x = 0; x < plane.width; ++x) {
                row += static_cast<double>(plane.at(x, y));
                m_sums[index(x + 1, y + 1)] = m_sums[index(x + 1, y)] + row;
            }
        }
    }
    [[nodiscard]] double around(int x, int y, int reach) const {
        const int left = std::max(0, x - reach);
        const int top = std::max(0, y - reach);
        const int right = std::min(m_width - 1, x + reach + 1);
        const int bottom = std::min(m_height - 1, y + reach + 1);
        return m_sums[index(right, bottom)] - m_sums[index(left, bottom)] - m_sums[index(right, top)] +
               m_sums[index(left, top)];
    }

private:
    [[nodiscard]] std::size_t index(int x, int y) const {
        return static_cast<std::size_t>(y) * static_cast<std::size_t>(m_width) + static_cast<std::size_t>(x);
    }
    int m_width;
    int m_height;
    std::vector<double> m_sums;
};

} // namespace discal::reading
