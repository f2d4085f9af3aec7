#include "services/system/own_journal.h"

#include <cerrno>
#include <cstdlib>

namespace discal::services {

namespace fs = std::filesystem;

Result<fs::path> ownJournal() {
    const auto folderIn = [](const char* variable) {
        const char* value = std::getenv(variable);
        const fs::path path = value != nullptr ? value : "";
        return path.is_absolute() ? path : fs::path();
    };
    fs::path data = folderIn("XDG_DATA_HOME");
    if (data.empty()) {
        const fs::path home = folderIn("HOME");
        if (home.empty())
            return fail(Code::NotFound,
                        "a home folder for your own journal (HOME is not set); give --journal FILE");
        data = home / ".local" / "share";
    }
    return data / "discal" / "journal.discal";
}

Result<void> makeFolderFor(const fs::path& journal) {
    const fs::path folder = journal.parent_path();
    std::error_code ec;
    if (fs::is_directory(folder, ec))
        return {};
    fs::create_directories(folder, ec);
    if (ec) {
        const bool isDenied = ec.value() == EACCES || ec.value() == EROFS || ec.value() == EPERM;
        return fail(isDenied ? Code::ReadOnly : Code::Io, folder.string() + ": " + ec.message(), ec.value());
    }
    fs::permissions(folder, fs::perms::owner_all, ec);
    return {};
}

} // namespace discal::services
