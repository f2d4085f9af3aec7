// Draws the camera frames of the sample sessions anew.
//
//   draw_session_frames SAMPLE-SESSIONS
//
// Writes SESSION/frames/NAME.jpg below that folder: tags as draw_frames draws them, and a sheet's label, each cropped
// to what lies around it. Drawings, not photographs; the same on every machine with the same fonts and libraries.

#include "core/tag/label.h"
#include "reading/drawn/background.h"
#include "reading/drawn/camera.h"
#include "reading/drawn/tag_frame.h"
#include "reading/picture_file.h"
#include "reading/qr_code.h"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <numbers>
#include <optional>
#include <string>

using namespace discal;
using services::Frame;
using services::Refusal;

namespace {

constexpr int kSide = 560;
constexpr std::size_t kMostBytes = 80U << 10U;

struct TagWish {
    const char* file;
    const char* code;
    std::uint64_t seed;
    int burst; ///< which frame of the same scene
    std::optional<Refusal> refusal;
};
constexpr TagWish kTags[] = {
    {"meadow-morning/frames/blurred.jpg", "RKD 002", 24, 5, Refusal::Blurred},
    {"meadow-morning/frames/recaptured.jpg", "RKD 002", 24, 0, std::nullopt},
};

/// The square around a point, moved inside the frame.
Frame cropped(const Frame& frame, drawn::Point middle) {
    Frame out;
    out.width = std::min(kSide, frame.width);
    out.height = std::min(kSide, frame.height);
    const int left = std::clamp(static_cast<int>(middle.x) - out.width / 2, 0, frame.width - out.width);
    const int top = std::clamp(static_cast<int>(middle.y) - out.height / 2, 0, frame.height - out.height);
    for (int y = top; y < top + out.height; ++y) {
        const auto from = frame.rgb.begin() + 3 * (static_cast<std::ptrdiff_t>(y) * frame.width + left);
        out.rgb.insert(out.rgb.end(), from, from + 3 * static_cast<std::ptrdiff_t>(out.width));
    }
    return out;
}

bool write(const Frame& frame, const std::filesystem::path& path) {
    const auto jpeg = reading::encodePicture(frame, kMostBytes);
    std::error_code ec;
    std::filesystem::create_directories(path.parent_path(), ec);
    return jpeg && (std::ofstream(path, std::ios::binary) << *jpeg).flush();
}

Frame tagFrame(const TagWish& wish) {
    drawn::Options options;
    options.tier = drawn::Tier::Field;
    options.code = wish.code;
    options.burst = wish.burst;
    options.refusal = wish.refusal;
    const auto tag = drawn::drawFrame(wish.seed, options);
    return cropped(tag.frame, tag.centre);
}

/// Light from a point of the label, which reaches from -1 to 1; nothing beside it.
std::optional<float> lightOf(const reading::QrCode& code, drawn::Point p) {
    if (std::abs(p.x) > 1 || std::abs(p.y) > 1)
        return std::nullopt;
    constexpr int kQuiet = 4; // ISO/IEC 18004: four squares around a QR code stay free
    const double squares = code.side + 2 * kQuiet;
    const int x = static_cast<int>(std::floor((p.x + 1) / 2 * squares)) - kQuiet;
    const int y = static_cast<int>(std::floor((p.y + 1) / 2 * squares)) - kQuiet;
    const bool isDark = x >= 0 && y >= 0 && x < code.side && y < code.side && code.isDark(x, y);
    return isDark ? 0.03F : 0.82F;
}

/// Lays the label over the picture, each pixel the mean of nine points.
void layLabel(drawn::Light& picture, const reading::QrCode& code, const drawn::Homography& seen) {
    const auto back = seen.inverse();
    for (int y = 0; y < picture.height; ++y)
        for (int x = 0; x < picture.width; ++x) {
            float light = 0;
            float share = 0;
            for (int i = 0; i < 9; ++i)
                if (const auto one = lightOf(code, back({x + (i % 3 + 0.5) / 3, y + (i / 3 + 0.5) / 3}))) {
                    light += *one / 9;
                    share += 1.0F / 9;
                }
            float* pixel = picture.row(y) + 3 * static_cast<std::ptrdiff_t>(x);
            for (int c = 0; c < 3; ++c)
                pixel[c] = pixel[c] * (1 - share) + light;
        }
}

/// On a wooden table, a little turned and tilted.
std::optional<Frame> labelFrame(const tag::SheetLabel& label, std::uint64_t seed) {
    const auto code = reading::makeQrCode(tag::labelText(label), reading::Spare::M);
    if (!code)
        return std::nullopt;
    drawn::Pose pose;
    pose.centre = {kSide / 2.0, kSide / 2.0};
    pose.diameter = 300;
    pose.turn = 7 * std::numbers::pi / 180;
    pose.tilt = 12 * std::numbers::pi / 180;
    pose.tiltAxis = 1;
    drawn::Light picture{kSide, kSide, std::vector<float>(std::size_t{3} * kSide * kSide)};
    const auto table = drawn::drawBackground(drawn::Background::Wood, kSide, kSide, 20, pose.centre,
                                             drawn::Chance::of(seed, 1));
    drawn::lightOf(table.get(), picture);
    layLabel(picture, *code, drawn::seen(pose, kSide, kSide));
    drawn::blur(picture, 1, 0, 0);
    drawn::Exposure exposure;
    exposure.brightness = 0.9;
    exposure.vignette = 0.1;
    return drawn::expose(picture, exposure, drawn::Chance::of(seed, 2));
}

} // namespace

int main(int argc, char* argv[]) {
    if (argc != 2) {
        std::cerr << "draw_session_frames SAMPLE-SESSIONS\n";
        return 2;
    }
    const std::filesystem::path folder = argv[1];
    for (const TagWish& wish : kTags)
        if (!write(tagFrame(wish), folder / wish.file)) {
            std::cerr << "draw_session_frames: can't write " << wish.file << "\n";
            return 1;
        }
    const auto run = tag::parseRun("RKE 001", 25);
    const auto label = run ? labelFrame({run->scheme, run->at(0), run->count, 5}, 909) : std::nullopt;
    if (!label || !write(*label, folder / "hatch-day/frames/label.jpg")) {
        std::cerr << "draw_session_frames: can't draw or write the label\n";
        return 1;
    }
    return 0;
}
