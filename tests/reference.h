#pragma once

#include <filesystem>
#include <optional>
#include <string>

namespace discal::tests {

/// A file or folder of the reference data: below $DISCAL_REFERENCE, or ../shared beside the source tree if it is
/// there. Nothing where there is none: then says on stderr that the check was skipped.
[[nodiscard]] std::optional<std::filesystem::path> reference(const std::string& relative);

/// A file or folder of the source tree.
[[nodiscard]] std::filesystem::path sourceFile(const std::string& relative);

/// The whole file, or an empty string.
[[nodiscard]] std::string readFile(const std::filesystem::path& path);

/// A folder for one test, empty at first and removed at the end.
class TemporaryFolder {
public:
    TemporaryFolder();
    ~TemporaryFolder();
    TemporaryFolder(const TemporaryFolder&) = delete;
    TemporaryFolder& operator=(const TemporaryFolder&) = delete;
    [[nodiscard]] const std::filesystem::path& path() const { return m_path; }

private:
    std::filesystem::path m_path;
};

} // namespace discal::tests
