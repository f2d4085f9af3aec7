#include "map/pen.h"

#include "catch_compat.hpp"

#include <cmath>
#include <random>

using discal::map::Pen;

namespace {

QImage blank(int width, int height) {
    QImage picture(width, height, QImage::Format_RGB32);
    picture.fill(Qt::white);
    return picture;
}

/// How much ink there is, in pixels; black on white.
double inkIn(const QImage& picture) {
    double ink = 0;
    for (int y = 0; y < picture.height(); ++y)
        for (int x = 0; x < picture.width(); ++x)
            ink += 1 - qRed(picture.pixel(x, y)) / 255.0;
    return ink;
}

/// By the shoelace formula (Gauss).
double areaOf(const std::vector<QPointF>& ring) {
    double twice = 0;
    for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++)
        twice += ring[j].x() * ring[i].y() - ring[i].x() * ring[j].y();
    return std::abs(twice) / 2;
}

} // namespace

TEST_CASE("A line has the ink of its length and width, whichever way it goes", "[map]") {
    for (double degrees = 0; degrees < 180; degrees += 7)
        for (const double width : {1.6, 2.4, 5.0}) {
            QImage picture = blank(220, 220);
            Pen pen(picture);
            const QPointF half = QPointF(std::cos(degrees * M_PI / 180), std::sin(degrees * M_PI / 180)) * 80;
            pen.line(QPointF(110.3, 109.6) - half, QPointF(110.3, 109.6) + half, width);
            pen.ink(Qt::black);
            INFO(degrees << " degrees, " << width << " wide");
            // With a round end on either side. Coverage by distance is near the true one, not the same.
            CHECK(inkIn(picture) == Approx(160 * width + M_PI * width * width / 4).epsilon(0.03));
        }
}

TEST_CASE("Lines that run over each other take no more ink than one", "[map]") {
    QImage once = blank(60, 60);
    QImage twice = blank(60, 60);
    Pen one(once);
    one.line({5, 5}, {50, 40}, 2);
    one.ink(Qt::black);
    Pen two(twice);
    two.line({5, 5}, {50, 40}, 2);
    two.line({50, 40}, {5, 5}, 2);
    two.ink(Qt::black);
    CHECK(inkIn(twice) == Approx(inkIn(once)).epsilon(0.01));
    // What was drawn is not drawn again in another ink.
    two.ink(Qt::white);
    CHECK(inkIn(twice) == Approx(inkIn(once)).epsilon(0.01));
}

TEST_CASE("A line that reaches far outside of the picture is drawn inside of it", "[map]") {
    QImage picture = blank(100, 50);
    Pen pen(picture);
    pen.line({-3'000, 25}, {3'000, 25}, 2);
    pen.line({-3'000, -500}, {3'000, -500}, 2);
    pen.line({40, 25}, {40, 25}, 2);
    pen.ink(Qt::black);
    CHECK(inkIn(picture) == Approx(200).epsilon(0.02));
}

TEST_CASE("A surface has the pixels of its area", "[map]") {
    std::mt19937 random(905);
    const auto below = [&](int n) { return static_cast<double>(random() % static_cast<unsigned>(n)); };
    for (int round = 0; round < 40; ++round) {
        // A star of random length about the middle: it doesn't cross itself.
        std::vector<QPointF> ring;
        for (int i = 0; i < 3 + round; ++i) {
            const double angle = 2 * M_PI * i / (3 + round);
            const double length = 40 + below(100);
            ring.emplace_back(150 + std::cos(angle) * length, 150 + std::sin(angle) * length);
        }
        QImage picture = blank(300, 300);
        Pen pen(picture);
        const std::vector<std::vector<QPointF>> rings{ring};
        pen.fill(rings, Qt::black);
        CHECK(inkIn(picture) == Approx(areaOf(ring)).epsilon(0.03));
        // An island in a lake in it: odd, even, odd.
        const std::vector<std::vector<QPointF>> nested{{{0, 0}, {300, 0}, {300, 300}, {0, 300}},
                                                       {{50, 50}, {250, 50}, {250, 250}, {50, 250}},
                                                       {{100, 100}, {200, 100}, {200, 200}, {100, 200}}};
        QImage lake = blank(300, 300);
        Pen second(lake);
        second.fill(nested, Qt::black);
        CHECK(inkIn(lake) == Approx(90'000 - 40'000 + 10'000).epsilon(0.001));
    }
    // Larger than the picture on every side
    QImage picture = blank(20, 10);
    Pen pen(picture);
    const std::vector<std::vector<QPointF>> all{{{-1e7, -1e7}, {1e7, -1e7}, {1e7, 1e7}, {-1e7, 1e7}}};
    pen.fill(all, Qt::black);
    CHECK(inkIn(picture) == Approx(200));
}
