#pragma once

#include <QCoreApplication>

namespace discal::tests {

/// The one application object: timers and queued calls need it. It stays until the program is gone: ended among the statics, it
/// left what Qt keeps for a thread behind, and LeakSanitizer said so (28 November 2026).
inline void application() {
    static int argc = 1;
    static char name[] = "tests";
    static char* argv[] = {name, nullptr};
    static const auto& one = *new QCoreApplication(argc, argv);
    static_cast<void>(one);
}

} // namespace discal::tests
