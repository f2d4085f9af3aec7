#pragma once

#include <array>
#include <cairo.h>
#include <string_view>

namespace discal::drawn {

/// Which typefaces may be printed. The network learns from none of Judging; the steps before it were tuned with either, so that
/// frames of other seeds judge them.
enum class TypefaceSet { Tuning, Judging };

/// A font file of Debian 12 and how often it is taken: sans of both weights most, then condensed, monospaced, serif.
struct Typeface {
    std::string_view file; ///< below /usr/share/fonts
    int weight{1};
};

inline constexpr std::array kTuningTypefaces{
    Typeface{"truetype/dejavu/DejaVuSans-Bold.ttf", 3},
    Typeface{"truetype/dejavu/DejaVuSans.ttf", 1},
    Typeface{"truetype/dejavu/DejaVuSansMono-Bold.ttf", 1},
    Typeface{"truetype/liberation/LiberationSans-Bold.ttf", 4},
    Typeface{"truetype/liberation/LiberationSans-Regular.ttf", 3},
    Typeface{"truetype/liberation/LiberationSansNarrow-Bold.ttf", 3},
    Typeface{"truetype/liberation/LiberationSansNarrow-Regular.ttf", 1},
    Typeface{"truetype/liberation/LiberationSerif-Bold.ttf", 1},
    Typeface{"truetype/liberation/LiberationMono-Bold.ttf", 1},
    Typeface{"truetype/roboto/unhinted/RobotoTTF/Roboto-Medium.ttf", 2},
    Typeface{"truetype/roboto/unhinted/RobotoTTF/Roboto-Bold.ttf", 2},
    Typeface{"truetype/roboto/unhinted/RobotoCondensed-Bold.ttf", 2},
    Typeface{"truetype/roboto/unhinted/RobotoCondensed-Regular.ttf", 1},
    Typeface{"truetype/open-sans/OpenSans-Semibold.ttf", 2},
    Typeface{"truetype/open-sans/OpenSans-Bold.ttf", 2},
    Typeface{"truetype/open-sans/OpenSans-CondBold.ttf", 1},
    Typeface{"opentype/cantarell/Cantarell-Bold.otf", 1},
    Typeface{"opentype/courier-prime/Courier Prime Bold.otf", 1},
};

inline constexpr std::array kJudgingTypefaces{
    Typeface{"truetype/lato/Lato-Bold.ttf", 3},
    Typeface{"truetype/lato/Lato-Medium.ttf", 2},
    Typeface{"truetype/lato/Lato-Black.ttf", 1},
    Typeface{"opentype/cabin/Cabin-Bold.otf", 2},
    Typeface{"opentype/cabin/Cabin-Medium.otf", 1},
    Typeface{"truetype/karla/Karla-Bold.otf", 2},
    Typeface{"truetype/oxygen/Oxygen-Sans-Bold.ttf", 2},
    Typeface{"truetype/oxygen/Oxygen-Sans.ttf", 1},
    Typeface{"opentype/b612/B612-Bold.otf", 2},
    Typeface{"opentype/b612/B612Mono-Bold.otf", 1},
    Typeface{"opentype/urw-base35/NimbusSans-Bold.otf", 3},
    Typeface{"opentype/urw-base35/NimbusSansNarrow-Bold.otf", 3},
    Typeface{"opentype/urw-base35/URWGothic-Demi.otf", 1},
    Typeface{"opentype/urw-base35/C059-Bold.otf", 1},
    Typeface{"opentype/play/Play-Bold.otf", 1},
    Typeface{"truetype/inconsolata/Inconsolata.otf", 1},
};

/// The font in this file, kept until the program ends. Null if it can't be loaded. Any thread.
[[nodiscard]] cairo_font_face_t* typeface(std::string_view file);

} // namespace discal::drawn
