#include "services/system/own_gazetteer.h"

#include <cstdlib>

#if DISCAL_GAZETTEER_INSIDE
// gazetteer_bytes.S
extern "C" const std::byte discal_gazetteer_begin[];
extern "C" const std::byte discal_gazetteer_end[];
#endif

namespace discal::services {

namespace fs = std::filesystem;

namespace {

/// DISCAL_GAZETTEER, empty when it names none.
fs::path namedGazetteer() {
    const char* said = std::getenv("DISCAL_GAZETTEER");
    return said != nullptr ? fs::path(said) : fs::path();
}

} // namespace

Result<fs::path> ownGazetteer() {
    constexpr const char* kName = "places.gazetteer";
    if (fs::path named = namedGazetteer(); !named.empty())
        return named;
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

Result<OpenGazetteer> openOwn() {
#if DISCAL_GAZETTEER_INSIDE
    if (namedGazetteer().empty()) {
        const auto names = place::Gazetteer::open(std::span(discal_gazetteer_begin, discal_gazetteer_end));
        if (!names)
            return fail(names.error());
        return OpenGazetteer{std::nullopt, *names};
    }
#endif
    const auto path = ownGazetteer();
    return path ? openGazetteer(*path) : fail(path.error());
}

Result<OpenGazetteer> openChecked() {
    auto gazetteer = openOwn();
    if (!gazetteer)
        return gazetteer;
    if (const auto whole = gazetteer->names.verify(); !whole)
        return fail(whole.error());
    return gazetteer;
}

} // namespace discal::services
