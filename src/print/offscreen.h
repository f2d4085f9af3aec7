#pragma once

#include <memory>

class QGuiApplication;

namespace discal::print {

/// The QGuiApplication that drawing needs, without a display, for a program that has none. At most one at a time; on the
/// main thread.
class Offscreen {
public:
    Offscreen();
    ~Offscreen();
    Offscreen(const Offscreen&) = delete;
    Offscreen& operator=(const Offscreen&) = delete;

private:
    std::unique_ptr<QGuiApplication> m_application;
};

} // namespace discal::print
