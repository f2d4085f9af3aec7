#include "reading/drawn/typefaces.h"

#include <cairo-ft.h>
#include <map>
#include <mutex>
#include <string>

namespace discal::drawn {

namespace {

// By file, not by name through fontconfig: what is installed and configured elsewhere must not change a frame.
cairo_font_face_t* load(FT_Library library, std::string_view file) {
    const std::string path = "/usr/share/fonts/" + std::string(file);
    FT_Face face{};
    if (library == nullptr || FT_New_Face(library, path.c_str(), 0, &face) != 0)
        return nullptr;
    return cairo_ft_font_face_create_for_ft_face(face, FT_LOAD_NO_HINTING);
}

} // namespace

cairo_font_face_t* typeface(std::string_view file) {
    static std::mutex mutex;
    const std::scoped_lock lock(mutex);
    static FT_Library library = [] {
        FT_Library made{};
        return FT_Init_FreeType(&made) == 0 ? made : nullptr;
    }();
    // Never freed: Cairo keeps scaled fonts of its own for as long as it likes.
    static auto& faces = *new std::map<std::string, cairo_font_face_t*, std::less<>>;
    auto found = faces.find(file);
    if (found == faces.end())
        found = faces.emplace(file, load(library, file)).first;
    return found->second;
}

} // namespace discal::drawn
