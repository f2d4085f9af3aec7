#pragma once

#include <QCoreApplication>

namespace discal::tests {

/// The one application object: timers and queued calls need it.
inline void application() {
    static int argc = 1;
    static char name[] = "tests";
    static char* argv[] = {name, nullptr};
    static const QCoreApplication one(argc, argv);
}

} // namespace discal::tests
