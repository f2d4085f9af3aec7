// Draws camera frames of tags, to look at and to try a reader on.
//
//   draw_frames TIER COUNT SEED OUTDIR [--burst N] [--unlisted SHARE] [--neighbours] [--reasons] [--judging]
//   [--no-pictures]
//
// TIER is clean, field or hard. Writes OUTDIR/NNNNN.png (with --burst NNNNN-B.png), OUTDIR/truth.csv and
// OUTDIR/codes.txt, the codes that the phone may meet, one a line.
//   --burst N         N frames of each tag, held by a hand that shakes
//   --unlisted SHARE  of the tags, 0 to 1, are not in codes.txt (without it none)
//   --neighbours      each tag has a list of its own, NNNNN.txt: every code that differs from its own in one character
//   --reasons         frames that must be refused: no tag, too far, blurred, glare, covered by turns
//   --judging         in the typefaces that no reader was tuned with
//   --no-pictures     writes no pictures; says how long drawing took

#include "reading/drawn/code_list.h"
#include "reading/drawn/light.h"
#include "reading/drawn/tag_frame.h"

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <optional>
#include <string>

using namespace discal;

namespace {

struct Wish {
    int count{0};
    std::uint64_t seed{0};
    std::filesystem::path folder;
    int burst{1};
    double unlisted{0};
    bool hasNeighbours{false};
    bool hasReasons{false};
    bool hasPictures{true};
    drawn::Options options;
};

std::optional<drawn::Tier> tierOf(const std::string& name) {
    for (const auto tier : {drawn::Tier::Clean, drawn::Tier::Field, drawn::Tier::Hard})
        if (name == drawn::tierName(tier))
            return tier;
    return std::nullopt;
}

std::optional<Wish> wishOf(int argc, char* argv[]) {
    const auto tier = argc > 4 ? tierOf(argv[1]) : std::nullopt;
    if (!tier)
        return std::nullopt;
    Wish wish;
    wish.count = std::atoi(argv[2]);
    wish.seed = std::strtoull(argv[3], nullptr, 10);
    wish.folder = argv[4];
    wish.options.tier = *tier;
    for (int i = 5; i < argc; ++i) {
        const std::string word = argv[i];
        if (word == "--burst" && i + 1 < argc)
            wish.burst = std::atoi(argv[++i]);
        else if (word == "--unlisted" && i + 1 < argc)
            wish.unlisted = std::atof(argv[++i]);
        else if (word == "--neighbours")
            wish.hasNeighbours = true;
        else if (word == "--reasons")
            wish.hasReasons = true;
        else if (word == "--judging")
            wish.options.typefaces = drawn::TypefaceSet::Judging;
        else if (word == "--no-pictures")
            wish.hasPictures = false;
        else
            return std::nullopt;
    }
    return wish;
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

bool writeCodes(const std::vector<std::string>& codes, const std::filesystem::path& path) {
    std::ofstream out(path);
    for (const std::string& code : codes)
        out << code << '\n';
    return static_cast<bool>(out.flush());
}

std::string number(int i) {
    char text[16];
    std::snprintf(text, sizeof text, "%05d", i);
    return text;
}

void writeTruth(std::ostream& out, const std::string& image, const drawn::TagFrame& drawn, int burst, bool isListed) {
    char pose[96];
    std::snprintf(pose, sizeof pose, "%.1f,%.1f,%.1f,%.1f,%.1f,%.3f", drawn.centre.x, drawn.centre.y, drawn.diameter,
                  drawn.tiltDegrees, drawn.turnDegrees, drawn.capitals);
    out << image << ',' << drawn.code << ',' << drawn::tierName(drawn.tier) << ',' << burst << ',' << (isListed ? 1 : 0)
        << ',' << (drawn.refusal ? drawn::reasonName(*drawn.refusal) : "") << ',' << pose << ',' << drawn.typeface
        << '\n';
}

/// False if a file couldn't be written.
bool draw(const Wish& wish) {
    using services::Refusal;
    constexpr Refusal kReasons[] = {Refusal::NoTag, Refusal::TooFar, Refusal::Blurred, Refusal::Glare,
                                    Refusal::Covered};
    const auto codes = drawn::phonesCodes(wish.seed);
    std::ofstream truth(wish.folder / "truth.csv");
    truth << "image,code,tier,burst,listed,reason,x,y,diameter,tilt,turn,capitals,typeface\n";
    std::clock_t spent = 0;
    drawn::Options options = wish.options;
    for (int i = 0; i < wish.count; ++i) {
        const std::uint64_t seed = wish.seed + static_cast<std::uint64_t>(i);
        drawn::Chance chance = drawn::Chance::of(seed, 2000);
        const bool isListed = !wish.hasNeighbours && !chance.happens(wish.unlisted);
        options.code = isListed ? codes[static_cast<std::size_t>(chance.below(static_cast<int>(codes.size())))]
                                : drawn::unlistedCode(codes, chance);
        if (wish.hasReasons)
            options.refusal = kReasons[i % std::size(kReasons)];
        if (wish.hasNeighbours && !writeCodes(drawn::neighboursOf(options.code), wish.folder / (number(i) + ".txt")))
            return false;
        for (options.burst = 0; options.burst < wish.burst; ++options.burst) {
            const std::clock_t before = std::clock();
            const auto drawn = drawn::drawFrame(seed, options);
            spent += std::clock() - before;
            const std::string image = number(i) + (wish.burst > 1 ? "-" + std::to_string(options.burst) : "") + ".png";
            if (wish.hasPictures && !writePng(drawn.frame, wish.folder / image))
                return false;
            writeTruth(truth, image, drawn, options.burst, isListed && !drawn.code.empty());
        }
    }
    if (!wish.hasPictures)
        std::printf("%.1f ms a frame\n",
                    static_cast<double>(spent) * 1000 / CLOCKS_PER_SEC / std::max(1, wish.count * wish.burst));
    return truth.flush() && (wish.hasNeighbours || writeCodes(codes, wish.folder / "codes.txt"));
}

} // namespace

int main(int argc, char* argv[]) {
    const auto wish = wishOf(argc, argv);
    if (!wish) {
        std::cerr << "draw_frames clean|field|hard COUNT SEED OUTDIR [--burst N] [--unlisted SHARE] [--neighbours] "
                     "[--reasons] "
                     "[--judging] [--no-pictures]\n";
        return 2;
    }
    std::error_code ec;
    std::filesystem::create_directories(wish->folder, ec);
    if (!draw(*wish)) {
        std::cerr << "draw_frames: can't write in " << wish->folder.string() << "\n";
        return 1;
    }
    return 0;
}
