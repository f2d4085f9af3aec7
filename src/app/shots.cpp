#include "app/shots.h"

#include "app/scenes.h"

#include <QDir>
#include <QGuiApplication>
#include <QImage>
#include <iostream>

namespace discal::app {

int takeShots(const QString& folder, const QString& beginning) {
    if (!QDir().mkpath(folder)) {
        std::cerr << "The folder can't be made: " << folder.toStdString() << "\n";
        return 1;
    }
    bool isFine = true;
    int written = 0;
    for (const Scene& scene : scenes()) {
        if (!scene.name.startsWith(beginning))
            continue;
        isFine &= show(scene, [&](QQuickWindow* window, App& app) {
            const auto take = [&](const Look& look, const QString& name) {
                put(look, window, app);
                const QString file = QDir(folder).filePath(scene.name + QLatin1Char('-') + name + ".png");
                if (window->grabWindow().save(file))
                    ++written;
                else
                    isFine = false;
            };
            for (const Look& look : looks())
                take(look, look.name);
            QGuiApplication::setLayoutDirection(Qt::RightToLeft);
            take(looks().front(), QStringLiteral("right-to-left"));
            QGuiApplication::setLayoutDirection(Qt::LeftToRight);
        });
    }
    std::cout << written << " pictures in " << folder.toStdString() << "\n";
    return isFine ? 0 : 1;
}

int selfTest() {
    bool isFine = true;
    for (const Scene& scene : scenes())
        isFine &= show(scene, [](QQuickWindow* window, App& app) {
            for (const Look& look : looks())
                put(look, window, app);
        });
    std::cout << scenes().size() << (isFine ? " pages loaded without a complaint\n" : " pages tried; see above\n");
    return isFine ? 0 : 1;
}

} // namespace discal::app
