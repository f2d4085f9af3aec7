#pragma once

#include "core/place/place_pack.h"

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace discal::services {

/// Boundaries that somebody added, by the name of the file that they came in.
struct NamedPack {
    std::string name;
    place::PlacePack pack;
};

/// Place packs that stay: each is copied into a folder beside the journal when it is taken, so that it is there after a
/// restart and when the file it came from is gone. Owned by whoever shows them; on one thread.
class KeptPacks {
public:
    /// `folder` is made with the first one.
    explicit KeptPacks(std::filesystem::path folder) : m_folder(std::move(folder)) {}

    /// Reads those that are kept: some 10 ms a megabyte. What can't be read stays where it is, and is the error of the
    /// first such file, as for take(); the others are there.
    [[nodiscard]] Result<void> load();
    /// Takes a file in; one of the same name makes room for it once it is kept. Errors of PlacePack::fromGeoJson(), with
    /// the number of the feature; NotFound, Io; OutOfRange above kMostBytes. After an error all is as it was.
    [[nodiscard]] Result<void> take(const std::filesystem::path& file);
    /// Io where the file can't be removed: then it stays.
    [[nodiscard]] Result<void> remove(std::string_view name);

    /// By name. The address stays for as long as this is there; what is in it changes with the calls above.
    [[nodiscard]] const std::vector<NamedPack>& all() const { return m_packs; }

    /// Our choice: more than a whole country needs, and reading it fits into a phone's memory.
    static constexpr std::size_t kMostBytes = 100'000'000;

private:
    void put(NamedPack pack);

    std::filesystem::path m_folder;
    std::vector<NamedPack> m_packs;
};

} // namespace discal::services
