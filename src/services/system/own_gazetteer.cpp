#include "services/system/own_gazetteer.h"

#include <cstdlib>

namespace discal::services {

namespace fs = std::filesystem;

Result<fs::path> ownGazetteer() {
    constexpr const char* kName = "places.gazetteer";
    if (const char* said = std::getenv("DISCAL_GAZETTEER"); said != nullptr && *said != '\0')
        return fs::path(said);
    std::error_code ec;
    const fs::path program = fs::read_symlink("/proc/self/exe", ec);
    for (const fs::path& path : {program.parent_path().parent_path() / "share" / "discal" / kName,
                                 fs::path(DISCAL_SOURCE_GAZETTEER)})
        if (fs::is_regular_file(path, ec))
            return path;
    return fail(Code::NotFound, "the file of place names (places.gazetteer); DISCAL_GAZETTEER may name it");
}

Result<OpenGazetteer> openGazetteer(const fs::path& path) {
    auto file = storage::MappedFile::open(path);
    if (!file)
        return fail(file.error());
    // The bytes stay where they are when the file moves.
    const auto names = place::Gazetteer::open(file->bytes());
    if (!names)
        return fail(names.error());
    return OpenGazetteer{std::move(*file), *names};
}

} // namespace discal::services
