#pragma once

#include "core/result.h"

#include <filesystem>
#include <string_view>

namespace discal::storage {

/// At most one program writes a journal: it holds an OS lock (flock) on FILE.lock, which the system lets go when the
/// process ends, however it ends. The file itself stays and says in words who holds it.
class WriterLock {
public:
    /// Busy when another program has it; `detail` is what that program wrote of itself, such as "discalctl (1234)".
    [[nodiscard]] static Result<WriterLock> acquire(const std::filesystem::path& path, std::string_view program);

    WriterLock(WriterLock&& other) noexcept;
    WriterLock& operator=(WriterLock&& other) noexcept;
    ~WriterLock();

private:
    explicit WriterLock(int fd) : m_fd(fd) {}
    int m_fd{-1};
};

} // namespace discal::storage
