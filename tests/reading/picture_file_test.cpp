#include "reading/picture_file.h"

#include "catch_compat.hpp"
#include "reference.h"

#include <array>
#include <fstream>
#include <sys/resource.h>
#include <sys/stat.h>

using namespace discal;
using namespace discal::tests;
using reading::encodePicture;
using reading::loadPicture;
using reading::pictureFrom;
using services::Frame;

namespace {

using Pixel = std::array<int, 3>;

constexpr Pixel kRed{255, 0, 0};
constexpr Pixel kGreen{0, 255, 0};
constexpr Pixel kBlue{0, 0, 255};
constexpr Pixel kWhite{255, 255, 255};

Pixel at(const Frame& frame, int x, int y) {
    const auto* p = frame.rgb.data() + 3 * (static_cast<std::size_t>(y) * static_cast<std::size_t>(frame.width) +
                                            static_cast<std::size_t>(x));
    return {p[0], p[1], p[2]};
}

/// JPEG loses a little: 12 of 255, by what these flat fields came to (at most 6).
bool isNear(const Pixel& a, const Pixel& b) {
    return std::abs(a[0] - b[0]) <= 12 && std::abs(a[1] - b[1]) <= 12 && std::abs(a[2] - b[2]) <= 12;
}

Result<Frame> kept(const std::string& name) {
    return loadPicture(sourceFile("tests/fuzz/corpus/picture/" + name));
}

Result<Frame> fromText(const std::string& bytes) {
    return pictureFrom({reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()});
}

Frame flat(int width, int height, const Pixel& colour) {
    Frame frame{width, height, {}};
    for (int i = 0; i < width * height; ++i)
        for (const int c : colour)
            frame.rgb.push_back(static_cast<std::uint8_t>(c));
    return frame;
}

void fill(Frame& frame, int left, int top, int width, int height, const Pixel& colour) {
    for (int y = top; y < top + height; ++y)
        for (int x = left; x < left + width; ++x)
            for (std::size_t c = 0; c < 3; ++c)
                frame.rgb[3 * static_cast<std::size_t>(y * frame.width + x) + c] = static_cast<std::uint8_t>(colour[c]);
}

/// 32 wide, 16 high; its quarters, from the top left on: red, green, blue, white.
Frame quarters() {
    Frame frame = flat(32, 16, kWhite);
    fill(frame, 0, 0, 16, 8, kRed);
    fill(frame, 16, 0, 16, 8, kGreen);
    fill(frame, 0, 8, 16, 8, kBlue);
    return frame;
}

/// With an Exif segment (CIPA DC-008) that says how it was held; big-endian as `MM`, or little-endian.
std::string withOrientation(const std::string& jpeg, int orientation, bool isLittle) {
    const auto two = [&](int v) {
        return isLittle ? std::string{static_cast<char>(v), 0} : std::string{0, static_cast<char>(v)};
    };
    const auto four = [&](int v) { return isLittle ? two(v) + std::string(2, '\0') : std::string(2, '\0') + two(v); };
    const std::string tiff = (isLittle ? "II" : "MM") + two(42) + four(8) + two(2) +
                             // Another tag before it: 0x0100 + 15, a maker.
                             (isLittle ? std::string("\x0F\x01", 2) : std::string("\x01\x0F", 2)) + two(2) + four(4) +
                             "ABC" + std::string(1, '\0') +
                             (isLittle ? std::string("\x12\x01", 2) : std::string("\x01\x12", 2)) + two(3) + four(1) +
                             two(orientation) + two(0) + four(0);
    const std::string body = std::string("Exif\0\0", 6) + tiff;
    return jpeg.substr(0, 2) + "\xFF\xE1" + std::string{0, static_cast<char>(body.size() + 2)} + body + jpeg.substr(2);
}

} // namespace

// The pictures: tests/fuzz/make-pngs.py, from the text of the PNG specification (W3C, second edition).
TEST_CASE("PNGs of every kind come out in their colours", "[reading][picture]") {
    for (const char* name : {"grey-2.png", "grey-8.png", "grey-16.png", "interlaced.png", "animated.png", "grey.pnm"}) {
        INFO(name);
        const auto frame = kept(name);
        REQUIRE(frame);
        CHECK(frame->width == 4);
        CHECK(frame->height == 2);
        for (const int y : {0, 1})
            for (int x = 0; x < 4; ++x)
                CHECK(at(*frame, x, y) == Pixel{85 * x, 85 * x, 85 * x});
    }
    for (const char* name : {"rgb.png", "rgb-16.png", "palette.png", "palette-2.png"}) {
        INFO(name);
        const auto frame = kept(name);
        REQUIRE(frame);
        const std::array row{kRed, kGreen, kBlue, kWhite};
        for (int x = 0; x < 4; ++x)
            CHECK(at(*frame, x, 1) == row[static_cast<std::size_t>(x)]);
    }
    const auto bits = kept("grey-1.png");
    REQUIRE(bits);
    CHECK(at(*bits, 0, 0) == Pixel{0, 0, 0});
    CHECK(at(*bits, 1, 0) == kWhite);
    const auto netpbm = kept("rgb.pnm");
    REQUIRE(netpbm);
    CHECK(at(*netpbm, 0, 0) == kRed);
    CHECK(at(*netpbm, 1, 0) == Pixel{0, 255, 255});
}

TEST_CASE("What is transparent lies on white", "[reading][picture]") {
    const auto colours = kept("rgba.png");
    REQUIRE(colours);
    CHECK(at(*colours, 0, 0) == kRed);
    CHECK(at(*colours, 1, 0) == kWhite);
    CHECK(at(*colours, 2, 0) == kBlue);
    const auto greys = kept("grey-alpha.png");
    REQUIRE(greys);
    CHECK(at(*greys, 0, 0) == kWhite);
    CHECK(at(*greys, 1, 0) == Pixel{0, 0, 0});
    const auto palette = kept("palette-alpha.png");
    REQUIRE(palette);
    CHECK(at(*palette, 0, 0) == kRed);
    CHECK(at(*palette, 1, 0) == kWhite);
}

TEST_CASE("JPEGs come out in their colours, progressive and of four inks too", "[reading][picture]") {
    for (const char* name : {"baseline.jpg", "progressive.jpg", "inks.jpg"}) {
        INFO(name);
        const auto frame = kept(name);
        REQUIRE(frame);
        CHECK(frame->width == 16);
        CHECK(isNear(at(*frame, 2, 4), kWhite));
        CHECK(isNear(at(*frame, 13, 4), kRed));
    }
}

// CIPA DC-008, tag 274: which side of what is seen the stored picture's first row and first column are.
TEST_CASE("A JPEG is turned upright in all eight orientations", "[reading][picture]") {
    const std::string jpeg = *encodePicture(quarters(), 1U << 20U);
    // Where red, green, blue are then: the corners from the top left on, clockwise.
    const std::array<std::array<Pixel, 4>, 8> corners{{{kRed, kGreen, kWhite, kBlue},
                                                       {kGreen, kRed, kBlue, kWhite},
                                                       {kWhite, kBlue, kRed, kGreen},
                                                       {kBlue, kWhite, kGreen, kRed},
                                                       {kRed, kBlue, kWhite, kGreen},
                                                       {kBlue, kRed, kGreen, kWhite},
                                                       {kWhite, kGreen, kRed, kBlue},
                                                       {kGreen, kWhite, kBlue, kRed}}};
    for (int orientation = 1; orientation <= 8; ++orientation)
        for (const bool isLittle : {true, false}) {
            INFO(orientation);
            const auto frame = fromText(withOrientation(jpeg, orientation, isLittle));
            REQUIRE(frame);
            CHECK(frame->width == (orientation < 5 ? 32 : 16));
            CHECK(frame->height == (orientation < 5 ? 16 : 32));
            const int right = frame->width - 3;
            const int bottom = frame->height - 3;
            const auto& seen = corners[static_cast<std::size_t>(orientation - 1)];
            CHECK(isNear(at(*frame, 2, 2), seen[0]));
            CHECK(isNear(at(*frame, right, 2), seen[1]));
            CHECK(isNear(at(*frame, right, bottom), seen[2]));
            CHECK(isNear(at(*frame, 2, bottom), seen[3]));
        }
    // An orientation that doesn't exist, and a segment that is cut or points outside, turn nothing.
    const std::string whole = withOrientation(jpeg, 6, false);
    CHECK(fromText(withOrientation(jpeg, 9, true))->width == 32);
    for (std::size_t at = 2 + 4 + 6; at < 2 + 4 + 6 + 8; ++at) {
        std::string damaged = whole;
        damaged[at] = '\xFF';
        const auto frame = fromText(damaged);
        REQUIRE(frame);
        CHECK(frame->width == 32);
    }
}

TEST_CASE("What promises too many pixels is refused before any is unpacked", "[reading][picture]") {
    rusage before{};
    rusage after{};
    getrusage(RUSAGE_SELF, &before);
    const auto huge = kept("huge.png");
    REQUIRE_FALSE(huge);
    CHECK(huge.error().code == Code::OutOfRange);
    CHECK(huge.error().detail == "pixels");
    CHECK(huge.error().number == 400'000'000);
    std::string jpeg = *encodePicture(flat(16, 8, kRed), 1U << 20U);
    const std::size_t head = jpeg.find("\xFF\xC0");
    REQUIRE(head != std::string::npos);
    jpeg.replace(head + 5, 4, "\xF0\x00\xF0\x00", 4);
    CHECK(fromText(jpeg).error().detail == "pixels");
    CHECK(fromText("P5 999999999 999999999 255\n").error().detail == "pixels");
    CHECK(fromText("P5 40000000 1 255\n").error().code == Code::Corrupt);
    getrusage(RUSAGE_SELF, &after);
    // The last one had room made for its 120 MB; 400 million pixels would take ten times as much.
    CHECK(after.ru_maxrss - before.ru_maxrss < 400'000);
}

TEST_CASE("A file of more than 64 MiB is not read", "[reading][picture]") {
    const TemporaryFolder folder;
    const auto file = folder.path() / "large.png";
    std::ofstream(file) << "\x89PNG\r\n";
    std::filesystem::resize_file(file, reading::kMostPictureBytes + 1); // sparse: takes no room
    const auto large = loadPicture(file);
    REQUIRE_FALSE(large);
    CHECK(large.error().code == Code::OutOfRange);
    CHECK(large.error().detail == "bytes");
}

TEST_CASE("What is no picture, or a damaged one, is refused with the reason", "[reading][picture]") {
    for (const std::string& text : {std::string(), std::string("hello"), std::string("P4 8 1\n\xFF"), std::string("GIF89a"),
                                    std::string("II*\0", 4), std::string("\x89PNG"), std::string(1000, '\0')}) {
        const auto frame = fromText(text);
        REQUIRE_FALSE(frame);
        CHECK(frame.error().code == Code::BadInput);
    }
    for (const char* name : {"rgb.png", "palette.png", "interlaced.png", "baseline.jpg", "progressive.jpg", "grey.pnm"}) {
        const std::string whole = readFile(sourceFile(std::string("tests/fuzz/corpus/picture/") + name));
        // Without its last part: of a PNG the end chunk alone may be missing.
        const std::string cut = whole.substr(0, whole.size() - (name[0] == 'r' || name[0] == 'p' ? 24 : 20));
        INFO(name);
        const auto frame = fromText(cut);
        REQUIRE_FALSE(frame);
        CHECK(frame.error().code == Code::Corrupt);
        CHECK_FALSE(frame.error().detail.empty());
    }
    CHECK(fromText("P5 4 0 255\n").error().code == Code::Corrupt);
    CHECK(fromText("P5 4 2 65535\n").error().code == Code::BadInput);
    CHECK(fromText("P5 4").error().code == Code::Corrupt);
}

TEST_CASE("A path that is no file is refused and nothing waits for it", "[reading][picture]") {
    const TemporaryFolder folder;
    CHECK(loadPicture(folder.path() / "nothing.png").error().code == Code::NotFound);
    CHECK(loadPicture(folder.path()).error().code == Code::BadInput);
    const auto pipe = folder.path() / "pipe.png";
    REQUIRE(::mkfifo(pipe.c_str(), 0600) == 0);
    CHECK(loadPicture(pipe).error().code == Code::BadInput);
}

TEST_CASE("A picture is made to fit into as many bytes as there are", "[reading][picture]") {
    Frame busy = flat(800, 600, kWhite);
    unsigned state = 1;
    for (std::uint8_t& c : busy.rgb) {
        state = state * 1664525U + 1013904223U;
        c = static_cast<std::uint8_t>(state >> 24U);
    }
    for (const std::size_t most : {std::size_t{1} << 20U, std::size_t{64} << 10U, std::size_t{4000}, std::size_t{1000}}) {
        const auto jpeg = encodePicture(busy, most);
        REQUIRE(jpeg);
        CHECK(jpeg->size() <= most);
        const auto frame = fromText(*jpeg);
        REQUIRE(frame);
        CHECK(frame->width * 3 == frame->height * 4);
    }
    // What fits keeps its size.
    CHECK(fromText(*encodePicture(quarters(), 64U << 10U))->width == 32);
    CHECK(encodePicture(busy, 10).error().code == Code::OutOfRange);
    CHECK(encodePicture({}, 1000).error().code == Code::BadInput);
    CHECK(encodePicture({4, 4, {1, 2, 3}}, 1000).error().code == Code::BadInput);
}
