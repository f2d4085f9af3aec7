// Reads drawn frames of tags: how many, how surely, how fast; and Tesseract alone on the same frames.
//
//   read_tags TAGS [SEED]      TAGS of each row; a table of results, then times and memory
//   read_tags --long [TAGS]    only listed and unlisted tags of all tiers, 30,000 frames where not said otherwise, and 10,000
//                              among neighbours: wrong accepts with the bound of their share
//
// Exit 1 when a tag was taken for another of the list. Figures come from drawn frames, not from photographs.

#include "core/tag/glyph_columns.h"
#include "reading/disc_finder.h"
#include "reading/drawn/reading_round.h"
#include "reading/flat_disc.h"
#include "reading/reader.h"

#include <tesseract/baseapi.h>

#include <algorithm>
#include <cstdlib>
#include <ctime>
#include <fstream>
#include <iomanip>
#include <iostream>
#include <sstream>

using namespace discal;
using drawn::List;
using drawn::Round;
using drawn::Tally;
using drawn::Tier;

namespace {

constexpr std::array kTiers{Tier::Clean, Tier::Field, Tier::Hard};

std::string percent(int of, int all) {
    std::ostringstream out;
    out << std::fixed << std::setprecision(1) << 100.0 * of / std::max(1, all) << " %";
    return out.str();
}

long peakKilobytes() {
    std::ifstream status("/proc/self/status");
    for (std::string line; std::getline(status, line);)
        if (line.starts_with("VmHWM:"))
            return std::atol(line.c_str() + 6);
    return 0;
}

std::string_view listName(List list) {
    switch (list) {
    case List::Listed: return "listed";
    case List::Unlisted: return "unlisted";
    case List::Neighbours: return "neighbours";
    case List::Hindered: return "hindered";
    }
    return {};
}

void print(const Round& round, const Tally& tally) {
    const auto at = [&](double share) {
        return tally.milliseconds[static_cast<std::size_t>(share * static_cast<double>(tally.milliseconds.size() - 1))];
    };
    std::cout << std::left << std::setw(6) << drawn::tierName(round.tier) << std::setw(11) << listName(round.list) << std::right
              << std::setw(3) << round.frames << std::setw(7) << tally.tags << std::setw(10) << percent(tally.accepted, tally.tags)
              << std::setw(8) << tally.misread << std::setw(10) << percent(tally.unlisted, tally.tags) << std::setw(8)
              << tally.unlistedWrong << std::setw(10) << percent(tally.refused, tally.tags) << std::setw(8) << std::fixed
              << std::setprecision(0) << at(0.5) << std::setw(6) << at(0.95) << std::endl;
    for (const auto& misread : tally.misreads)
        std::cout << "    misread: " << misread << std::endl;
}

void head() {
    std::cout << "tier  list     frames  tags  accepted misread  unlisted  wrongly  refused  ms p50   p95\n";
}

// --- Tesseract alone

/// What Tesseract makes of a grey picture, letters and digits only.
std::string byTesseract(tesseract::TessBaseAPI& api, const std::vector<unsigned char>& grey, int width, int height) {
    api.SetImage(grey.data(), width, height, 1, width);
    const std::unique_ptr<char[]> text(api.GetUTF8Text());
    std::string glyphs;
    for (const char* c = text.get(); c != nullptr && *c != 0; ++c)
        if ((*c >= 'A' && *c <= 'Z') || (*c >= '0' && *c <= '9'))
            glyphs += *c;
    api.Clear();
    return glyphs;
}

/// The share of frames in which Tesseract reads the code, and nothing else that is as large: on the frame as it is, and on the
/// disc, flattened, levelled and turned upright by the truth.
void alone(Tier tier, int tags, std::uint64_t seed) {
    tesseract::TessBaseAPI api;
    if (api.Init(nullptr, "eng", tesseract::OEM_LSTM_ONLY) != 0)
        return;
    api.SetVariable("tessedit_char_whitelist", std::string(tag::kCodeGlyphs).c_str());
    api.SetVariable("debug_file", "/dev/null");
    int raw = 0;
    int upright = 0;
    std::vector<double> milliseconds;
    for (int i = 0; i < tags; ++i) {
        drawn::Options options;
        options.tier = tier;
        options.typefaces = drawn::TypefaceSet::Judging;
        const auto frame = drawn::drawFrame(seed + static_cast<std::uint64_t>(i), options);
        std::string code = frame.code;
        std::erase(code, ' ');
        std::vector<unsigned char> grey;
        for (std::size_t k = 0; k < frame.frame.rgb.size(); k += 3)
            grey.push_back(static_cast<unsigned char>((frame.frame.rgb[k] + frame.frame.rgb[k + 1] + frame.frame.rgb[k + 2]) / 3));
        const std::clock_t began = std::clock();
        api.SetPageSegMode(tesseract::PSM_SPARSE_TEXT);
        raw += byTesseract(api, grey, frame.frame.width, frame.frame.height).find(code) != std::string::npos ? 1 : 0;
        milliseconds.push_back(1000.0 * static_cast<double>(std::clock() - began) / CLOCKS_PER_SEC);
        const auto discs = reading::findDiscs(frame.frame, 1);
        if (discs.empty())
            continue;
        const auto flat = reading::flatten(frame.frame, discs.front());
        const auto plane = reading::turned(flat.ink, static_cast<float>(-frame.turnDegrees * 3.14159265 / 180));
        grey.clear();
        for (const float ink : plane.values)
            grey.push_back(static_cast<unsigned char>(255 - 255 * std::clamp(ink, 0.0F, 1.0F)));
        api.SetPageSegMode(tesseract::PSM_SINGLE_BLOCK);
        upright += byTesseract(api, grey, plane.width, plane.height).find(code) != std::string::npos ? 1 : 0;
    }
    std::sort(milliseconds.begin(), milliseconds.end());
    std::cout << std::left << std::setw(6) << drawn::tierName(tier) << "Tesseract alone: frame " << percent(raw, tags) << " ("
              << std::fixed << std::setprecision(0) << milliseconds[milliseconds.size() / 2] << " ms), upright disc "
              << percent(upright, tags) << std::endl;
}

int longForm(services::CodeReader& reader, int frames) {
    int read = 0;
    int misread = 0;
    head();
    for (const auto list : {List::Listed, List::Unlisted})
        for (const auto tier : kTiers) {
            const Round round{tier, list, frames / 6, 1, 5'000'000};
            const auto tally = drawn::play(round, reader);
            print(round, tally);
            read += tally.tags;
            misread += tally.misread;
        }
    std::cout << misread << " of " << read << " taken for another of the list; with 95 % confidence at most "
              << std::setprecision(6) << drawn::upperBound(misread, read) << std::endl;
    read = 0;
    int near = 0;
    for (const auto tier : kTiers) {
        const Round round{tier, List::Neighbours, frames / 9, 1, 6'000'000};
        const auto tally = drawn::play(round, reader);
        print(round, tally);
        read += tally.tags;
        near += tally.misread;
    }
    std::cout << near << " of " << read << " among neighbours; with 95 % confidence at most " << drawn::upperBound(near, read)
              << std::endl;
    return misread > 0 ? 1 : 0;
}

} // namespace

int main(int argc, char* argv[]) {
    if (argc < 2) {
        std::cerr << "read_tags TAGS [SEED] | --long [FRAMES]\n";
        return 2;
    }
    const long before = peakKilobytes();
    auto reader = reading::makeReader();
    if (!reader) {
        std::cerr << "eng.traineddata is missing\n";
        return 1;
    }
    if (std::string(argv[1]) == "--long")
        return longForm(**reader, argc > 2 ? std::atoi(argv[2]) : 30'000);
    const int tags = std::atoi(argv[1]);
    const std::uint64_t seed = argc > 2 ? std::strtoull(argv[2], nullptr, 10) : 100'000;
    int misread = 0;
    head();
    for (const auto tier : kTiers)
        for (const Round& round : {Round{tier, List::Listed, tags, 1, seed}, Round{tier, List::Listed, std::max(1, tags / 4), 5, seed},
                                   Round{tier, List::Unlisted, std::max(1, tags / 2), 1, seed + 50'000},
                                   Round{tier, List::Neighbours, std::max(1, tags / 2), 1, seed + 60'000}}) {
            const auto tally = drawn::play(round, **reader);
            print(round, tally);
            misread += tally.misread;
        }
    const Round hindered{Tier::Field, List::Hindered, tags, 1, seed + 70'000};
    const auto tally = drawn::play(hindered, **reader);
    print(hindered, tally);
    misread += tally.misread;
    std::cout << "refused for the reason that was drawn: " << percent(tally.rightReason, tally.tags) << '\n';
    std::cout << "memory at most " << peakKilobytes() / 1024 << " MB, before the reader " << before / 1024 << " MB\n";
    for (const auto tier : kTiers)
        alone(tier, std::max(1, tags / 4), seed);
    return misread > 0 ? 1 : 0;
}
