// Draws camera frames of tags, to look at and to try a reader on.
//
//   draw_frames TIER COUNT SEED OUTDIR [--burst N] [--judging]
//
// TIER is clean, field or hard. Writes OUTDIR/NNNNN.png (with --burst NNNNN-B.png) and OUTDIR/truth.csv; with --judging
// in the typefaces that no reader was tuned on.

#include "reading/drawn/light.h"
#include "reading/drawn/tag_frame.h"

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <optional>
#include <string>

using namespace discal;

namespace {

std::optional<drawn::Tier> tierOf(const std::string& name) {
    for (const auto tier : {drawn::Tier::Clean, drawn::Tier::Field, drawn::Tier::Hard})
        if (name == drawn::tierName(tier))
            return tier;
    return std::nullopt;
}

bool writePng(const services::Frame& frame, const std::filesystem::path& path) {
    const drawn::Surface surface(cairo_image_surface_create(CAIRO_FORMAT_RGB24, frame.width, frame.height));
    cairo_surface_flush(surface.get());
    unsigned char* data = cairo_image_surface_get_data(surface.get());
    const int stride = cairo_image_surface_get_stride(surface.get());
    const std::uint8_t* from = frame.rgb.data();
    for (int y = 0; y < frame.height; ++y) {
        auto* row = reinterpret_cast<std::uint32_t*>(data + static_cast<std::ptrdiff_t>(y) * stride);
        for (int x = 0; x < frame.width; ++x, from += 3)
            row[x] = static_cast<std::uint32_t>(from[0] << 16 | from[1] << 8 | from[2]);
    }
    cairo_surface_mark_dirty(surface.get());
    return cairo_surface_write_to_png(surface.get(), path.c_str()) == CAIRO_STATUS_SUCCESS;
}

int usage() {
    std::cerr << "draw_frames clean|field|hard COUNT SEED OUTDIR [--burst N] [--judging]\n";
    return 2;
}

} // namespace

int main(int argc, char* argv[]) {
    const auto tier = argc > 4 ? tierOf(argv[1]) : std::nullopt;
    if (!tier)
        return usage();
    const int count = std::atoi(argv[2]);
    const std::uint64_t seed = std::strtoull(argv[3], nullptr, 10);
    const std::filesystem::path folder = argv[4];
    int burst = 1;
    drawn::Options options;
    options.tier = *tier;
    for (int i = 5; i < argc; ++i) {
        const std::string word = argv[i];
        if (word == "--burst" && i + 1 < argc)
            burst = std::atoi(argv[++i]);
        else if (word == "--judging")
            options.typefaces = drawn::TypefaceSet::Judging;
        else
            return usage();
    }
    std::error_code ec;
    std::filesystem::create_directories(folder, ec);
    std::ofstream truth(folder / "truth.csv");
    truth << "image,code,tier,burst,x,y,diameter,tilt,turn,capitals,typeface\n";
    for (int i = 0; i < count; ++i)
        for (options.burst = 0; options.burst < burst; ++options.burst) {
            const auto drawn = drawn::drawFrame(seed + static_cast<std::uint64_t>(i), options);
            char name[48];
            if (burst > 1)
                std::snprintf(name, sizeof name, "%05d-%d.png", i, options.burst);
            else
                std::snprintf(name, sizeof name, "%05d.png", i);
            if (!writePng(drawn.frame, folder / name))
                return 1;
            char pose[96];
            std::snprintf(pose, sizeof pose, "%.1f,%.1f,%.1f,%.1f,%.1f,%.3f", drawn.centre.x, drawn.centre.y, drawn.diameter,
                          drawn.tiltDegrees, drawn.turnDegrees, drawn.capitals);
            truth << name << ',' << drawn.code << ',' << drawn::tierName(drawn.tier) << ',' << options.burst << ',' << pose
                  << ',' << drawn.typeface << '\n';
        }
    return truth.flush() ? 0 : 1;
}
