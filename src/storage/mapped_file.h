#pragma once

#include "core/result.h"

#include <cstddef>
#include <filesystem>
#include <span>

namespace discal::storage {

/// A file's bytes where the system keeps them: nothing is read before it is looked at (POSIX mmap). For files
/// that nobody changes meanwhile, such as the gazetteer. Movable; the bytes live as long as it.
class MappedFile {
public:
    /// NotFound with the path; ReadOnly (no permission) or Io with path and errno. An empty file has no
    /// bytes.
    [[nodiscard]] static Result<MappedFile> open(const std::filesystem::path& path);
    ~MappedFile();
    MappedFile(MappedFile&& other) noexcept;
    MappedFile& operator=(MappedFile&& other) noexcept;
    MappedFile(const MappedFile&) = delete;
    MappedFile& operator=(const MappedFile&) = delete;

    [[nodiscard]] std::span<const std::byte> bytes() const { return m_bytes; }

private:
    explicit MappedFile(std::span<const std::byte> bytes) : m_bytes(bytes) {}
    std::span<const std::byte> m_bytes;
};

} // namespace discal::storage
