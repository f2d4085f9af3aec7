#include "reading/second_reader.h"

#include <tesseract/baseapi.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstdlib>

namespace discal::reading {

namespace {

/// Pixels drawn for one of the strip: capitals of 40, near the height that Tesseract's network is fed with after scaling.
constexpr int kEnlarged = 2;
constexpr int kWhite = 12; ///< pixels around

} // namespace

struct SecondReader::Engine {
    tesseract::TessBaseAPI api;
    ~Engine() { api.End(); }
};

SecondReader::SecondReader(std::unique_ptr<Engine> engine) : m_engine(std::move(engine)) {}
SecondReader::SecondReader(SecondReader&&) noexcept = default;
SecondReader& SecondReader::operator=(SecondReader&&) noexcept = default;
SecondReader::~SecondReader() = default;

Result<SecondReader> SecondReader::open(const std::filesystem::path& languageFolder) {
    // Its threads would fight for the processors with the camera's and the screen's. Read when its library first works.
    ::setenv("OMP_THREAD_LIMIT", "1", 0);
    auto engine = std::make_unique<Engine>();
    const std::string folder = languageFolder.string();
    const std::vector<std::string> names{"load_system_dawg", "load_freq_dawg",       "load_punc_dawg",
                                         "load_number_dawg", "load_unambig_dawg",    "load_bigram_dawg",
                                         "debug_file"};
    const std::vector<std::string> values{"0", "0", "0", "0", "0", "0", "/dev/null"};
    if (engine->api.Init(folder.empty() ? nullptr : folder.c_str(), "eng", tesseract::OEM_LSTM_ONLY, nullptr, 0, &names,
                         &values, false) != 0)
        return fail(Code::NotFound, "eng.traineddata");
    engine->api.SetVariable("tessedit_char_whitelist", std::string(tag::kCodeGlyphs).c_str());
    engine->api.SetVariable("tessedit_do_invert", "0");
    engine->api.SetVariable("lstm_choice_mode", "2");
    engine->api.SetPageSegMode(tesseract::PSM_RAW_LINE);
    return SecondReader(std::move(engine));
}

std::vector<tag::SeenGlyph> SecondReader::read(const Strip& strip) {
    if (strip.width <= 0 ||
        strip.ink.size() != static_cast<std::size_t>(strip.width) * static_cast<std::size_t>(kStripHeight))
        return {};
    const int width = strip.width * kEnlarged + 2 * kWhite;
    const int height = kStripHeight * kEnlarged + 2 * kWhite;
    std::vector<unsigned char> grey(static_cast<std::size_t>(width) * static_cast<std::size_t>(height), 255);
    const auto inkAt = [&](int x, int y) {
        return strip.ink[static_cast<std::size_t>(std::clamp(y, 0, kStripHeight - 1)) * static_cast<std::size_t>(strip.width) +
                         static_cast<std::size_t>(std::clamp(x, 0, strip.width - 1))];
    };
    for (int y = 0; y < kStripHeight * kEnlarged; ++y)
        for (int x = 0; x < strip.width * kEnlarged; ++x) {
            const float fx = (static_cast<float>(x) + 0.5F) / kEnlarged - 0.5F;
            const float fy = (static_cast<float>(y) + 0.5F) / kEnlarged - 0.5F;
            const int left = static_cast<int>(std::floor(fx));
            const int top = static_cast<int>(std::floor(fy));
            const float px = fx - static_cast<float>(left);
            const float py = fy - static_cast<float>(top);
            const float ink = (inkAt(left, top) * (1 - px) + inkAt(left + 1, top) * px) * (1 - py) +
                              (inkAt(left, top + 1) * (1 - px) + inkAt(left + 1, top + 1) * px) * py;
            grey[static_cast<std::size_t>(y + kWhite) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x + kWhite)] =
                static_cast<unsigned char>(255 - 255 * std::clamp(ink, 0.0F, 1.0F));
        }
    auto& api = m_engine->api;
    api.SetImage(grey.data(), width, height, 1, width);
    api.SetSourceResolution(300);
    std::vector<tag::SeenGlyph> glyphs;
    if (api.Recognize(nullptr) == 0) {
        const std::unique_ptr<tesseract::ResultIterator> symbols(api.GetIterator());
        if (symbols && !symbols->Empty(tesseract::RIL_SYMBOL)) {
            do {
                tag::SeenGlyph glyph;
                const auto add = [&](const char* text, float percent) {
                    if (text == nullptr || text[0] == 0 || text[1] != 0)
                        return;
                    const auto character = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
                    const bool isKnown = std::any_of(glyph.choices.begin(), glyph.choices.end(),
                                                     [&](const auto& choice) { return choice.first == character; });
                    if (!isKnown && tag::kCodeGlyphs.find(character) != std::string_view::npos)
                        glyph.choices.emplace_back(character, std::clamp(percent / 100, 0.0F, 1.0F));
                };
                const std::unique_ptr<char[]> best(symbols->GetUTF8Text(tesseract::RIL_SYMBOL));
                add(best.get(), symbols->Confidence(tesseract::RIL_SYMBOL));
                tesseract::ChoiceIterator choices(*symbols);
                do
                    add(choices.GetUTF8Text(), choices.Confidence());
                while (choices.Next());
                if (!glyph.choices.empty())
                    glyphs.push_back(std::move(glyph));
            } while (symbols->Next(tesseract::RIL_SYMBOL));
        }
    }
    api.Clear();
    return glyphs;
}

} // namespace discal::reading
