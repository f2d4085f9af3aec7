#pragma once

#include "core/journal/signing.h"

#include <filesystem>
#include <optional>
#include <string>

/// The device's secret beside its journal (Linux; phones keep it where their system keeps secrets).
namespace discal::storage {

/// Tells a key that stayed where it was made from a copy of it: the machine's id, and the inode and birth time of the
/// key file, which a copied folder or a restored backup does not share. A disk image set back as a whole does share
/// them; then only another device that has seen more can tell.
struct KeyPlace {
    std::string machine;
    std::uint64_t inode{0};
    std::int64_t bornNs{0};
    bool operator==(const KeyPlace&) const = default;
};

struct StoredKey {
    journal::KeyPair pair;
    KeyPlace madeAt;   ///< as written in the file
    KeyPlace foundAt;  ///< where the file is now
    [[nodiscard]] bool isCopy() const { return madeAt != foundAt; }
};

/// Nothing if there is no such file. Corrupt if it can't be read as a key.
[[nodiscard]] Result<std::optional<StoredKey>> loadKey(const std::filesystem::path& path);
/// Writes it durably with mode 0600.
[[nodiscard]] Result<void> storeKey(const std::filesystem::path& path, const journal::KeyPair& pair);

/// /etc/machine-id, or empty where there is none.
[[nodiscard]] std::string machineId();

/// How far the chain had come, kept outside of SQLite so that a journal that was put back or lost its -wal can be told.
/// Written without a sync after each commit: it may lag behind the journal, never run ahead of what was acknowledged.
class Mark {
public:
    explicit Mark(std::filesystem::path path) : m_path(std::move(path)) {}
    ~Mark();
    Mark(const Mark&) = delete;
    Mark& operator=(const Mark&) = delete;

    struct Value {
        std::string device;
        journal::Head head;
    };
    /// Nothing when there is none or it is torn: then it tells nothing.
    [[nodiscard]] std::optional<Value> read() const;
    /// Errors don't matter: an old mark is a weaker guard, not a wrong one.
    void write(const journal::DeviceId& device, const journal::Head& head);

private:
    std::filesystem::path m_path;
    int m_fd{-1};
};

} // namespace discal::storage
