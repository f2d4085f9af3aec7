#include "reading/barcodes.h"

#include "catch_compat.hpp"
#include "core/exchange/csv.h"
#include "reading/picture_file.h"
#include "reading/views.h"
#include "reference.h"

#define ZX_USE_UTF8 1
#include <ZXing/BitMatrix.h>
#include <ZXing/MultiFormatWriter.h>

#include <algorithm>
#include <iostream>
#include <random>

using namespace discal;
using namespace discal::tests;
using reading::Effort;
using reading::findBarcodes;
using reading::Grey;
using services::Barcode;
using services::Frame;
using services::Symbology;

namespace {

std::string hexOf(const std::string& text) {
    std::string out;
    for (const char c : text)
        for (const unsigned half : {static_cast<unsigned char>(c) / 16U, static_cast<unsigned char>(c) % 16U})
            out += "0123456789abcdef"[half];
    return out;
}

Frame frameOf(const Grey& grey) {
    Frame frame{grey.width, grey.height, {}};
    for (const std::uint8_t pixel : grey.pixels)
        frame.rgb.insert(frame.rgb.end(), 3, pixel);
    return frame;
}

/// A symbol as ZXing-C++ writes it, each module `scale` pixels, in the middle of white.
Grey drawn(ZXing::BarcodeFormat format, const std::string& text, int scale, int margin = 60) {
    const auto matrix = ZXing::MultiFormatWriter(format).setMargin(0).encode(text, 0, 0);
    const bool isLinear = format == ZXing::BarcodeFormat::Code128;
    const int tall = isLinear ? 60 : matrix.height() * scale;
    Grey grey{matrix.width() * scale + 2 * margin, tall + 2 * margin, {}};
    grey.pixels.assign(static_cast<std::size_t>(grey.width) * static_cast<std::size_t>(grey.height), 255);
    for (int y = 0; y < tall; ++y)
        for (int x = 0; x < matrix.width() * scale; ++x)
            if (matrix.get(x / scale, isLinear ? 0 : y / scale))
                grey.pixels[static_cast<std::size_t>(y + margin) * static_cast<std::size_t>(grey.width) +
                            static_cast<std::size_t>(x + margin)] = 0;
    return grey;
}

Grey noise(int width, int height, unsigned seed) {
    std::mt19937 random(seed);
    Grey grey{width, height, {}};
    for (std::size_t i = 0; i < static_cast<std::size_t>(width) * static_cast<std::size_t>(height); ++i)
        grey.pixels.push_back(static_cast<std::uint8_t>(random()));
    return grey;
}

/// Bars of random widths, as fences, stripes and veins have them: what a reader of bars is likeliest to believe.
Grey bars(unsigned seed) {
    std::mt19937 random(seed);
    const int module = 1 + static_cast<int>(random() % 3);
    Grey grey{static_cast<int>(200 + random() % 300), 120, {}};
    std::vector<std::uint8_t> row;
    for (std::uint8_t shade = 0; row.size() < static_cast<std::size_t>(grey.width); shade ^= 255U)
        row.insert(row.end(), static_cast<std::size_t>(module) * (1 + random() % 4), shade);
    row.resize(static_cast<std::size_t>(grey.width));
    for (int y = 0; y < grey.height; ++y)
        grey.pixels.insert(grey.pixels.end(), row.begin(), row.end());
    return grey;
}

bool holds(const std::vector<Barcode>& found, Symbology symbology, const std::string& text) {
    return std::any_of(found.begin(), found.end(),
                       [&](const Barcode& b) { return b.symbology == symbology && b.text == text; });
}

} // namespace

// Pictures and texts: sample set of zxing-cpp (77dceca), Apache-2.0; README.md beside them. Its own decoder reads 28.
TEST_CASE("Sample pictures of barcodes are read, and none is read wrongly", "[reading][barcodes]") {
    const auto folder = reference("barcodes");
    if (!folder)
        return;
    const std::string text = readFile(*folder / "truth.csv");
    exchange::CsvReader reader(text);
    std::vector<std::string> row;
    REQUIRE(reader.next(row).value_or(false));
    int coded = 0;
    int right = 0;
    int wrong = 0;
    std::string missed;
    while (reader.next(row).value_or(false)) {
        const auto picture = reading::loadPicture(*folder / row[0]);
        REQUIRE(picture);
        const auto found = findBarcodes(*picture, Effort::Picture);
        const bool isRead = found.size() == 1 && hexOf(found.front().text) == row[3];
        coded += row[1] == "none" ? 0 : 1;
        right += isRead ? 1 : 0;
        wrong += !found.empty() && !isRead ? 1 : 0;
        if (found.empty() && row[1] != "none")
            missed += " " + row[0];
        for (const Barcode& barcode : findBarcodes(*picture, Effort::Frame))
            wrong += hexOf(barcode.text) == row[3] ? 0 : 1;
    }
    std::cout << "barcodes: " << right << " of " << coded << " right, " << wrong << " wrong, missed:" << missed << "\n";
    CHECK(coded == 29);
    CHECK(wrong == 0);
    CHECK(right >= 28);
}

// Regression: writer and reader are the same library.
TEST_CASE("A frame with a clean barcode is read at once", "[reading][barcodes]") {
    using ZXing::BarcodeFormat;
    CHECK(holds(findBarcodes(frameOf(drawn(BarcodeFormat::QRCode, "RKD 014", 4))), Symbology::QrCode, "RKD 014"));
    CHECK(holds(findBarcodes(frameOf(drawn(BarcodeFormat::DataMatrix, "RKD 014", 4))), Symbology::DataMatrix, "RKD 014"));
    CHECK(holds(findBarcodes(frameOf(drawn(BarcodeFormat::Code128, "RKD 014", 2))), Symbology::Code128, "RKD 014"));
    // Beyond the side at which frames are halved.
    CHECK(holds(findBarcodes(frameOf(drawn(BarcodeFormat::Code128, "RKD 014", 8))), Symbology::Code128, "RKD 014"));
}

TEST_CASE("A picture with a turned, inverted or doubled barcode is read", "[reading][barcodes]") {
    using ZXing::BarcodeFormat;
    const Grey qr = drawn(BarcodeFormat::QRCode, "RKD 014", 4);
    const Grey linear = drawn(BarcodeFormat::Code128, "RKD 014", 3);
    for (const double degrees : {7.0, 33.0, 45.0, 58.0, 90.0, 130.0, 180.0}) {
        INFO(degrees);
        CHECK(holds(findBarcodes(frameOf(turned(qr, degrees)), Effort::Picture), Symbology::QrCode, "RKD 014"));
        CHECK(holds(findBarcodes(frameOf(turned(linear, degrees)), Effort::Picture), Symbology::Code128, "RKD 014"));
    }
    CHECK(holds(findBarcodes(frameOf(reading::inverted(qr)), Effort::Picture), Symbology::QrCode, "RKD 014"));

    // Two beside each other, and the same one twice.
    const Grey other = drawn(BarcodeFormat::QRCode, "RKD 015", 4);
    Grey both{qr.width + other.width, qr.height, {}};
    for (int y = 0; y < both.height; ++y)
        for (const Grey* part : {&qr, &other}) {
            const auto row = part->pixels.begin() + static_cast<std::ptrdiff_t>(y) * part->width;
            both.pixels.insert(both.pixels.end(), row, row + part->width);
        }
    const auto found = findBarcodes(frameOf(both), Effort::Picture);
    CHECK(found.size() == 2);
    CHECK(holds(found, Symbology::QrCode, "RKD 014"));
    CHECK(holds(found, Symbology::QrCode, "RKD 015"));
}

// ReadBarcodes of ZXing-C++ 1.4 as packaged by Debian 12 stopped the process on some of these (23 November 2026).
TEST_CASE("Clean Code 128 of any length is read right or not at all", "[reading][barcodes]") {
    std::mt19937 random(128);
    int isRead = 0;
    constexpr int kTries = 60;
    for (int i = 0; i < kTries; ++i) {
        std::string text;
        for (std::size_t length = 3 + random() % 16; text.size() < length;)
            text += "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 -"[random() % (i % 3 == 0 ? 26 : 38)];
        const Grey grey = drawn(ZXing::BarcodeFormat::Code128, text, 2 + static_cast<int>(random() % 3));
        for (const Effort effort : {Effort::Frame, Effort::Picture})
            for (const Barcode& barcode : findBarcodes(frameOf(grey), effort)) {
                CHECK(barcode.text == text);
                isRead += effort == Effort::Picture && barcode.text == text ? 1 : 0;
            }
    }
    CHECK(isRead >= kTries - 1);
}

TEST_CASE("Bars and noise that are no barcode are not believed", "[reading][barcodes]") {
    for (unsigned seed = 0; seed < 40; ++seed) {
        CHECK(findBarcodes(frameOf(bars(seed)), Effort::Picture).empty());
        CHECK(findBarcodes(frameOf(noise(160, 120, seed)), Effort::Picture).empty());
    }
    CHECK(findBarcodes(frameOf(noise(1440, 1440, 1))).empty());
}

TEST_CASE("A frame that is none shows no barcode", "[reading][barcodes]") {
    const std::vector<std::uint8_t> pixel{1, 2, 3};
    for (const Frame& frame :
         {Frame{}, Frame{0, 0, pixel}, Frame{1, 1, {}}, Frame{1, 1, pixel}, Frame{1, 2, pixel}, Frame{-1, -1, pixel},
          Frame{1'000'000, 1'000'000, pixel}, Frame{2, 1, {1, 2, 3, 4, 5, 6}}, Frame{1, 1000, std::vector<std::uint8_t>(3000)},
          Frame{2000, 1, std::vector<std::uint8_t>(6000)}, Frame{2000, 2, std::vector<std::uint8_t>(12000)}})
        for (const Effort effort : {Effort::Frame, Effort::Picture})
            CHECK(findBarcodes(frame, effort).empty());
}
