#include "print/offscreen.h"

#include <QGuiApplication>
#include <iostream>

namespace discal::print {

namespace {

// Qt keeps references to both.
int words = 1;
char name[] = "discal";
char* arguments[] = {name, nullptr};

/// What Qt merely remarks of a machine without a display is nothing to a caller.
void tellOnlyFailures(QtMsgType type, const QMessageLogContext&, const QString& message) {
    if (type == QtCriticalMsg || type == QtFatalMsg)
        std::cerr << message.toStdString() << '\n';
}

} // namespace

Offscreen::Offscreen() {
    qputenv("QT_QPA_PLATFORM", "offscreen");
    qInstallMessageHandler(tellOnlyFailures);
    m_application = std::make_unique<QGuiApplication>(words, arguments);
}

Offscreen::~Offscreen() {
    m_application.reset();
    qInstallMessageHandler(nullptr);
}

} // namespace discal::print
