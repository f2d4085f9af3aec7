#include "training_strips.h"

#include "reading/glyph_network_shape.h"

#include <cairo-ft.h>
#include <cairo.h>
#include <ft2build.h>
#include FT_FREETYPE_H

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <iostream>
#include <numbers>

namespace discal::training {

using reading::kBaseline;
using reading::kCapTop;
using reading::kStripHeight;
using reading::kStripMargin;
using reading::Strip;

std::uint64_t Dice::next() {
    m_state += 0x9e3779b97f4a7c15ULL;
    std::uint64_t z = m_state;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
    return z ^ (z >> 31);
}

double Dice::between(double low, double high) {
    return low + (high - low) * static_cast<double>(next() >> 11) * 0x1.0p-53;
}

int Dice::whole(int low, int high) {
    return low + static_cast<int>(next() % static_cast<std::uint64_t>(high - low + 1));
}

double Dice::normal() {
    return std::sqrt(-2 * std::log(1 - between(0, 1))) * std::cos(2 * std::numbers::pi * between(0, 1));
}

namespace {

constexpr int kFine = 2; ///< pixels drawn for one of the strip

struct Box {
    char glyph;
    double left;
    double right;
};

/// What is drawn on, in fine pixels.
struct Canvas {
    int width;
    int height{kStripHeight * kFine};
    std::vector<float> ink;
};

char letter(Dice& dice) { return static_cast<char>('A' + dice.whole(0, 25)); }
char digit(Dice& dice) { return static_cast<char>('0' + dice.whole(0, 9)); }

int drawn(Dice& dice, std::initializer_list<double> shares) {
    double at = dice.between(0, 1);
    int index = 0;
    for (const double share : shares) {
        if ((at -= share) < 0)
            return index;
        ++index;
    }
    return index - 1;
}

/// The lines of one code; a blank stands for a gap.
std::vector<std::string> makeLines(Dice& dice) {
    std::string letters;
    std::string digits;
    for (int n = drawn(dice, {0.05, 0.1, 0.2, 0.42, 0.15, 0.04, 0.04}); n > 0; --n)
        letters += letter(dice);
    for (int n = 1 + drawn(dice, {0.06, 0.1, 0.38, 0.24, 0.11, 0.07, 0.02, 0.02}); n > 0; --n)
        digits += digit(dice);
    if (dice.chance(0.12)) // any glyph anywhere, lest it learn where letters stand
        for (auto* text : {&letters, &digits})
            for (char& glyph : *text)
                glyph = dice.chance(0.5) ? letter(dice) : digit(dice);
    if (letters.empty())
        return {digits};
    const double way = dice.between(0, 1);
    if (way < 0.35)
        return {letters + (dice.chance(0.85) ? " " : "") + digits};
    if (way < 0.9 || digits.size() < 4)
        return {letters, digits};
    return {letters, digits.substr(0, digits.size() / 2), digits.substr(digits.size() / 2)};
}

void blurRows(std::vector<float>& ink, int width, int height, double sigma) {
    const int reach = static_cast<int>(std::ceil(3 * sigma));
    std::vector<float> kernel;
    float sum = 0;
    for (int i = -reach; i <= reach; ++i) {
        kernel.push_back(static_cast<float>(std::exp(-i * i / (2 * sigma * sigma))));
        sum += kernel.back();
    }
    std::vector<float> row(static_cast<std::size_t>(width + 2 * reach));
    for (int y = 0; y < height; ++y) {
        float* line = ink.data() + static_cast<std::size_t>(y) * static_cast<std::size_t>(width);
        std::fill(row.begin(), row.begin() + reach, line[0]);
        std::copy(line, line + width, row.begin() + reach);
        std::fill(row.end() - reach, row.end(), line[width - 1]);
        std::fill(line, line + width, 0.0F);
        for (std::size_t i = 0; i < kernel.size(); ++i) {
            const float part = kernel[i] / sum;
            for (int x = 0; x < width; ++x)
                line[x] += part * row[static_cast<std::size_t>(x) + i];
        }
    }
}

std::vector<float> turned(const std::vector<float>& ink, int width, int height) {
    std::vector<float> to(ink.size());
    for (int y = 0; y < height; ++y)
        for (int x = 0; x < width; ++x)
            to[static_cast<std::size_t>(x * height + y)] = ink[static_cast<std::size_t>(y * width + x)];
    return to;
}

void blur(std::vector<float>& ink, int width, int height, double sigma) {
    if (sigma < 0.15)
        return;
    blurRows(ink, width, height, sigma);
    ink = turned(ink, width, height);
    blurRows(ink, height, width, sigma);
    ink = turned(ink, height, width);
}

void smear(Canvas& canvas, double length, double angle) {
    const int steps = std::max(2, static_cast<int>(std::ceil(length)));
    std::vector<float> sum(canvas.ink.size(), 0);
    for (int i = 0; i < steps; ++i) {
        const double t = (static_cast<double>(i) / (steps - 1) - 0.5) * length;
        const int dx = static_cast<int>(std::lround(t * std::cos(angle)));
        const int dy = static_cast<int>(std::lround(t * std::sin(angle)));
        for (int y = 0; y < canvas.height; ++y)
            for (int x = 0; x < canvas.width; ++x)
                sum[static_cast<std::size_t>(y * canvas.width + x)] +=
                    canvas.ink[static_cast<std::size_t>(std::clamp(y + dy, 0, canvas.height - 1) * canvas.width +
                                                        std::clamp(x + dx, 0, canvas.width - 1))];
    }
    for (std::size_t i = 0; i < sum.size(); ++i)
        canvas.ink[i] = sum[i] / static_cast<float>(steps);
}

Strip halved(const Canvas& canvas) {
    Strip strip;
    strip.width = canvas.width / kFine;
    strip.ink.resize(static_cast<std::size_t>(strip.width * kStripHeight));
    for (int y = 0; y < kStripHeight; ++y)
        for (int x = 0; x < strip.width; ++x) {
            float sum = 0;
            for (int fy = 0; fy < kFine; ++fy)
                for (int fx = 0; fx < kFine; ++fx)
                    sum += canvas.ink[static_cast<std::size_t>((y * kFine + fy) * canvas.width + x * kFine + fx)];
            strip.ink[static_cast<std::size_t>(y * strip.width + x)] = sum / (kFine * kFine);
        }
    return strip;
}

void stretch(Strip& strip, Dice& dice) {
    auto sorted = strip.ink;
    const auto at = sorted.begin() + static_cast<std::ptrdiff_t>(static_cast<double>(sorted.size()) * 0.95);
    std::nth_element(sorted.begin(), at, sorted.end());
    const auto gain = static_cast<float>(dice.between(0.75, 1.2) / std::max(0.2F, *at));
    const auto offset = static_cast<float>(dice.between(-0.07, 0.07));
    for (float& value : strip.ink)
        value = value * gain + offset;
}

/// Light that the levelling of the paper left over; glare, which takes ink away; a shadow's edge.
void light(Strip& strip, Dice& dice) {
    const double slopeX = dice.between(-0.12, 0.12) / strip.width;
    const double slopeY = dice.between(-0.12, 0.12) / kStripHeight;
    const bool hasGlare = dice.chance(0.3);
    const double strength = dice.between(0.2, 1.05);
    const double glareX = dice.between(0, strip.width);
    const double glareY = dice.between(-6, kStripHeight + 6);
    const double reachX = dice.between(4, 26);
    const double reachY = dice.between(4, 26);
    const bool hasEdge = dice.chance(0.1);
    const double edge = dice.between(0.08, 0.3);
    const double edgeX = dice.between(0, strip.width);
    const double edgeSlope = dice.between(-1.5, 1.5);
    for (int y = 0; y < kStripHeight; ++y)
        for (int x = 0; x < strip.width; ++x) {
            float& value = strip.ink[static_cast<std::size_t>(y * strip.width + x)];
            value += static_cast<float>(slopeX * (x - strip.width / 2.0) + slopeY * (y - kStripHeight / 2.0));
            if (hasGlare) {
                const double d = std::pow((x - glareX) / reachX, 2) + std::pow((y - glareY) / reachY, 2);
                value *= static_cast<float>(1 - strength * std::exp(-d));
            }
            if (hasEdge)
                value += static_cast<float>(edge / (1 + std::exp((x - edgeX - edgeSlope * y) / 1.5)));
        }
}

void roughen(Strip& strip, Dice& dice) {
    const double amount = std::pow(dice.between(0, 1), 2) * 0.16;
    if (amount > 0.01) {
        std::vector<float> noise(strip.ink.size());
        for (float& value : noise)
            value = static_cast<float>(dice.normal());
        const double grain = dice.between(0, 1.2);
        blur(noise, strip.width, kStripHeight, grain);
        const double weaker = grain < 0.15 ? 1 : std::max(1.0, 2.5 * grain);
        for (std::size_t i = 0; i < noise.size(); ++i)
            strip.ink[i] += noise[i] * static_cast<float>(amount * weaker);
    }
    const auto curve = static_cast<float>(std::exp(dice.between(-0.4, 0.4)));
    for (float& value : strip.ink)
        value = std::pow(std::clamp(value, 0.0F, 1.0F), curve);
}

std::vector<int> labelled(const std::vector<Box>& boxes, int columns) {
    std::vector<int> labels;
    for (int column = 0; column < columns; ++column) {
        const double x = (column + 0.5) * reading::network::kColumn;
        int label = reading::network::kBetween;
        for (const auto& box : boxes) {
            const double middle = (box.left + box.right) / 2;
            const double width = box.right - box.left;
            const double off = std::abs(x - middle);
            if (off <= std::max(1.1, 0.2 * width)) {
                label = box.glyph <= '9' ? box.glyph - '0' : box.glyph - 'A' + 10;
                break;
            }
            if (off < std::max(2.2, 0.5 * width))
                label = -1;
        }
        labels.push_back(label);
    }
    return labels;
}

} // namespace

struct StripMaker::Faces {
    struct Face {
        FT_Face file;
        cairo_font_face_t* face;
    };
    FT_Library library{};
    std::vector<Face> faces;

    ~Faces() {
        for (const auto& each : faces)
            cairo_font_face_destroy(each.face);
    }
};

StripMaker::StripMaker(const std::vector<std::string>& fonts) : m_faces(std::make_unique<Faces>()) {
    FT_Init_FreeType(&m_faces->library);
    for (const auto& font : fonts) {
        Faces::Face face{};
        if (FT_New_Face(m_faces->library, font.c_str(), 0, &face.file) != 0) {
            std::cerr << "can't open " << font << '\n';
            std::exit(1);
        }
        face.face = cairo_ft_font_face_create_for_ft_face(face.file, FT_LOAD_NO_HINTING);
        m_faces->faces.push_back(face);
    }
}

StripMaker::StripMaker(StripMaker&&) noexcept = default;
StripMaker::~StripMaker() = default;

Example StripMaker::make(std::uint64_t seed) {
    Dice dice(seed);
    const auto lines = makeLines(dice);
    const auto& faces = m_faces->faces;
    const auto anyFace = [&] { return faces[static_cast<std::size_t>(dice.whole(0, static_cast<int>(faces.size()) - 1))].face; };

    // First how wide each line comes, then the canvas.
    struct Line {
        std::string text;
        cairo_font_face_t* face;
        double size;
        double stretch;
        double spacing;
        double down;
        double angle;
        double shear;
        double left;
    };
    constexpr double kCap = (kBaseline - kCapTop) * kFine;
    cairo_surface_t* small = cairo_image_surface_create(CAIRO_FORMAT_A8, 8, 8);
    cairo_t* ruler = cairo_create(small);
    cairo_font_options_t* options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_set_font_options(ruler, options);
    std::vector<Line> placed;
    double at = kFine * (kStripMargin + dice.between(-5, 5));
    auto* face = anyFace();
    const double tilt = dice.normal() * 0.02;
    for (const auto& text : lines) {
        Line line{text, dice.chance(0.2) ? anyFace() : face, 0, 0, 0, 0, 0, 0, at};
        cairo_set_font_face(ruler, line.face);
        cairo_set_font_size(ruler, 100);
        cairo_text_extents_t cap;
        cairo_text_extents(ruler, "H", &cap);
        line.size = 100 * kCap / std::max(20.0, cap.height) * dice.between(0.88, 1.1);
        line.stretch = dice.between(0.82, 1.22);
        line.spacing = line.size * dice.between(-0.03, 0.12);
        line.down = kFine * dice.normal() * 0.9;
        line.angle = tilt + dice.normal() * 0.015;
        line.shear = dice.normal() * 0.05;
        cairo_set_font_size(ruler, line.size);
        double width = 0;
        for (const char glyph : text) {
            const char one[2] = {glyph, 0};
            cairo_text_extents_t extents;
            cairo_text_extents(ruler, one, &extents);
            width += extents.x_advance + line.spacing;
        }
        at += width * line.stretch + kFine * dice.between(5, 16);
        placed.push_back(std::move(line));
    }
    at += kFine * dice.between(-2, 6);
    Canvas canvas;
    canvas.width = static_cast<int>(std::ceil(std::max(at, 32.0) / 4)) * 4;
    cairo_surface_t* surface = cairo_image_surface_create(CAIRO_FORMAT_A8, canvas.width, canvas.height);
    cairo_t* pen = cairo_create(surface);
    cairo_set_font_options(pen, options);
    Example example;
    std::vector<Box> boxes;
    for (const auto& line : placed) {
        cairo_save(pen);
        cairo_translate(pen, line.left, kBaseline * kFine + line.down);
        cairo_rotate(pen, line.angle);
        const cairo_matrix_t shear{line.stretch, 0, line.shear, 1, 0, 0};
        cairo_transform(pen, &shear);
        cairo_set_font_face(pen, line.face);
        cairo_set_font_size(pen, line.size);
        double x = 0;
        for (const char glyph : line.text) {
            const char one[2] = {glyph, 0};
            cairo_text_extents_t extents;
            cairo_text_extents(pen, one, &extents);
            cairo_move_to(pen, x, 0);
            cairo_text_path(pen, one);
            if (glyph != ' ') {
                const auto onCanvas = [&](double gx) {
                    double px = gx;
                    double py = -line.size * 0.35;
                    cairo_user_to_device(pen, &px, &py);
                    return px / kFine;
                };
                boxes.push_back({glyph, onCanvas(x + extents.x_bearing),
                                 onCanvas(x + extents.x_bearing + extents.width)});
                example.text += glyph;
            }
            x += extents.x_advance + line.spacing;
        }
        cairo_fill(pen);
        cairo_restore(pen);
    }
    // Small print that the cut left at the top or the foot, and the rim at the ends: no glyphs of a code.
    if (dice.chance(0.25)) {
        cairo_set_font_face(pen, anyFace());
        cairo_set_font_size(pen, dice.between(10, 22));
        std::string words;
        for (int n = dice.whole(2, 14); n > 0; --n)
            words += letter(dice);
        cairo_move_to(pen, dice.between(0, canvas.width * 0.6),
                      dice.chance(0.5) ? dice.between(-2, 7) : canvas.height + dice.between(0, 9));
        cairo_show_text(pen, words.c_str());
    }
    for (const double end : {0.0, static_cast<double>(canvas.width)})
        if (dice.chance(0.12)) {
            const double radius = dice.between(60, 200);
            const double inside = dice.between(-6, 7);
            cairo_set_line_width(pen, dice.between(2, 9));
            cairo_new_sub_path(pen);
            cairo_arc(pen, end == 0 ? inside + radius : end - inside - radius, canvas.height / 2.0 + dice.normal() * 10,
                      radius, end == 0 ? std::numbers::pi / 2 : -std::numbers::pi / 2,
                      end == 0 ? 3 * std::numbers::pi / 2 : std::numbers::pi / 2);
            cairo_stroke(pen);
        }
    cairo_surface_flush(surface);
    const unsigned char* bytes = cairo_image_surface_get_data(surface);
    const int stride = cairo_image_surface_get_stride(surface);
    canvas.ink.resize(static_cast<std::size_t>(canvas.width * canvas.height));
    for (int y = 0; y < canvas.height; ++y)
        for (int px = 0; px < canvas.width; ++px)
            canvas.ink[static_cast<std::size_t>(y * canvas.width + px)] =
                static_cast<float>(bytes[y * stride + px]) / 255.0F;
    cairo_destroy(pen);
    cairo_surface_destroy(surface);
    cairo_destroy(ruler);
    cairo_surface_destroy(small);
    cairo_font_options_destroy(options);

    // A fifth sharp, the others blurred up to a fifth of a capital's height.
    const double soft = dice.chance(0.2) ? dice.between(0, 0.5) : dice.between(0.3, 1) * dice.between(0.6, 3.4);
    if (dice.chance(0.4))
        smear(canvas, kFine * dice.between(0.5, 1) * dice.between(1, 6.5), dice.between(0, std::numbers::pi));
    blur(canvas.ink, canvas.width, canvas.height, kFine * soft);
    example.strip = halved(canvas);
    stretch(example.strip, dice);
    light(example.strip, dice);
    roughen(example.strip, dice);
    example.labels = labelled(boxes, example.strip.width / reading::network::kColumn);
    return example;
}

} // namespace discal::training
