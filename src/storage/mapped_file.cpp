#include "storage/mapped_file.h"

#include <cerrno>
#include <fcntl.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>
#include <utility>

namespace discal::storage {

namespace {

tl::unexpected<Error> ioError(const std::filesystem::path& path) {
    const int error = errno;
    const Code code = error == ENOENT                     ? Code::NotFound
                      : error == EACCES || error == EPERM ? Code::ReadOnly
                                                          : Code::Io;
    return fail(code, path.string(), error);
}

} // namespace

Result<MappedFile> MappedFile::open(const std::filesystem::path& path) {
    const int fd = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
    if (fd < 0)
        return ioError(path);
    struct stat status {};
    if (::fstat(fd, &status) != 0 || !S_ISREG(status.st_mode)) {
        const auto error = S_ISREG(status.st_mode) ? ioError(path) : fail(Code::Io, path.string(), EISDIR);
        ::close(fd);
        return error;
    }
    const auto size = static_cast<std::size_t>(status.st_size);
    if (size == 0) {
        ::close(fd);
        return MappedFile({});
    }
    void* at = ::mmap(nullptr, size, PROT_READ, MAP_PRIVATE, fd, 0);
    if (at == MAP_FAILED) {
        const auto error = ioError(path);
        ::close(fd);
        return error;
    }
    ::close(fd);
    return MappedFile({static_cast<const std::byte*>(at), size});
}

MappedFile::~MappedFile() {
    if (!m_bytes.empty())
        ::munmap(const_cast<std::byte*>(m_bytes.data()), m_bytes.size());
}

MappedFile::MappedFile(MappedFile&& other) noexcept : m_bytes(std::exchange(other.m_bytes, {})) {}

MappedFile& MappedFile::operator=(MappedFile&& other) noexcept {
    std::swap(m_bytes, other.m_bytes);
    return *this;
}

} // namespace discal::storage
