#include "catch_compat.hpp"
#include "reading/qr_code.h"
#include "screen.h"

#include <QImage>
#include <QtMath>

using namespace discal;
using namespace discal::tests;

namespace {

QQuickItem* imageIn(QQuickItem* item) {
    if (item->inherits("QQuickImage") && item->isVisible())
        return item;
    for (QQuickItem* child : item->childItems())
        if (QQuickItem* image = imageIn(child))
            return image;
    return nullptr;
}

/// What is to be seen of a QR code on the screen, square by square.
reading::QrCode seenOn(QQuickWindow* window, const QQuickItem* image) {
    const QImage screen = window->grabWindow();
    const double density = static_cast<double>(screen.width()) / window->width();
    const QRectF area = image->mapRectToScene(QRectF(0, 0, image->width(), image->height()));
    reading::QrCode code;
    code.side = static_cast<int>(image->implicitWidth());
    for (int y = 0; y < code.side; ++y)
        for (int x = 0; x < code.side; ++x) {
            const double middleX = area.x() + (x + 0.5) * area.width() / code.side;
            const double middleY = area.y() + (y + 0.5) * area.height() / code.side;
            const QColor colour = screen.pixelColor(qFloor(middleX * density), qFloor(middleY * density));
            code.dark.push_back(colour.lightnessF() < 0.3F ? 1 : 0);
        }
    return code;
}

} // namespace

TEST_CASE("The code on the screen is the one that hands the tags on, by day and by night", "[app]") {
    application();
    for (const app::Scene& scene : app::scenes()) {
        if (scene.name != QLatin1String("hand-run-shown"))
            continue;
        CHECK(app::show(scene, [](QQuickWindow* window, app::App& app) {
            for (const app::Look& look : app::looks()) {
                INFO(look.name.toStdString());
                app::put(look, window, app);
                QQuickItem* image = imageIn(window->contentItem());
                REQUIRE(image != nullptr);
                // Smaller squares blur into each other
                CHECK(image->width() >= image->implicitWidth());
                if (look.size.height() < 700 || look.textPercent > 100)
                    continue;  // lies lower than the screen
                const auto read = reading::readQrCode(seenOn(window, image), 3);
                REQUIRE(read);
                CHECK(*read == app.handing.payload().toStdString());
            }
        }));
    }
}
