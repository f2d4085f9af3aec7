#include "reading/drawn/print.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <iostream>
#include <numbers>
#include <span>

namespace discal::drawn {

namespace {

constexpr int kSize = 704; // the disc is 640 across
constexpr double kHalf = kSize / 2.0;
constexpr double kRadius = kHalf / FlatTag::kReach;
constexpr double kMeasured = 200; // font size at which text is measured

const Typeface& chosen(TypefaceSet set, Chance& chance) {
    const std::span<const Typeface> all =
        set == TypefaceSet::Tuning ? std::span<const Typeface>(kTuningTypefaces) : std::span<const Typeface>(kJudgingTypefaces);
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

const char* const kSmallPrint[] = {"THISTLEDOWN RIDGE", "PLEASE REPORT",  "NATURE CENTRE", "608 555-0142", "REPORT TAG",
                                   "TRNC.EXAMPLE",      "555-0117",       "VIROQUA WI",    "MONARCH",      "FOUND? CALL",
                                   "THISTLEDOWN",       "RIDGE NATURE",   "555-0163",      "WISCONSIN",    "CALL 555-0188"};

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

FlatTag::Level firstLevel(cairo_surface_t* surface) {
    cairo_surface_flush(surface);
    FlatTag::Level level{kSize, std::vector<float>(static_cast<std::size_t>(kSize) * kSize * 4)};
    const unsigned char* data = cairo_image_surface_get_data(surface);
    const int stride = cairo_image_surface_get_stride(surface);
    const auto& linear = linearOf();
    float* to = level.rgba.data();
    for (int y = 0; y < kSize; ++y) {
        const auto* from = reinterpret_cast<const std::uint32_t*>(data + static_cast<std::ptrdiff_t>(y) * stride);
        for (int x = 0; x < kSize; ++x, to += 4) {
            const std::uint32_t alpha = from[x] >> 24;
            if (alpha == 0)
                continue;
            const float cover = static_cast<float>(alpha) / 255;
            for (int c = 0; c < 3; ++c) {
                const std::uint32_t part = from[x] >> (16 - 8 * c) & 255;
                to[c] = linear[std::min<std::uint32_t>(255, part * 255 / alpha)] * cover;
            }
            to[3] = cover;
        }
    }
    return level;
}

FlatTag::Level halved(const FlatTag::Level& large) {
    FlatTag::Level level{large.size / 2, {}};
    const auto size = static_cast<std::size_t>(level.size);
    level.rgba.resize(size * size * 4);
    for (std::size_t y = 0; y < size; ++y)
        for (std::size_t x = 0; x < size; ++x)
            for (std::size_t c = 0; c < 4; ++c) {
                const std::size_t at = (2 * y * 2 * size + 2 * x) * 4 + c;
                level.rgba[(y * size + x) * 4 + c] = (large.rgba[at] + large.rgba[at + 4] + large.rgba[at + 8 * size] +
                                                      large.rgba[at + 8 * size + 4]) /
                                                     4;
            }
    return level;
}

} // namespace

FlatTag printTag(const std::string& code, TypefaceSet typefaces, Chance chance) {
    FlatTag tag;
    const Surface surface(cairo_image_surface_create(CAIRO_FORMAT_ARGB32, kSize, kSize));
    const Context context(cairo_create(surface.get()));
    cairo_t* cr = context.get();
    cairo_font_options_t* fine = cairo_font_options_create();
    cairo_font_options_set_hint_style(fine, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(fine, CAIRO_HINT_METRICS_OFF);
    cairo_set_font_options(cr, fine);
    cairo_font_options_destroy(fine);

    const Typeface& print = chosen(typefaces, chance);
    tag.typeface = print.file;
    cairo_font_face_t* face = typeface(print.file);
    if (face == nullptr) {
        std::cerr << "no font /usr/share/fonts/" << print.file << ": see platform/linux/packages.txt\n";
        std::abort();
    }

    cairo_arc(cr, kHalf, kHalf, kRadius, 0, 2 * std::numbers::pi);
    setColour(cr, paperColour(chance));
    cairo_fill(cr);
    const Colour ink = inkColour(chance);
    setColour(cr, ink);
    double limit = chance.between(0.86, 0.93);
    if (chance.happens(0.3)) {
        const double rim = chance.between(0.90, 0.95);
        cairo_set_line_width(cr, kRadius * chance.between(0.012, 0.03));
        cairo_arc(cr, kHalf, kHalf, kRadius * rim, 0, 2 * std::numbers::pi);
        cairo_stroke(cr);
        limit = rim - 0.07;
    }

    const double spacing = chance.between(0, 0.06);
    const int wish = linesFor(code, chance);
    const bool hasSmallPrint = chance.happens(0.6);
    const double smallShare = chance.between(0.26, 0.5);
    const double gap = chance.between(0.22, 0.45);
    const double largest = 2 * chance.between(0.22, 0.30);
    const std::string above = kSmallPrint[chance.below(std::size(kSmallPrint))];
    const std::string below = kSmallPrint[chance.below(std::size(kSmallPrint))];
    const int where = chance.below(3); // above, below, both
    const double shift = chance.between(-0.03, 0.03);

    std::vector<Row> rows;
    double narrowing = 1;
    double capitals = 0;
    const int orders[] = {wish, 2, 3, 1};
    for (const double narrow : {1.0, 0.88, 0.76}) {
        for (const int lines : orders) {
            rows.clear();
            for (const std::string& line : linesOf(code, lines))
                rows.push_back({line});
            const bool small = hasSmallPrint && (rows.size() < 3 || where != 2);
            if (small && where != 1)
                rows.insert(rows.begin(), {above, false});
            if (small && where != 0)
                rows.push_back({below, false});
            Setter setter(cr, face, spacing, narrow);
            for (Row& row : rows)
                row.unitWidth = setter.unitWidth(row.text);
            capitals = largest;
            while (capitals > 0.28 && !stack(rows, capitals, smallShare, gap, limit, shift))
                capitals *= 0.97;
            narrowing = narrow;
            tag.lines = lines;
            if (capitals > 0.28)
                break;
        }
        if (capitals > 0.28)
            break;
    }
    while (!stack(rows, capitals, smallShare, gap, limit, shift) && capitals > 0.1)
        capitals *= 0.97;

    Setter setter(cr, face, spacing, narrowing);
    for (const Row& row : rows) {
        if (!row.isCode && row.height < 0.05)
            continue;
        setter.draw(row.text, kHalf, kHalf + row.middle * kRadius, row.height * kRadius);
        (row.isCode ? tag.codeReach : tag.printReach) = std::max(row.isCode ? tag.codeReach : tag.printReach, reach(row));
    }
    tag.printReach = std::max(tag.printReach, tag.codeReach);
    tag.capitals = capitals / 2;

    tag.levels.push_back(firstLevel(surface.get()));
    for (int i = 0; i < 4; ++i)
        tag.levels.push_back(halved(tag.levels.back()));
    return tag;
}

} // namespace discal::drawn
