#include "storage/writer_lock.h"

#include <cerrno>
#include <fcntl.h>
#include <string>
#include <sys/file.h>
#include <unistd.h>
#include <utility>

namespace discal::storage {

Result<WriterLock> WriterLock::acquire(const std::filesystem::path& path, std::string_view program) {
    const int fd = ::open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0644);
    if (fd < 0) {
        const int error = errno;
        const bool isDenied = error == EACCES || error == EROFS || error == EPERM;
        return fail(isDenied ? Code::ReadOnly : error == ENOENT ? Code::NotFound : Code::Io, path.string(), error);
    }
    if (::flock(fd, LOCK_EX | LOCK_NB) != 0) {
        char who[128];
        const ssize_t n = ::pread(fd, who, sizeof who, 0);
        ::close(fd);
        std::string holder(who, n > 0 ? static_cast<std::size_t>(n) : 0);
        if (const auto end = holder.find('\n'); end != std::string::npos)
            holder.resize(end);
        return fail(Code::Busy, holder.empty() ? "another program" : holder);
    }
    // A courtesy to whoever finds it locked; nothing depends on it, so a full disk doesn't matter.
    const std::string me = std::string(program) + " (" + std::to_string(::getpid()) + ")\n";
    if (::ftruncate(fd, 0) == 0)
        (void)!::pwrite(fd, me.data(), me.size(), 0);
    return WriterLock(fd);
}

WriterLock::WriterLock(WriterLock&& other) noexcept : m_fd(std::exchange(other.m_fd, -1)) {}

WriterLock& WriterLock::operator=(WriterLock&& other) noexcept {
    std::swap(m_fd, other.m_fd);
    return *this;
}

WriterLock::~WriterLock() {
    if (m_fd >= 0)
        ::close(m_fd);
}

} // namespace discal::storage
