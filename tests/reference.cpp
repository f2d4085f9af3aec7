#include "reference.h"

#include <cstdlib>
#include <fstream>
#include <iostream>
#include <iterator>
#include <stdlib.h>

namespace discal::tests {

std::optional<std::filesystem::path> reference(const std::string& relative) {
    const char* set = std::getenv("DISCAL_REFERENCE");
    const std::filesystem::path root =
        set != nullptr ? std::filesystem::path(set) : std::filesystem::path(DISCAL_SOURCE_DIR).parent_path() / "shared";
    const auto path = root / relative;
    if (std::filesystem::exists(path))
        return path;
    std::cerr << "skipped: no reference data at " << path.string() << " (set DISCAL_REFERENCE)\n";
    return std::nullopt;
}

std::filesystem::path sourceFile(const std::string& relative) {
    return std::filesystem::path(DISCAL_SOURCE_DIR) / relative;
}

std::string readFile(const std::filesystem::path& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

TemporaryFolder::TemporaryFolder() {
    std::string pattern = (std::filesystem::temp_directory_path() / "discal-test-XXXXXX").string();
    if (::mkdtemp(pattern.data()) == nullptr)
        std::abort();
    m_path = pattern;
}

TemporaryFolder::~TemporaryFolder() {
    std::error_code ec;
    std::filesystem::remove_all(m_path, ec);
}

} // namespace discal::tests
