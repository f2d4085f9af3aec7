#include "services/kept_packs.h"

#include "storage/durable_file.h"

#include <algorithm>

namespace discal::services {

namespace fs = std::filesystem;

namespace {

constexpr unsigned kMode = 0600;

struct Read {
    std::string text;
    place::PlacePack pack;
};

Result<Read> packIn(const fs::path& file) {
    std::error_code ec;
    if (!fs::is_regular_file(file, ec))
        return fail(Code::NotFound, file.string());
    if (const auto size = fs::file_size(file, ec); !ec && size > KeptPacks::kMostBytes)
        return fail(Code::OutOfRange, file.string());
    auto text = storage::readWhole(file);
    if (!text)
        return fail(text.error());
    if (!*text)
        return fail(Code::NotFound, file.string());
    auto pack = place::PlacePack::fromGeoJson(**text);
    if (!pack)
        return fail(pack.error());
    return Read{std::move(**text), std::move(*pack)};
}

} // namespace

Result<void> KeptPacks::load() {
    m_packs.clear();
    Result<void> first;
    std::error_code ec;
    std::vector<fs::path> files;
    for (fs::directory_iterator entry(m_folder, ec), end; !ec && entry != end; entry.increment(ec))
        files.push_back(entry->path());
    std::sort(files.begin(), files.end());
    for (const fs::path& file : files) {
        auto read = packIn(file);
        if (read)
            put({file.filename().string(), std::move(read->pack)});
        else if (first)
            first = fail(read.error());
    }
    return first;
}

Result<void> KeptPacks::take(const fs::path& file) {
    auto read = packIn(file);
    if (!read)
        return fail(read.error());
    std::error_code ec;
    fs::create_directories(m_folder, ec);
    if (ec)
        return fail(Code::Io, m_folder.string(), ec.value());
    std::string name = file.filename().string();
    if (auto kept = storage::writeDurably(m_folder / name, read->text, kMode); !kept)
        return kept;
    put({std::move(name), std::move(read->pack)});
    return {};
}

Result<void> KeptPacks::remove(std::string_view name) {
    const auto pack = std::find_if(m_packs.begin(), m_packs.end(), [&](const auto& p) { return p.name == name; });
    if (pack == m_packs.end())
        return {};
    std::error_code ec;
    fs::remove(m_folder / pack->name, ec);
    if (ec)
        return fail(Code::Io, (m_folder / pack->name).string(), ec.value());
    m_packs.erase(pack);
    return {};
}

void KeptPacks::put(NamedPack pack) {
    const auto same =
        std::find_if(m_packs.begin(), m_packs.end(), [&](const auto& p) { return p.name == pack.name; });
    if (same != m_packs.end())
        *same = std::move(pack);
    else
        m_packs.insert(std::upper_bound(m_packs.begin(), m_packs.end(), pack,
                                        [](const auto& a, const auto& b) { return a.name < b.name; }),
                       std::move(pack));
}

} // namespace discal::services
