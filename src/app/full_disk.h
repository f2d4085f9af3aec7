#pragma once

#include <csignal>
#include <sys/resource.h>

namespace discal::app {

/// For as long as one lives no file of this program takes a further byte, as where a disk is full: the system refuses
/// each write (EFBIG). Reading goes on. For pictures and tests; of the whole process, so only around a single tap.
class FullDisk {
public:
    FullDisk() {
        std::signal(SIGXFSZ, SIG_IGN);
        getrlimit(RLIMIT_FSIZE, &m_was);
        rlimit none = m_was;
        none.rlim_cur = 0;
        setrlimit(RLIMIT_FSIZE, &none);
    }
    ~FullDisk() { setrlimit(RLIMIT_FSIZE, &m_was); }
    FullDisk(const FullDisk&) = delete;
    FullDisk& operator=(const FullDisk&) = delete;

private:
    rlimit m_was{};
};

} // namespace discal::app
