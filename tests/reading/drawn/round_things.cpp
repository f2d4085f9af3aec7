#include "reading/drawn/round_things.h"

#include "reading/drawn/typefaces.h"

#include <cmath>
#include <numbers>

namespace discal::drawn {

namespace {

constexpr double kTurn = 2 * std::numbers::pi;

void circle(cairo_t* cr, double x, double y, double radius) {
    cairo_new_sub_path(cr);
    cairo_arc(cr, x, y, radius, 0, kTurn);
}

/// Filled with a colour that a light from one side shades.
void dome(cairo_t* cr, double radius, const Colour& colour, double shade, Chance& chance) {
    const double way = chance.between(0, kTurn);
    cairo_pattern_t* shading = cairo_pattern_create_radial(0.4 * radius * std::cos(way), 0.4 * radius * std::sin(way),
                                                           0.1 * radius, 0, 0, radius);
    const Colour light = mixed(colour, {1, 1, 1}, 0.35 * shade);
    const Colour deep = mixed(colour, {0, 0, 0}, 0.6 * shade);
    cairo_pattern_add_color_stop_rgb(shading, 0, light.red, light.green, light.blue);
    cairo_pattern_add_color_stop_rgb(shading, 0.6, colour.red, colour.green, colour.blue);
    cairo_pattern_add_color_stop_rgb(shading, 1, deep.red, deep.green, deep.blue);
    circle(cr, 0, 0, radius);
    cairo_set_source(cr, shading);
    cairo_fill(cr);
    cairo_pattern_destroy(shading);
}

void words(cairo_t* cr, const char* text, double x, double y, double size) {
    cairo_set_font_face(cr, typeface("truetype/liberation/LiberationSans-Bold.ttf"));
    cairo_set_font_size(cr, size);
    cairo_text_extents_t extents;
    cairo_text_extents(cr, text, &extents);
    cairo_move_to(cr, x - extents.x_advance / 2, y + size * 0.36);
    cairo_text_path(cr, text);
    cairo_fill(cr);
}

void coin(cairo_t* cr, Chance& chance) {
    const Colour metals[] = {{0.72, 0.72, 0.70}, {0.70, 0.45, 0.28}, {0.78, 0.66, 0.36}};
    const Colour metal = metals[chance.below(3)];
    const char* const values[] = {"1", "5", "10", "25", "50", "2"};
    const char* value = values[chance.below(6)];
    dome(cr, 1, metal, 0.35, chance);
    for (const double away : {0.02, 0.0}) {
        setColour(cr, mixed(metal, away > 0 ? Colour{1, 1, 1} : Colour{0, 0, 0}, 0.35));
        cairo_set_line_width(cr, 0.05);
        circle(cr, away, away, 0.9);
        cairo_stroke(cr);
        words(cr, value, away, away, 0.85);
    }
    for (int i = 0; i < 40; ++i) { // the milled edge
        const double a = i * kTurn / 40;
        setColour(cr, {0.2, 0.18, 0.15}, 0.25);
        cairo_set_line_width(cr, 0.03);
        cairo_move_to(cr, 0.94 * std::cos(a), 0.94 * std::sin(a));
        cairo_line_to(cr, std::cos(a), std::sin(a));
        cairo_stroke(cr);
    }
}

void button(cairo_t* cr, Chance& chance) {
    const Colour plastics[] = {{0.95, 0.94, 0.90}, {0.25, 0.25, 0.28}, {0.55, 0.38, 0.24}, {0.35, 0.45, 0.60}};
    const Colour plastic = plastics[chance.below(4)];
    dome(cr, 1, plastic, 0.3, chance);
    setColour(cr, mixed(plastic, {0, 0, 0}, 0.35));
    cairo_set_line_width(cr, 0.08);
    circle(cr, 0, 0, 0.72);
    cairo_stroke(cr);
    const int holes = chance.happens(0.5) ? 2 : 4;
    for (int i = 0; i < holes; ++i) {
        const double a = i * kTurn / holes;
        setColour(cr, {0.08, 0.07, 0.06});
        circle(cr, 0.26 * std::cos(a), 0.26 * std::sin(a), 0.12);
        cairo_fill(cr);
    }
}

void petals(cairo_t* cr, int count, double inner, double outer, const Colour& colour, Chance& chance) {
    for (int i = 0; i < count; ++i) {
        const double a = i * kTurn / count + chance.between(-0.05, 0.05);
        const double far = outer * chance.between(0.88, 1);
        setColour(cr, mixed(colour, {0.2, 0.1, 0}, chance.between(0, 0.2)));
        cairo_set_line_width(cr, 2.2 * outer * 3.0 / count);
        cairo_set_line_cap(cr, CAIRO_LINE_CAP_ROUND);
        cairo_move_to(cr, inner * std::cos(a), inner * std::sin(a));
        cairo_line_to(cr, far * 0.92 * std::cos(a), far * 0.92 * std::sin(a));
        cairo_stroke(cr);
    }
}

void dandelion(cairo_t* cr, Chance& chance) {
    petals(cr, 70, 0.3, 1, {0.95, 0.80, 0.12}, chance);
    petals(cr, 60, 0.1, 0.7, {0.96, 0.74, 0.08}, chance);
    petals(cr, 40, 0, 0.35, {0.88, 0.60, 0.05}, chance);
}

void daisy(cairo_t* cr, Chance& chance) {
    petals(cr, 24, 0.3, 1, {0.96, 0.96, 0.94}, chance);
    dome(cr, 0.36, {0.93, 0.74, 0.14}, 0.5, chance);
}

void bottleCap(cairo_t* cr, Chance& chance) {
    const Colour paint{chance.between(0.1, 0.9), chance.between(0.1, 0.6), chance.between(0.1, 0.7)};
    for (int i = 0; i < 21; ++i) {
        const double a = i * kTurn / 21;
        setColour(cr, {0.62, 0.62, 0.64});
        circle(cr, 0.9 * std::cos(a), 0.9 * std::sin(a), 0.1);
        cairo_fill(cr);
    }
    dome(cr, 0.9, paint, 0.3, chance);
    setColour(cr, {0.97, 0.97, 0.95});
    circle(cr, 0, 0, 0.62);
    cairo_fill(cr);
    setColour(cr, paint);
    words(cr, "ROOT", 0, -0.2, 0.32);
    words(cr, "BEER", 0, 0.2, 0.32);
}

void pebble(cairo_t* cr, Chance& chance) {
    cairo_scale(cr, 1, chance.between(0.85, 1));
    const double grey = chance.between(0.45, 0.9);
    dome(cr, 1, {grey, grey * 0.97, grey * 0.92}, 0.5, chance);
    for (int i = 0; i < 120; ++i) {
        const double a = chance.between(0, kTurn);
        const double r = 0.95 * std::sqrt(chance.unit());
        setColour(cr, {0.2, 0.2, 0.2}, chance.between(0.1, 0.5));
        circle(cr, r * std::cos(a), r * std::sin(a), chance.between(0.005, 0.03));
        cairo_fill(cr);
    }
}

void blankDisc(cairo_t* cr, Chance& chance) {
    setColour(cr, mixed({0.97, 0.97, 0.96}, {0.96, 0.92, 0.82}, chance.unit()));
    circle(cr, 0, 0, 1);
    cairo_fill(cr);
}

void ring(cairo_t* cr, Chance& chance) {
    setColour(cr, {0.08, 0.10, chance.between(0.1, 0.5)});
    cairo_set_line_width(cr, chance.between(0.03, 0.09));
    circle(cr, 0, 0, 0.95);
    cairo_stroke(cr);
    if (chance.happens(0.5)) { // something scribbled inside
        cairo_move_to(cr, -0.6, chance.between(-0.3, 0.3));
        for (double x = -0.45; x < 0.6; x += 0.15)
            cairo_line_to(cr, x, chance.between(-0.35, 0.35));
        cairo_stroke(cr);
    }
}

void sticker(cairo_t* cr, Chance& chance) {
    const Colour paper{chance.between(0.6, 1), chance.between(0.6, 1), chance.between(0.5, 0.95)};
    setColour(cr, paper);
    circle(cr, 0, 0, 1);
    cairo_fill(cr);
    setColour(cr, {0.15, 0.12, 0.10});
    cairo_set_line_width(cr, 0.1);
    if (chance.happens(0.5)) { // a face
        circle(cr, -0.33, -0.25, 0.12);
        circle(cr, 0.33, -0.25, 0.12);
        cairo_fill(cr);
        cairo_arc(cr, 0, 0, 0.6, 0.5, std::numbers::pi - 0.5);
        cairo_stroke(cr);
    } else { // a leaf
        cairo_move_to(cr, 0, -0.7);
        cairo_curve_to(cr, 0.7, -0.3, 0.5, 0.4, 0, 0.7);
        cairo_curve_to(cr, -0.5, 0.4, -0.7, -0.3, 0, -0.7);
        setColour(cr, {0.16, 0.42, 0.16});
        cairo_fill(cr);
        setColour(cr, paper);
        cairo_set_line_width(cr, 0.05);
        cairo_move_to(cr, 0, -0.6);
        cairo_line_to(cr, 0, 0.9);
        for (double y = -0.3; y < 0.5; y += 0.25) {
            cairo_move_to(cr, 0, y + 0.2);
            cairo_line_to(cr, 0.3, y);
            cairo_move_to(cr, 0, y + 0.2);
            cairo_line_to(cr, -0.3, y);
        }
        cairo_stroke(cr);
    }
}

void beetle(cairo_t* cr, Chance& chance) {
    setColour(cr, {0.06, 0.05, 0.05});
    circle(cr, 0, -0.85, 0.35);
    cairo_fill(cr);
    dome(cr, 0.95, {0.80, chance.between(0.10, 0.35), 0.06}, 0.5, chance);
    setColour(cr, {0.06, 0.05, 0.05});
    cairo_set_line_width(cr, 0.05);
    cairo_move_to(cr, 0, -0.95);
    cairo_line_to(cr, 0, 0.95);
    cairo_stroke(cr);
    for (const double side : {-1.0, 1.0})
        for (const double y : {-0.5, 0.05, 0.55}) {
            circle(cr, side * chance.between(0.35, 0.5), y, chance.between(0.12, 0.2));
            cairo_fill(cr);
        }
}

void text(cairo_t* cr, Chance& chance) {
    const char* const lines[] = {"TRAIL MAP 2024", "NET 12 FL OZ", "BEST BY 0419", "MADE IN WI", "ROW 7 PLOT 23",
                                 "Field notes 18", "KEEP DRY",     "LOT 8841 C",   "PAGE 136",   "Milkweed seed"};
    setColour(cr, {0.08, 0.08, 0.10});
    const int count = 1 + chance.below(5);
    for (int i = 0; i < count; ++i)
        words(cr, lines[chance.below(10)], 0, (i - (count - 1) / 2.0) * 0.36, 0.27);
}

} // namespace

void drawRoundThing(cairo_t* cr, RoundThing thing, Point centre, double diameter, Chance chance) {
    cairo_save(cr);
    cairo_translate(cr, centre.x, centre.y);
    const double radius = diameter / 2;
    if (thing != RoundThing::Ring && thing != RoundThing::Text) { // its shadow
        setColour(cr, {0, 0, 0}, 0.22);
        for (const double far : {1.03, 1.06, 1.09}) {
            circle(cr, 0.03 * radius, 0.04 * radius, far * radius);
            cairo_fill(cr);
        }
    }
    cairo_rotate(cr, chance.between(0, kTurn));
    cairo_scale(cr, radius, radius * chance.between(0.92, 1));
    switch (thing) {
    case RoundThing::Coin:
        coin(cr, chance);
        break;
    case RoundThing::Button:
        button(cr, chance);
        break;
    case RoundThing::Dandelion:
        dandelion(cr, chance);
        break;
    case RoundThing::Daisy:
        daisy(cr, chance);
        break;
    case RoundThing::BottleCap:
        bottleCap(cr, chance);
        break;
    case RoundThing::Pebble:
        pebble(cr, chance);
        break;
    case RoundThing::BlankDisc:
        blankDisc(cr, chance);
        break;
    case RoundThing::Ring:
        ring(cr, chance);
        break;
    case RoundThing::Sticker:
        sticker(cr, chance);
        break;
    case RoundThing::Beetle:
        beetle(cr, chance);
        break;
    case RoundThing::Text:
        text(cr, chance);
        break;
    }
    cairo_restore(cr);
}

} // namespace discal::drawn
