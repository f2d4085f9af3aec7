#include "reading/drawn/background.h"

#include "reading/drawn/finger.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace discal::drawn {

namespace {

constexpr double kTurn = 2 * std::numbers::pi;

/// What a background is drawn with.
struct Canvas {
    cairo_t* cr;
    int width;
    int height;
    double mm; ///< pixels
    Point middle;
    Chance& chance;
};

void fillAll(const Canvas& c, const Colour& colour) {
    setColour(c.cr, colour);
    cairo_paint(c.cr);
}

/// Lays grain of a size over all: a coarse grid of greys, smoothly enlarged, darkening and lightening what is there.
void grain(const Canvas& c, double across, double down, double strength) {
    const int columns = std::clamp(static_cast<int>(c.width / across) + 2, 2, 700);
    const int rows = std::clamp(static_cast<int>(c.height / down) + 2, 2, 700);
    const Surface grid(cairo_image_surface_create(CAIRO_FORMAT_ARGB32, columns, rows));
    unsigned char* data = cairo_image_surface_get_data(grid.get());
    const int stride = cairo_image_surface_get_stride(grid.get());
    for (int y = 0; y < rows; ++y) {
        auto* row = reinterpret_cast<std::uint32_t*>(data + static_cast<std::ptrdiff_t>(y) * stride);
        for (int x = 0; x < columns; ++x) {
            const double v = c.chance.between(-strength, strength);
            const auto alpha = static_cast<std::uint32_t>(std::abs(v) * 255);
            row[x] = alpha << 24 | (v > 0 ? alpha * 0x010101U : 0U);
        }
    }
    cairo_surface_mark_dirty(grid.get());
    cairo_save(c.cr);
    cairo_scale(c.cr, static_cast<double>(c.width) / (columns - 1), static_cast<double>(c.height) / (rows - 1));
    cairo_set_source_surface(c.cr, grid.get(), -0.5, -0.5);
    cairo_pattern_set_filter(cairo_get_source(c.cr), CAIRO_FILTER_BILINEAR);
    cairo_paint(c.cr);
    cairo_restore(c.cr);
}

/// Turned about the middle, by chance.
void turn(const Canvas& c) {
    cairo_translate(c.cr, c.width / 2.0, c.height / 2.0);
    cairo_rotate(c.cr, c.chance.between(0, kTurn));
}

void wing(const Canvas& c) {
    const Colour dark{0.07, 0.05, 0.05};
    const Colour orange = mixed({0.80, 0.40, 0.09}, {0.90, 0.58, 0.22}, c.chance.unit());
    fillAll(c, orange);
    grain(c, 3 * c.mm, 3 * c.mm, 0.10);
    turn(c);
    const double far = std::hypot(c.width, c.height);
    const double left = -far * c.chance.between(0.5, 1.0);
    // Veins fan out from a root and bow a little.
    setColour(c.cr, dark);
    cairo_set_line_cap(c.cr, CAIRO_LINE_CAP_ROUND);
    const int veins = 7 + c.chance.below(5);
    const double spread = c.chance.between(0.9, 1.5);
    for (int i = 0; i < veins; ++i) {
        const double angle = (i - (veins - 1) / 2.0) * spread / veins + c.chance.between(-0.03, 0.03);
        const double bow = c.chance.between(-0.08, 0.08);
        cairo_set_line_width(c.cr, c.mm * c.chance.between(0.5, 1.3));
        cairo_move_to(c.cr, left, 0);
        cairo_curve_to(c.cr, left + far * 0.5 * std::cos(angle + bow), far * 0.5 * std::sin(angle + bow),
                       left + far * std::cos(angle + bow), far * std::sin(angle + bow),
                       left + far * 2 * std::cos(angle), far * 2 * std::sin(angle));
        cairo_stroke(c.cr);
    }
    // Cross veins and a dark border with two rows of white spots.
    const double border = far * c.chance.between(0.15, 0.6);
    cairo_set_line_width(c.cr, c.mm * c.chance.between(0.5, 1.0));
    cairo_arc(c.cr, left, 0, far * c.chance.between(0.5, 0.9), -spread / 2, spread / 2);
    cairo_stroke(c.cr);
    const double margin = c.mm * c.chance.between(4, 7);
    cairo_set_line_width(c.cr, 2 * margin);
    cairo_arc(c.cr, left, 0, border - left + margin, -1.5, 1.5);
    cairo_stroke(c.cr);
    for (int line = 0; line < 2; ++line)
        for (double a = -1.4; a < 1.4; a += 2.4 * c.mm / (border - left)) {
            const double r = border - left + margin * (0.6 + 0.8 * line) + c.chance.between(-0.4, 0.4) * c.mm;
            setColour(c.cr, {0.93, 0.91, 0.86});
            cairo_arc(c.cr, left + r * std::cos(a), r * std::sin(a), c.mm * c.chance.between(0.25, 0.7), 0, kTurn);
            cairo_fill(c.cr);
        }
    cairo_identity_matrix(c.cr);
    grain(c, 0.15 * c.mm, 0.15 * c.mm, 0.10);
}

void skin(const Canvas& c) {
    const Colour tone = skinTone(c.chance);
    const Colour deep{tone.red * 0.62, tone.green * 0.48, tone.blue * 0.42};
    fillAll(c, tone);
    grain(c, 14 * c.mm, 14 * c.mm, 0.16);
    grain(c, 2 * c.mm, 2 * c.mm, 0.05);
    turn(c);
    const double far = std::hypot(c.width, c.height);
    for (int i = 0, n = 3 + c.chance.below(5); i < n; ++i) {
        const double y = c.chance.between(-far / 2, far / 2);
        cairo_set_line_width(c.cr, c.mm * c.chance.between(0.2, 0.9));
        setColour(c.cr, deep, c.chance.between(0.15, 0.5));
        cairo_move_to(c.cr, -far, y);
        cairo_curve_to(c.cr, -far / 3, y + c.chance.between(-9, 9) * c.mm, far / 3, y + c.chance.between(-9, 9) * c.mm,
                       far, y + c.chance.between(-14, 14) * c.mm);
        cairo_stroke(c.cr);
    }
    cairo_identity_matrix(c.cr);
    grain(c, 0.3 * c.mm, 0.25 * c.mm, 0.06);
}

void card(const Canvas& c) {
    const Colour all[] = {{0.93, 0.92, 0.90}, {0.80, 0.71, 0.56}, {0.45, 0.52, 0.60},
                          {0.28, 0.36, 0.28}, {0.20, 0.20, 0.22}, {0.62, 0.62, 0.62}};
    fillAll(c, mixed(all[c.chance.below(6)], all[c.chance.below(6)], c.chance.between(0, 0.4)));
    grain(c, 0.2 * c.mm, 0.2 * c.mm, c.chance.between(0.02, 0.08));
}

void meadow(const Canvas& c) {
    const Colour greens[] = {
        {0.30, 0.42, 0.16}, {0.50, 0.58, 0.24}, {0.16, 0.25, 0.11}, {0.66, 0.62, 0.36}, {0.40, 0.50, 0.30}};
    const Colour flowers[] = {{0.93, 0.88, 0.35}, {0.90, 0.90, 0.92}, {0.70, 0.40, 0.72}, {0.88, 0.55, 0.20}};
    // Far behind the disc and so out of focus: drawn small, then enlarged.
    const int w = c.width / 16;
    const int h = c.height / 16;
    const Surface small(cairo_image_surface_create(CAIRO_FORMAT_RGB24, w, h));
    const Context context(cairo_create(small.get()));
    cairo_t* cr = context.get();
    setColour(cr, greens[c.chance.below(5)]);
    cairo_paint(cr);
    for (int i = 0; i < 150; ++i) {
        const double x = c.chance.between(0, w);
        const double y = c.chance.between(0, h);
        setColour(cr, mixed(greens[c.chance.below(5)], greens[c.chance.below(5)], c.chance.unit()),
                  c.chance.between(0.3, 0.8));
        cairo_set_line_width(cr, c.chance.between(1, 5));
        cairo_move_to(cr, x, y);
        cairo_rel_curve_to(cr, c.chance.between(-6, 6), -8, c.chance.between(-12, 12), -16, c.chance.between(-20, 20),
                           c.chance.between(-40, -10));
        cairo_stroke(cr);
    }
    for (int i = 0, n = c.chance.below(7); i < n; ++i) {
        setColour(cr, flowers[c.chance.below(4)], c.chance.between(0.4, 0.9));
        cairo_arc(cr, c.chance.between(0, w), c.chance.between(0, h), c.chance.between(1, 5), 0, kTurn);
        cairo_fill(cr);
    }
    cairo_scale(c.cr, static_cast<double>(c.width) / w, static_cast<double>(c.height) / h);
    cairo_set_source_surface(c.cr, small.get(), 0, 0);
    cairo_pattern_set_filter(cairo_get_source(c.cr), CAIRO_FILTER_BILINEAR);
    cairo_pattern_set_extend(cairo_get_source(c.cr), CAIRO_EXTEND_PAD);
    cairo_paint(c.cr);
    cairo_identity_matrix(c.cr);
}

void wood(const Canvas& c) {
    fillAll(c, mixed({0.72, 0.53, 0.34}, {0.40, 0.27, 0.17}, c.chance.unit()));
    const bool upright = c.chance.happens(0.5);
    const double along = 30 * c.mm;
    for (const double across : {2.5, 0.8, 0.3}) {
        const double strength = c.chance.between(0.10, 0.22);
        grain(c, upright ? across * c.mm : along, upright ? along : across * c.mm, strength);
    }
    cairo_set_line_width(c.cr, 0.25 * c.mm);
    for (int i = 0, n = c.chance.below(9); i < n; ++i) {
        setColour(c.cr, {0.16, 0.10, 0.06}, c.chance.between(0.2, 0.6));
        const double at = c.chance.between(0, upright ? c.width : c.height);
        const double bend = c.chance.between(-4, 4) * c.mm;
        cairo_move_to(c.cr, upright ? at : 0, upright ? 0 : at);
        if (upright)
            cairo_curve_to(c.cr, at + bend, c.height * 0.3, at - bend, c.height * 0.6, at + bend, c.height);
        else
            cairo_curve_to(c.cr, c.width * 0.3, at + bend, c.width * 0.6, at - bend, c.width, at + bend);
        cairo_stroke(c.cr);
    }
}

/// Threads that cross: closely as in cloth, or with holes as in a net's mesh.
void threads(const Canvas& c, double step, double thickness, const Colour& thread) {
    turn(c);
    const double far = std::hypot(c.width, c.height) / 2;
    for (int way = 0; way < 2; ++way) {
        for (double at = -far; at < far; at += step) {
            setColour(c.cr, mixed(thread, {0, 0, 0}, c.chance.between(0, 0.3)), 0.85);
            cairo_set_line_width(c.cr, thickness * c.chance.between(0.8, 1.1));
            cairo_move_to(c.cr, -far, at + c.chance.between(-0.06, 0.06) * step);
            cairo_line_to(c.cr, far, at + c.chance.between(-0.06, 0.06) * step);
            cairo_stroke(c.cr);
        }
        cairo_rotate(c.cr, kTurn / 4);
    }
    cairo_identity_matrix(c.cr);
}

void cloth(const Canvas& c) {
    const Colour colour{c.chance.between(0.15, 0.85), c.chance.between(0.15, 0.85), c.chance.between(0.15, 0.85)};
    fillAll(c, mixed(colour, {0, 0, 0}, 0.5));
    threads(c, c.mm * c.chance.between(0.35, 0.7), c.mm * c.chance.between(0.25, 0.35), colour);
    grain(c, 20 * c.mm, 9 * c.mm, 0.22);
}

void mesh(const Canvas& c) {
    meadow(c);
    const Colour thread = c.chance.happens(0.6) ? Colour{0.92, 0.92, 0.90} : Colour{0.12, 0.16, 0.12};
    const double step = c.mm * c.chance.between(1.0, 2.2);
    threads(c, step, step * c.chance.between(0.12, 0.25), thread);
}

/// One to three fingers before a meadow.
void fingers(const Canvas& c) {
    meadow(c);
    const Colour tone = skinTone(c.chance);
    const double heading = c.chance.between(0, kTurn);
    const double half = 8 * c.mm;
    const int count = 1 + c.chance.below(3);
    for (int i = 0; i < count; ++i) {
        const double aside = (i - (count - 1) / 2.0) * 2.05 * half + c.chance.between(-3, 3) * c.mm;
        const double ahead = c.chance.between(0, 14) * c.mm;
        const Point tip{c.middle.x + ahead * std::cos(heading) - aside * std::sin(heading),
                        c.middle.y + ahead * std::sin(heading) + aside * std::cos(heading)};
        drawFinger(c.cr, {tip, heading + c.chance.between(-0.08, 0.08), half * c.chance.between(0.9, 1.05), tone},
                   c.chance);
    }
    grain(c, 0.3 * c.mm, 0.25 * c.mm, 0.05);
}

/// The backing paper of a printed sheet.
void sheet(const Canvas& c) {
    fillAll(c, mixed({0.95, 0.95, 0.94}, {0.86, 0.83, 0.74}, c.chance.unit()));
    grain(c, 0.25 * c.mm, 0.25 * c.mm, 0.03);
}

} // namespace

Surface drawBackground(Background kind, int width, int height, double millimetre, Point middle, Chance chance) {
    Surface surface(cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height));
    const Context context(cairo_create(surface.get()));
    const Canvas canvas{context.get(), width, height, millimetre, middle, chance};
    switch (kind) {
    case Background::Wing:
        wing(canvas);
        break;
    case Background::Skin:
        skin(canvas);
        break;
    case Background::Card:
        card(canvas);
        break;
    case Background::Meadow:
        meadow(canvas);
        break;
    case Background::Wood:
        wood(canvas);
        break;
    case Background::Cloth:
        cloth(canvas);
        break;
    case Background::Mesh:
        mesh(canvas);
        break;
    case Background::Fingers:
        fingers(canvas);
        break;
    case Background::Sheet:
        sheet(canvas);
        break;
    }
    return surface;
}

} // namespace discal::drawn
