#pragma once

#include "app/app.h"
#include "app/sample_phone.h"

#include <QSize>
#include <QString>
#include <functional>
#include <vector>

/// Every page as somebody meets it, and every way of looking at it: for the pictures, the self-test and the tests.
namespace discal::app {

inline constexpr int kNothingYet = -1;

struct Scene {
    QString name;
    int page{0};
    QString opened;      ///< a page above the others, as Main names it
    QString openedWith;
    std::function<void(SamplePhone&, App&)> prepare{};  ///< after the morning, before the window is loaded
    /// For a page that is opened with a butterfly: the newest whose fate this is.
    butterfly::Fate openedWithFate{butterfly::Fate::Unclear};
    int morning{13};                   ///< butterflies before; kNothingYet: the program has just been installed
    std::function<void(App&)> then{};  ///< once the page is there
};
[[nodiscard]] const std::vector<Scene>& scenes();

struct Look {
    QString name;
    QSize size;
    bool isNight;
    int textPercent;
};
[[nodiscard]] const std::vector<Look>& looks();

/// Loads the window at the scene and gives it to `use`. False when it can't be loaded or QML complained, which is said
/// on stderr.
[[nodiscard]] bool show(const Scene& scene, const std::function<void(QQuickWindow*, App&)>& use);

/// Looks at it so, and waits until it lies still.
void put(const Look& look, QQuickWindow* window, App& app);

/// Bindings, layouts and loaders settle over some turns of the event loop.
void settle(QQuickWindow* window);

} // namespace discal::app
