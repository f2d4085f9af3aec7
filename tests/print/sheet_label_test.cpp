#include "print/sheet_label.h"

#include "catch_compat.hpp"
#include "print/offscreen.h"
#include "reading/picture_file.h"
#include "reading/sheet_label.h"
#include "reference.h"

#include <QImage>
#include <cstdlib>

using namespace discal;
using namespace discal::tests;
using print::Paper;
using print::SheetLabelPrint;

namespace {

/// Catch2's main knows no Qt. Never taken down: at the end of the process Qt's own are gone before it.
void startQt() {
    static const auto* const offscreen = new print::Offscreen;
    REQUIRE(offscreen != nullptr);
}

SheetLabelPrint printOf(const std::string& pattern, const std::string& first, std::uint32_t count, int perRow,
                        const char* station) {
    return {{*tag::Scheme::fromPattern(pattern), *tag::parseAny(first), count, perRow}, station};
}

const SheetLabelPrint& usual() {
    static const auto print = printOf("AAA000-IO", "RKD 001", 25, 5, "Thistledown Ridge Nature Centre");
    return print;
}

/// Columns of the code from its left edge on until the first light one, in dots: a finder pattern's side is 7 modules.
int finderDots(const QImage& image) {
    for (int y = 0; y < image.height(); ++y)
        for (int x = 0; x < image.width() / 2; ++x)
            if (qGray(image.pixel(x, y)) < 128) {
                int end = x;
                while (end < image.width() && qGray(image.pixel(end, y)) < 128)
                    ++end;
                return end - x;
            }
    return 0;
}

} // namespace

TEST_CASE("A printed label is read back by our own reader", "[print]") {
    startQt();
    const TemporaryFolder folder;
    int number = 0;
    for (const auto& print :
         {usual(), printOf("AAA000", "RKD 990", 10'000, 0, ""), printOf("000000", "120001", 1, 0, "A"),
          printOf("AAAAAA000000000-BCDFGHIJKLMNOPQRSTUVWXYZ", "EEEEEE 000000001", 10'000, 1'000,
                  "A station whose name is so long that it can't be on the label as a whole, however small")})
        for (const Paper paper : {Paper::Label, Paper::A4, Paper::Letter}) {
            const auto file = folder.path() / (std::to_string(++number) + ".png");
            REQUIRE(print::writeLabelPng(print, file, paper));
            const auto frame = reading::loadPicture(file);
            REQUIRE(frame);
            const auto read = reading::sheetLabelIn(*frame);
            REQUIRE(read);
            CHECK(*read == print.label);
            CHECK(print::writeLabelPng(print, file, paper).error().code == Code::Exists);
        }
}

// ISO/IEC 18004, 6.3.3: a finder pattern is 7 modules wide. Sizes of paper: ISO 216, ANSI/ASME Y14.1.
TEST_CASE("A label is as large as its paper and its code can be photographed", "[print]") {
    startQt();
    const auto image = print::labelImage(usual());
    REQUIRE(image);
    CHECK(image->width() == Approx(62 / 25.4 * 300).margin(1));
    CHECK(image->height() == Approx(29 / 25.4 * 300).margin(1));
    CHECK(image->dotsPerMeterX() == Approx(300 / 0.0254).margin(1));
    CHECK(finderDots(*image) / 7.0 / 300 * 25.4 >= 0.5);
    const auto a4 = print::labelImage(usual(), Paper::A4, 100);
    REQUIRE(a4);
    CHECK(a4->width() == Approx(210 / 25.4 * 100).margin(1));
    CHECK(a4->height() == Approx(297 / 25.4 * 100).margin(1));
    const auto letter = print::labelImage(usual(), Paper::Letter, 100);
    REQUIRE(letter);
    CHECK(letter->width() == 850);
    CHECK(letter->height() == 1100);
}

TEST_CASE("A label without a count is not printed, nor one where nothing can be written", "[print]") {
    startQt();
    const TemporaryFolder folder;
    const auto unknown = printOf("AAA000", "RKD 001", 0, 0, "");
    CHECK(print::labelImage(unknown).error().code == Code::OutOfRange);
    CHECK(print::writeLabelPdf(unknown, folder.path() / "x.pdf").error().code == Code::OutOfRange);
    CHECK(print::writeLabelPdf(usual(), folder.path() / "nowhere" / "x.pdf").error().code == Code::Io);
    CHECK(std::filesystem::is_empty(folder.path()));
}

// Rendered by another program: pdftoppm of Poppler. Said to be skipped where it isn't there.
TEST_CASE("The page of a label's PDF has its fonts in it, and is read back", "[print]") {
    startQt();
    const TemporaryFolder folder;
    const auto file = folder.path() / "label.pdf";
    REQUIRE(print::writeLabelPdf(usual(), file));
    const std::string pdf = readFile(file);
    CHECK(pdf.starts_with("%PDF-"));
    CHECK(pdf.find("AtkinsonHyperlegibleMono") != std::string::npos);
    if (std::system("command -v pdftoppm > /dev/null 2>&1") != 0) {
        WARN("skipped: no pdftoppm (poppler-utils)");
        return;
    }
    const std::string rendered = (folder.path() / "label").string();
    REQUIRE(std::system(("pdftoppm -r 300 -singlefile '" + file.string() + "' '" + rendered + "'").c_str()) == 0);
    const auto frame = reading::loadPicture(rendered + ".ppm");
    REQUIRE(frame);
    CHECK(frame->width == Approx(62 / 25.4 * 300).margin(2));
    CHECK(frame->height == Approx(29 / 25.4 * 300).margin(2));
    const auto read = reading::sheetLabelIn(*frame);
    REQUIRE(read);
    CHECK(*read == usual().label);
}
