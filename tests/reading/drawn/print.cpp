#include "reading/drawn/print.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <iostream>
#include <numbers>
#include <span>

namespace discal::drawn {

namespace {

constexpr double kMeasured = 200; // font size at which text is measured

const Typeface& chosen(TypefaceSet set, Chance& chance) {
    const std::span<const Typeface> all = set == TypefaceSet::Tuning ? std::span<const Typeface>(kTuningTypefaces)
                                                                     : std::span<const Typeface>(kJudgingTypefaces);
    int sum = 0;
    for (const Typeface& one : all)
        sum += one.weight;
    int at = chance.below(sum);
    for (const Typeface& one : all) {
        at -= one.weight;
        if (at < 0)
            return one;
    }
    return all.front();
}

/// A row of print, sizes in radii.
struct Row {
    std::string text;
    bool isCode{true};
    double height{0};    ///< of its capitals
    double middle{0};    ///< down from the disc's centre
    double unitWidth{0}; ///< its width over its height
};

/// Measures and draws text in one typeface, glyph by glyph.
class Setter {
public:
    Setter(cairo_t* cr, cairo_font_face_t* face, double spacing, double narrowing)
        : m_cr(cr), m_face(face), m_spacing(spacing), m_narrowing(narrowing) {
        useSize(kMeasured);
        cairo_text_extents_t capital;
        cairo_text_extents(cr, "H", &capital);
        m_capital = capital.height / kMeasured;
        m_capitalTop = -capital.y_bearing / kMeasured;
    }

    /// Width over the height of capitals, blanks narrow.
    [[nodiscard]] double unitWidth(const std::string& text) {
        useSize(kMeasured);
        double width = 0;
        for (const char c : text)
            width += advance(c) + m_spacing * kMeasured;
        return (width / kMeasured - m_spacing) * m_narrowing / m_capital;
    }

    /// Centred at (x, y), both in pixels; capitals `height` high.
    void draw(const std::string& text, double x, double y, double height) {
        const double size = height / m_capital;
        const double width = unitWidth(text) * height;
        cairo_save(m_cr);
        cairo_translate(m_cr, x - width / 2, y - height / 2 + m_capitalTop * size);
        cairo_scale(m_cr, m_narrowing, 1);
        double at = 0;
        for (const char c : text) {
            useSize(kMeasured);
            const double step = (advance(c) / kMeasured + m_spacing) * size;
            useSize(size);
            const char glyph[2] = {c, 0};
            cairo_move_to(m_cr, at, 0);
            cairo_text_path(m_cr, glyph);
            at += step;
        }
        cairo_restore(m_cr);
        cairo_fill(m_cr);
    }

    /// Along a circle about (x, y), through the middle of the capitals: over its top, or under its bottom; both read
    /// from left to right.
    void drawOnArc(const std::string& text, double x, double y, double radius, double height, bool isBelow) {
        const double turn = isBelow ? -1 : 1;
        const double size = height / m_capital;
        double angle = -turn * unitWidth(text) * height / radius / 2;
        for (const char c : text) {
            useSize(kMeasured);
            const double step = (advance(c) / kMeasured + m_spacing) * size * m_narrowing;
            angle += turn * step / 2 / radius;
            cairo_save(m_cr);
            cairo_translate(m_cr, x, y);
            cairo_rotate(m_cr, angle);
            cairo_translate(m_cr, -step / 2, (isBelow ? radius : -radius) + height / 2);
            cairo_scale(m_cr, m_narrowing, 1);
            useSize(size);
            const char glyph[2] = {c, 0};
            cairo_move_to(m_cr, 0, 0);
            cairo_text_path(m_cr, glyph);
            cairo_restore(m_cr);
            angle += turn * step / 2 / radius;
        }
        cairo_fill(m_cr);
    }

private:
    void useSize(double size) {
        cairo_set_font_face(m_cr, m_face);
        cairo_set_font_size(m_cr, size);
    }
    [[nodiscard]] double advance(char c) {
        const char glyph[2] = {c, 0};
        cairo_text_extents_t extents;
        cairo_text_extents(m_cr, glyph, &extents);
        return c == ' ' ? std::min(extents.x_advance, 0.4 * kMeasured) : extents.x_advance;
    }

    cairo_t* m_cr;
    cairo_font_face_t* m_face;
    double m_spacing; ///< between glyphs, of the font size
    double m_narrowing;
    double m_capital{0.7};
    double m_capitalTop{0.7};
};

/// The code's rows for a number of lines.
std::vector<std::string> linesOf(const std::string& code, int lines) {
    const std::size_t blank = code.find(' ');
    const std::string letters = blank == std::string::npos ? "" : code.substr(0, blank);
    const std::string digits = blank == std::string::npos ? code : code.substr(blank + 1);
    if (lines == 1)
        return {code};
    std::vector<std::string> rows;
    if (!letters.empty())
        rows.push_back(letters);
    const std::size_t parts = static_cast<std::size_t>(lines) - rows.size();
    const std::size_t each = (digits.size() + parts - 1) / parts;
    for (std::size_t at = 0; at < digits.size(); at += each)
        rows.push_back(digits.substr(at, each));
    return rows;
}

const char* const kSmallPrint[] = {"THISTLEDOWN RIDGE", "PLEASE REPORT", "NATURE CENTRE", "608 555-0142",
                                   "REPORT TAG",        "TRNC.EXAMPLE",  "555-0117",      "VIROQUA WI",
                                   "MONARCH",           "FOUND? CALL",   "THISTLEDOWN",   "RIDGE NATURE",
                                   "555-0163",          "WISCONSIN",     "CALL 555-0188"};

/// The stack of rows centred on the disc; false if a row doesn't fit inside `limit` radii.
bool stack(std::vector<Row>& rows, double capitals, double smallShare, double gap, double limit, double shift) {
    double total = 0;
    for (Row& row : rows) {
        row.height = row.isCode ? capitals : capitals * smallShare;
        total += row.height;
    }
    const double step = capitals * gap;
    total += step * static_cast<double>(rows.size() - 1);
    double top = -total / 2 + shift;
    bool fits = true;
    for (Row& row : rows) {
        row.middle = top + row.height / 2;
        const double edge = std::max(std::abs(top), std::abs(top + row.height));
        const double room = edge < limit ? std::sqrt(limit * limit - edge * edge) : 0;
        if (row.isCode)
            fits = fits && row.unitWidth * row.height / 2 <= room;
        else // small print gives way
            row.height = std::min(row.height, 2 * room / row.unitWidth);
        top += (row.isCode ? capitals : capitals * smallShare) + step;
    }
    return fits;
}

double reach(const Row& row) {
    return std::hypot(std::abs(row.middle) + row.height / 2, row.unitWidth * row.height / 2);
}

int linesFor(const std::string& code, Chance& chance) {
    const auto blank = code.find(' ');
    const bool hasLetters = blank != std::string::npos;
    const std::size_t digits = hasLetters ? code.size() - blank - 1 : code.size();
    const double dice = chance.unit();
    if (!hasLetters)
        return digits >= 5 && dice < 0.6 ? 2 : 1;
    if (digits > 5 || (digits >= 4 && dice < 0.2))
        return 3;
    return dice < 0.75 ? 2 : 1;
}

Colour paperColour(Chance& chance) {
    const Colour white{0.97, 0.97, 0.96};
    const Colour cream{0.96, 0.92, 0.82};
    const Colour tints[] = {{0.98, 0.94, 0.72}, {0.80, 0.90, 0.97}, {0.97, 0.84, 0.86}, {0.84, 0.95, 0.83}};
    if (chance.happens(0.15))
        return mixed(white, tints[chance.below(4)], chance.between(0.4, 1));
    return mixed(white, cream, chance.unit() * chance.unit());
}

Colour inkColour(Chance& chance) {
    const double dice = chance.unit();
    const double l = chance.between(0, 0.10);
    if (dice < 0.7)
        return {0.06 + l, 0.06 + l, 0.07 + l};
    if (dice < 0.8)
        return {0.05 + l, 0.08 + l, 0.35 + l};
    if (dice < 0.9)
        return {0.42 + l, 0.05 + l, 0.07 + l};
    return {0.03 + l, 0.27 + l, 0.12 + l};
}

/// What is drawn on: a square with the disc in its middle.
class Paper {
public:
    explicit Paper(double diameter)
        : m_size(static_cast<int>(std::clamp(1.6 * diameter, 64.0, 900.0) * FlatTag::kReach)),
          m_surface(cairo_image_surface_create(CAIRO_FORMAT_ARGB32, m_size, m_size)),
          m_context(cairo_create(m_surface.get())) {
        cairo_font_options_t* fine = cairo_font_options_create();
        cairo_font_options_set_hint_style(fine, CAIRO_HINT_STYLE_NONE);
        cairo_font_options_set_hint_metrics(fine, CAIRO_HINT_METRICS_OFF);
        cairo_set_font_options(m_context.get(), fine);
        cairo_font_options_destroy(fine);
    }

    [[nodiscard]] cairo_t* cr() const { return m_context.get(); }
    [[nodiscard]] double half() const { return m_size / 2.0; }
    [[nodiscard]] double radius() const { return half() / FlatTag::kReach; }

    void disc(const Colour& paper) const {
        cairo_arc(cr(), half(), half(), radius(), 0, 2 * std::numbers::pi);
        setColour(cr(), paper);
        cairo_fill(cr());
    }

    /// Fills in the tag's picture. Fibres of the paper make it uneven, and the ink that lies on them.
    void copyTo(FlatTag& tag, Chance& chance) const {
        cairo_surface_flush(m_surface.get());
        const auto size = static_cast<std::size_t>(m_size);
        tag.size = m_size;
        tag.rgba.resize(size * size * 4);
        const unsigned char* data = cairo_image_surface_get_data(m_surface.get());
        const int stride = cairo_image_surface_get_stride(m_surface.get());
        const auto& linear = linearOf();
        const auto roughness = static_cast<float>(chance.between(0.01, 0.06));
        constexpr std::size_t kFibres = 320;
        std::vector<float> fibres(kFibres * kFibres);
        for (float& one : fibres)
            one = 1 + roughness * static_cast<float>(chance.between(-1, 1));
        float* to = tag.rgba.data();
        for (std::size_t y = 0; y < size; ++y) {
            const auto* from = reinterpret_cast<const std::uint32_t*>(data + static_cast<std::ptrdiff_t>(y) * stride);
            const float* row = &fibres[y * kFibres / size * kFibres];
            for (std::size_t x = 0; x < size; ++x, to += 4) {
                const std::uint32_t alpha = from[x] >> 24;
                if (alpha == 0)
                    continue;
                const float cover = static_cast<float>(alpha) / 255;
                const float light = cover * row[x * kFibres / size];
                for (int c = 0; c < 3; ++c) {
                    const std::uint32_t part = from[x] >> (16 - 8 * c) & 255;
                    to[c] = linear[std::min<std::uint32_t>(255, part * 255 / alpha)] * light;
                }
                to[3] = cover;
            }
        }
    }

private:
    int m_size;
    Surface m_surface;
    Context m_context;
};

/// What is printed besides the code, and how: chosen before the code is fitted in.
struct Style {
    double spacing{0};
    double narrowing{1};
    double largest{0.5}; ///< capitals, radii
    double smallShare{0};
    double gap{0.3};
    double limit{0.9};
    double shift{0};
    std::string above; ///< small print; empty for none
    std::string below;
    bool isOnArc{false};
    double arcHeight{0.1};
};

Style styleBy(Chance& chance) {
    Style style;
    style.spacing = chance.between(0, 0.06);
    style.largest = 2 * chance.between(0.22, 0.30);
    style.smallShare = chance.between(0.26, 0.5);
    style.gap = chance.between(0.22, 0.45);
    style.limit = chance.between(0.86, 0.93);
    style.shift = chance.between(-0.03, 0.03);
    const int above = chance.below(std::size(kSmallPrint));
    const int below = chance.below(std::size(kSmallPrint));
    const int where = chance.below(3);
    if (chance.happens(0.6)) {
        style.above = where != 1 ? kSmallPrint[above] : "";
        style.below = where != 0 ? kSmallPrint[below] : "";
    }
    style.isOnArc = chance.happens(0.3);
    style.arcHeight = chance.between(0.08, 0.14);
    return style;
}

/// Rows with the code on so many lines, sized to fit, capitals at least `smallest`; none if they don't.
std::vector<Row> fitted(Setter& setter, const std::string& code, int lines, const Style& style, double smallest) {
    std::vector<Row> rows;
    for (const std::string& line : linesOf(code, lines))
        rows.push_back({line});
    const bool hasRoom = rows.size() < 3 || style.above.empty() || style.below.empty();
    double limit = style.limit;
    if (style.isOnArc && (!style.above.empty() || !style.below.empty())) {
        limit -= style.arcHeight + 0.03;
    } else if (hasRoom) {
        if (!style.above.empty())
            rows.insert(rows.begin(), {style.above, false});
        if (!style.below.empty())
            rows.push_back({style.below, false});
    }
    for (Row& row : rows)
        row.unitWidth = setter.unitWidth(row.text);
    for (double capitals = style.largest; capitals > smallest; capitals *= 0.97)
        if (stack(rows, capitals, style.smallShare, style.gap, limit, style.shift))
            return rows;
    return {};
}

void drawArcs(Setter& setter, const Style& style, Point middle, double pixels) {
    const double radius = style.limit - style.arcHeight / 2;
    for (const bool isBelow : {false, true}) {
        const std::string& text = isBelow ? style.below : style.above;
        if (text.empty())
            continue;
        // At most 150 degrees of the circle.
        const double height = std::min(style.arcHeight, 2.6 * radius / setter.unitWidth(text));
        setter.drawOnArc(text, middle.x, middle.y, radius * pixels, height * pixels, isBelow);
    }
}

} // namespace

double FlatTag::reachTowards(Point direction) const {
    double reached = 0;
    for (const Point& corner : codeCorners)
        reached = std::max(reached, corner.x * direction.x + corner.y * direction.y);
    return reached;
}

FlatTag printTag(const std::string& code, TypefaceSet typefaces, double diameter, Chance chance) {
    FlatTag tag;
    const Paper sheet(diameter);
    cairo_t* cr = sheet.cr();
    const double radius = sheet.radius();
    const Typeface& print = chosen(typefaces, chance);
    tag.typeface = print.file;
    cairo_font_face_t* face = typeface(print.file);
    if (face == nullptr) {
        std::cerr << "no font /usr/share/fonts/" << print.file << ": see platform/linux/packages.txt\n";
        std::abort();
    }

    sheet.disc(paperColour(chance));
    setColour(cr, inkColour(chance));
    Style style = styleBy(chance);
    // Punched a little off the print's middle.
    const Point off{chance.between(-0.025, 0.025), chance.between(-0.025, 0.025)};
    const Point middle{sheet.half() + off.x * radius, sheet.half() + off.y * radius};
    if (chance.happens(0.3)) {
        const double rim = chance.between(0.88, 0.94);
        cairo_set_line_width(cr, radius * chance.between(0.012, 0.03));
        cairo_arc(cr, middle.x, middle.y, radius * rim, 0, 2 * std::numbers::pi);
        cairo_stroke(cr);
        style.limit = rim - 0.07;
    }

    // The first that leaves the capitals large enough: as wished, then on more lines, then narrowed; a long code last
    // of all however small it gets.
    const int wish = linesFor(code, chance);
    std::vector<Row> rows;
    for (const double smallest : {0.28, 0.05})
        for (const double narrow : {1.0, 0.88, 0.76})
            for (const int lines : {wish, 2, 3, 1}) {
                if (!rows.empty())
                    break;
                Setter setter(cr, face, style.spacing, narrow);
                rows = fitted(setter, code, lines, style, smallest);
                style.narrowing = narrow;
                tag.lines = lines;
            }

    Setter setter(cr, face, style.spacing, style.narrowing);
    for (const Row& row : rows) {
        if (!row.isCode && row.height < 0.05)
            continue;
        setter.draw(row.text, middle.x, middle.y + row.middle * radius, row.height * radius);
        tag.printReach = std::max(tag.printReach, reach(row) + std::hypot(off.x, off.y));
        if (!row.isCode)
            continue;
        tag.capitals = row.height / 2;
        const double half = row.unitWidth * row.height / 2;
        for (const double x : {-half, half})
            for (const double y : {row.middle - row.height / 2, row.middle + row.height / 2}) {
                tag.codeCorners.push_back({x + off.x, y + off.y});
                tag.codeReach = std::max(tag.codeReach, std::hypot(x + off.x, y + off.y));
            }
    }
    if (style.isOnArc && (!style.above.empty() || !style.below.empty())) {
        drawArcs(setter, style, middle, radius);
        tag.printReach = std::max(tag.printReach, style.limit + std::hypot(off.x, off.y));
    }
    sheet.copyTo(tag, chance);
    return tag;
}

FlatTag takenTag(double diameter, Chance chance) {
    FlatTag tag;
    const Paper sheet(diameter);
    const double grey = chance.between(0.70, 0.92);
    sheet.disc({grey, grey * 0.99, grey * 0.95});
    cairo_arc(sheet.cr(), sheet.half(), sheet.half(), sheet.radius() * 0.99, 0, 2 * std::numbers::pi);
    setColour(sheet.cr(), {grey * 0.6, grey * 0.6, grey * 0.6});
    cairo_set_line_width(sheet.cr(), sheet.radius() * 0.02);
    cairo_stroke(sheet.cr());
    sheet.copyTo(tag, chance);
    return tag;
}

} // namespace discal::drawn
