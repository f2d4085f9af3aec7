#pragma once

#include <QString>

namespace discal::app {

/// Writes a PNG of every page, from an invented journal, in Field and Night, at phone, large-text and wide size;
/// or of those pages whose names begin so. Exit code: 0, or 1 with the reason on stderr, also when QML complained of
/// anything.
[[nodiscard]] int takeShots(const QString& folder, const QString& beginning = {});

/// Loads every page offscreen; 1 on any QML warning.
[[nodiscard]] int selfTest();

} // namespace discal::app
