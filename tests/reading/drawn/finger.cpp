#include "reading/drawn/finger.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace discal::drawn {

namespace {

constexpr double kHalfTurn = std::numbers::pi;

Colour shaded(const Colour& c, double share) {
    return {c.red * share, c.green * share * share, c.blue * share * share};
}

/// Tip at 0, pointing along +x, half a width of 1.
void outline(cairo_t* cr, double length, double swelling) {
    cairo_new_path(cr);
    cairo_move_to(cr, -length, -swelling);
    cairo_curve_to(cr, -2.5, -swelling, -1.8, -1, -1, -1);
    cairo_curve_to(cr, -0.35, -1, 0, -0.5, 0, 0);
    cairo_curve_to(cr, 0, 0.5, -0.35, 1, -1, 1);
    cairo_curve_to(cr, -1.8, 1, -2.5, swelling, -length, swelling);
    cairo_close_path(cr);
}

void nail(cairo_t* cr, const Colour& tone) {
    const Colour pink = mixed(tone, {0.98, 0.86, 0.83}, 0.45);
    cairo_save(cr);
    cairo_translate(cr, -0.75, 0);
    cairo_scale(cr, 0.62, 0.58);
    cairo_arc(cr, 0, 0, 1, 0, 2 * kHalfTurn);
    cairo_restore(cr);
    setColour(cr, pink);
    cairo_fill_preserve(cr);
    setColour(cr, shaded(tone, 0.7), 0.6);
    cairo_set_line_width(cr, 0.04);
    cairo_stroke(cr);
    cairo_set_line_width(cr, 0.09);
    cairo_move_to(cr, -0.5, -0.22);
    cairo_curve_to(cr, -0.42, -0.1, -0.42, 0.1, -0.5, 0.22);
    setColour(cr, {1, 1, 1}, 0.35);
    cairo_stroke(cr);
}

void creases(cairo_t* cr, const Colour& tone, Chance& chance) {
    setColour(cr, shaded(tone, 0.62), 0.4);
    for (int i = 0; i < 4; ++i) {
        const double x = -2.1 - 0.17 * i + chance.between(-0.05, 0.05);
        cairo_set_line_width(cr, chance.between(0.015, 0.05));
        cairo_move_to(cr, x, -chance.between(0.6, 0.95));
        cairo_curve_to(cr, x + chance.between(-0.1, 0.1), -0.3, x + chance.between(-0.1, 0.1), 0.3, x,
                       chance.between(0.6, 0.95));
        cairo_stroke(cr);
    }
}

} // namespace

Colour skinTone(Chance& chance) {
    const Colour tones[] = {
        {0.93, 0.76, 0.67}, {0.86, 0.66, 0.54}, {0.72, 0.51, 0.39}, {0.50, 0.34, 0.25}, {0.33, 0.22, 0.17}};
    const int at = chance.below(4);
    return mixed(tones[at], tones[at + 1], chance.unit());
}

void drawFinger(cairo_t* cr, const Finger& finger, Chance& chance) {
    cairo_save(cr);
    cairo_translate(cr, finger.tip.x, finger.tip.y);
    cairo_rotate(cr, finger.heading);
    cairo_scale(cr, finger.halfWidth, finger.halfWidth);
    outline(cr, 40, chance.between(1.0, 1.25));
    cairo_clip(cr);
    cairo_pattern_t* round = cairo_pattern_create_linear(0, -1.1, 0, 1.1);
    const Colour light = mixed(finger.tone, {1, 1, 1}, 0.12);
    const Colour deep = shaded(finger.tone, 0.68);
    const double crown = chance.between(0.3, 0.7);
    cairo_pattern_add_color_stop_rgb(round, 0, deep.red, deep.green, deep.blue);
    cairo_pattern_add_color_stop_rgb(round, 0.18, finger.tone.red, finger.tone.green, finger.tone.blue);
    cairo_pattern_add_color_stop_rgb(round, crown, light.red, light.green, light.blue);
    cairo_pattern_add_color_stop_rgb(round, 0.82, finger.tone.red, finger.tone.green, finger.tone.blue);
    cairo_pattern_add_color_stop_rgb(round, 1, deep.red, deep.green, deep.blue);
    cairo_set_source(cr, round);
    cairo_paint(cr);
    cairo_pattern_destroy(round);
    creases(cr, finger.tone, chance);
    if (chance.happens(0.6))
        nail(cr, finger.tone);
    // Darker where it curves away at the tip.
    setColour(cr, deep, 0.12);
    for (const double width : {0.1, 0.2, 0.32, 0.46, 0.6}) {
        outline(cr, 40, 1.1);
        cairo_set_line_width(cr, width);
        cairo_stroke(cr);
    }
    cairo_restore(cr);
}

void layFinger(Light& picture, const Finger& finger, double softness, Chance chance) {
    // Drawn small and enlarged: the finger is nearer to the lens than the disc, so a little out of focus.
    const double scale = 1 / std::max(1.0, softness);
    const int w = static_cast<int>(picture.width * scale) + 2;
    const int h = static_cast<int>(picture.height * scale) + 2;
    const Surface small(cairo_image_surface_create(CAIRO_FORMAT_ARGB32, w, h));
    {
        const Context context(cairo_create(small.get()));
        cairo_scale(context.get(), scale, scale);
        drawFinger(context.get(), finger, chance);
    }
    const Surface full(cairo_image_surface_create(CAIRO_FORMAT_ARGB32, picture.width, picture.height));
    {
        const Context context(cairo_create(full.get()));
        cairo_scale(context.get(), 1 / scale, 1 / scale);
        cairo_set_source_surface(context.get(), small.get(), 0, 0);
        cairo_pattern_set_filter(cairo_get_source(context.get()), CAIRO_FILTER_BILINEAR);
        cairo_paint(context.get());
    }
    layOver(picture, full.get());
}

} // namespace discal::drawn
