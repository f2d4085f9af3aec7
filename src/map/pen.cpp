#include "map/pen.h"

#include <algorithm>
#include <cmath>

namespace discal::map {

namespace {

/// Longer lines are drawn in such parts, since a slanting one is looked for in all of its box.
constexpr double kPart = 12;

std::uint32_t blended(std::uint32_t ground, const QColor& ink, int cover) {
    const auto mix = [&](int shift, int value) {
        const int below = static_cast<int>((ground >> shift) & 0xFFU);
        return static_cast<std::uint32_t>(below + (value - below) * cover / 255) << shift;
    };
    return 0xFF000000U | mix(16, ink.red()) | mix(8, ink.green()) | mix(0, ink.blue());
}

} // namespace

Pen::Pen(QImage& picture)
    : m_picture(picture), m_cover(static_cast<std::size_t>(picture.width()) * static_cast<std::size_t>(picture.height())),
      m_hasCover(static_cast<std::size_t>(picture.height())) {}

void Pen::line(const QPointF& from, const QPointF& to, double width) {
    const QPointF way = to - from;
    const double length = std::hypot(way.x(), way.y());
    const double reach = width / 2 + 1;
    // Far outside nothing is to be drawn, however long it is.
    if (std::max(from.x(), to.x()) < -reach || std::max(from.y(), to.y()) < -reach ||
        std::min(from.x(), to.x()) > m_picture.width() + reach || std::min(from.y(), to.y()) > m_picture.height() + reach)
        return;
    const int parts = std::clamp(static_cast<int>(std::ceil(length / kPart)), 1, 4'000);
    for (int i = 0; i < parts; ++i)
        dab(from + way * i / parts, from + way * (i + 1) / parts, width / 2);
}

void Pen::dab(const QPointF& from, const QPointF& to, double radius) {
    const double reach = radius + 0.5;
    const int left = std::max(0, static_cast<int>(std::floor(std::min(from.x(), to.x()) - reach)));
    const int right = std::min(m_picture.width() - 1, static_cast<int>(std::ceil(std::max(from.x(), to.x()) + reach)));
    const int top = std::max(0, static_cast<int>(std::floor(std::min(from.y(), to.y()) - reach)));
    const int bottom = std::min(m_picture.height() - 1, static_cast<int>(std::ceil(std::max(from.y(), to.y()) + reach)));
    const float ax = static_cast<float>(from.x()) - 0.5F;
    const float ay = static_cast<float>(from.y()) - 0.5F;
    const float dx = static_cast<float>(to.x() - from.x());
    const float dy = static_cast<float>(to.y() - from.y());
    const float square = dx * dx + dy * dy;
    const float perSquare = square > 0 ? 1 / square : 0;
    const float far = static_cast<float>(reach);
    for (int y = top; y <= bottom; ++y) {
        std::uint8_t* row = m_cover.data() + static_cast<std::size_t>(y) * static_cast<std::size_t>(m_picture.width());
        const float py = static_cast<float>(y) - ay;
        m_hasCover[static_cast<std::size_t>(y)] = true;
        for (int x = left; x <= right; ++x) {
            const float px = static_cast<float>(x) - ax;
            const float t = std::clamp((px * dx + py * dy) * perSquare, 0.0F, 1.0F);
            const float ex = px - t * dx;
            const float ey = py - t * dy;
            const float away = ex * ex + ey * ey;
            if (away >= far * far)
                continue;
            const float cover = std::min(1.0F, far - std::sqrt(away));
            row[x] = std::max(row[x], static_cast<std::uint8_t>(cover * 255));
        }
    }
}

void Pen::ink(const QColor& colour) {
    const int width = m_picture.width();
    for (int y = 0; y < m_picture.height(); ++y) {
        if (!m_hasCover[static_cast<std::size_t>(y)])
            continue;
        m_hasCover[static_cast<std::size_t>(y)] = false;
        std::uint8_t* cover = m_cover.data() + static_cast<std::size_t>(y) * static_cast<std::size_t>(width);
        auto* row = reinterpret_cast<std::uint32_t*>(m_picture.scanLine(y));
        for (int x = 0; x < width; ++x)
            if (cover[x] != 0) {
                row[x] = blended(row[x], colour, cover[x]);
                cover[x] = 0;
            }
    }
}

void Pen::fill(std::span<const std::vector<QPointF>> rings, const QColor& colour) {
    // Where the edges cross the middle of each row, and then from each odd crossing to the next.
    const int height = m_picture.height();
    const auto forEachCrossing = [&](auto&& visit) {
        for (const auto& ring : rings)
            for (std::size_t i = 0; i < ring.size(); ++i) {
                QPointF a = ring[i];
                QPointF b = ring[i + 1 < ring.size() ? i + 1 : 0];
                if (a.y() > b.y())
                    std::swap(a, b);
                const int first = std::max(0, static_cast<int>(std::ceil(std::clamp(a.y(), -1e6, 1e6) - 0.5)));
                const int last = std::min(height, static_cast<int>(std::ceil(std::clamp(b.y(), -1e6, 1e6) - 0.5)));
                const double slope = first < last ? (b.x() - a.x()) / (b.y() - a.y()) : 0;
                for (int y = first; y < last; ++y)
                    visit(static_cast<std::size_t>(y), a.x() + (y + 0.5 - a.y()) * slope);
            }
    };
    std::vector<std::size_t> begin(static_cast<std::size_t>(height) + 1);
    forEachCrossing([&](std::size_t y, double) { ++begin[y + 1]; });
    for (std::size_t y = 1; y < begin.size(); ++y)
        begin[y] += begin[y - 1];
    std::vector<float> crossings(begin.back());
    auto next = begin;
    forEachCrossing([&](std::size_t y, double x) { crossings[next[y]++] = static_cast<float>(x); });
    for (std::size_t y = 0; y + 1 < begin.size(); ++y) {
        const auto from = crossings.begin() + static_cast<std::ptrdiff_t>(begin[y]);
        const auto to = crossings.begin() + static_cast<std::ptrdiff_t>(begin[y + 1]);
        std::sort(from, to);
        auto* row = reinterpret_cast<std::uint32_t*>(m_picture.scanLine(static_cast<int>(y)));
        const auto pixel = [&](float x) {
            return static_cast<int>(std::ceil(std::clamp(x, 0.0F, static_cast<float>(m_picture.width())) - 0.5F));
        };
        for (auto it = from; it + 1 < to; it += 2)
            std::fill(row + pixel(*it), row + pixel(*(it + 1)), colour.rgb());
    }
}

} // namespace discal::map
