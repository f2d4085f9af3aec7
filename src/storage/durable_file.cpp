#include "storage/durable_file.h"

#include <cerrno>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

namespace discal::storage {

namespace {

class Descriptor {
public:
    Descriptor(const std::filesystem::path& path, int flags, unsigned mode = 0)
        : m_fd(::open(path.c_str(), flags | O_CLOEXEC, mode)) {}
    ~Descriptor() {
        if (m_fd >= 0)
            ::close(m_fd);
    }
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    [[nodiscard]] int get() const { return m_fd; }

private:
    int m_fd;
};

tl::unexpected<Error> ioError(const std::filesystem::path& path) {
    const int error = errno;
    const Code code = error == ENOSPC || error == EDQUOT           ? Code::DiskFull
                      : error == EACCES || error == EPERM || error == EROFS ? Code::ReadOnly
                                                                            : Code::Io;
    return fail(code, path.string(), error);
}

bool syncFolderOf(const std::filesystem::path& path) {
    const auto folder = path.has_parent_path() ? path.parent_path() : std::filesystem::path(".");
    const Descriptor fd(folder, O_RDONLY | O_DIRECTORY);
    return fd.get() >= 0 && ::fsync(fd.get()) == 0;
}

} // namespace

Result<std::optional<std::string>> readWhole(const std::filesystem::path& path) {
    const Descriptor fd(path, O_RDONLY);
    if (fd.get() < 0) {
        if (errno == ENOENT)
            return std::optional<std::string>();
        return ioError(path);
    }
    std::string out;
    char buffer[65536];
    for (;;) {
        const ssize_t n = ::read(fd.get(), buffer, sizeof buffer);
        if (n < 0) {
            if (errno == EINTR)
                continue;
            return ioError(path);
        }
        if (n == 0)
            return std::optional(std::move(out));
        out.append(buffer, static_cast<std::size_t>(n));
    }
}

Result<void> writeDurably(const std::filesystem::path& path, std::string_view bytes, unsigned mode) {
    const std::filesystem::path part = path.string() + ".part";
    {
        const Descriptor fd(part, O_WRONLY | O_CREAT | O_TRUNC, mode);
        if (fd.get() < 0)
            return ioError(part);
        if (::fchmod(fd.get(), mode) != 0)
            return ioError(part);
        while (!bytes.empty()) {
            const ssize_t n = ::write(fd.get(), bytes.data(), bytes.size());
            if (n < 0) {
                if (errno == EINTR)
                    continue;
                return ioError(part);
            }
            bytes.remove_prefix(static_cast<std::size_t>(n));
        }
        if (::fsync(fd.get()) != 0)
            return ioError(part);
    }
    if (::rename(part.c_str(), path.c_str()) != 0 || !syncFolderOf(path))
        return ioError(path);
    return {};
}

Result<void> renameDurably(const std::filesystem::path& from, const std::filesystem::path& to) {
    {
        const Descriptor fd(from, O_RDONLY);
        if (fd.get() < 0 || ::fsync(fd.get()) != 0)
            return ioError(from);
    }
    if (::access(to.c_str(), F_OK) == 0)
        return fail(Code::Exists, to.string());
    if (::rename(from.c_str(), to.c_str()) != 0 || !syncFolderOf(to))
        return ioError(to);
    return {};
}

} // namespace discal::storage
