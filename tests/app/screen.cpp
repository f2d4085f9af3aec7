#include "screen.h"

#include <QAccessible>
#include <QMetaEnum>
#include <QTest>
#include <stdexcept>

namespace discal::tests {

QGuiApplication& application() {
    static int argc = 1;
    static char name[] = "app_tests";
    static char* argv[] = {name, nullptr};
    static const bool isSet = [] {
        qputenv("QT_QPA_PLATFORM", "offscreen");
        qputenv("QT_QUICK_BACKEND", "software");
        return true;
    }();
    Q_UNUSED(isSet)
    // Never destroyed: windows of a test that failed may still be there at the end.
    static auto* const application = new QGuiApplication(argc, argv);
    static const bool isPrepared = [] {
        app::App::prepare();
        QAccessible::setActive(true);
        return true;
    }();
    Q_UNUSED(isPrepared)
    return *application;
}

namespace {

bool isShown(const QQuickItem* item) {
    for (; item != nullptr; item = item->parentItem())
        if (!item->isVisible() || item->opacity() == 0)
            return false;
    return true;
}

/// The part of an item that no scrolling parent hides.
QRectF shownPart(const QQuickItem* item) {
    QRectF area = item->mapRectToScene(QRectF(0, 0, item->width(), item->height()));
    for (const QQuickItem* parent = item->parentItem(); parent != nullptr; parent = parent->parentItem())
        if (parent->clip())
            area &= parent->mapRectToScene(QRectF(0, 0, parent->width(), parent->height()));
    return area;
}

/// A list keeps rows for later use, unseen, at its origin, where its head would be.
bool isKeptRow(const QQuickItem* item) {
    const QQuickItem* view = item->parentItem() ? item->parentItem()->parentItem() : nullptr;
    if (view == nullptr || !view->inherits("QQuickItemView") || !item->position().isNull())
        return false;
    const auto* head = view->property("headerItem").value<QQuickItem*>();
    return head != nullptr && head != item;
}

void collect(QQuickItem* item, std::vector<Target>& out) {
    if (!item->isVisible() || isKeptRow(item))
        return;
    const bool isButton = item->inherits("QQuickAbstractButton");
    const bool isText = item->inherits("QQuickTextInput") || item->inherits("QQuickTextEdit");
    if ((isButton || isText) && item->isEnabled()) {
        Target target{item, item->mapRectToScene(QRectF(0, 0, item->width(), item->height())), {}, {}, isText, false};
        for (const QQuickItem* parent = item->parentItem(); parent != nullptr; parent = parent->parentItem())
            if (parent->inherits("QQuickFlickable"))
                target.isScrolled |= parent->property("contentHeight").toReal() > parent->height() + 0.5;
        if (QAccessibleInterface* accessible = QAccessible::queryAccessibleInterface(item)) {
            target.name = accessible->text(QAccessible::Name);
            target.role = QString::fromLatin1(
                QMetaEnum::fromType<QAccessible::Role>().valueToKey(accessible->role()));
        }
        out.push_back(target);
    }
    for (QQuickItem* child : item->childItems())
        collect(child, out);
}

void collectCut(QQuickItem* item, const QRectF& window, std::vector<QString>& out) {
    if (!item->isVisible())
        return;
    if (item->inherits("QQuickText")) {
        const QString text = item->property("text").toString();
        const QRectF area = item->mapRectToScene(QRectF(0, 0, item->width(), item->height()));
        const bool isTruncated = item->property("truncated").toBool();
        const bool runsOut = item->property("contentWidth").toReal() > item->width() + 1.5 ||
                             area.left() < window.left() - 1 || area.right() > window.right() + 1;
        if (!text.isEmpty() && isShown(item) && (isTruncated || runsOut))
            out.push_back(text);
    }
    for (QQuickItem* child : item->childItems())
        collectCut(child, window, out);
}

void collectText(QQuickItem* item, std::vector<std::pair<QString, QRectF>>& out) {
    if (!item->isVisible() || item->opacity() == 0 || isKeptRow(item))
        return;
    // Drawn, not set: the lines of the tag on the wing stand closer than their type says.
    if (QByteArrayView(item->metaObject()->className()).startsWith("HindwingPlate"))
        return;
    if (item->inherits("QQuickText") && isShown(item)) {
        const QString text = item->property("text").toString();
        const QRectF part = shownPart(item);
        if (!text.isEmpty() && !part.isEmpty())
            out.emplace_back(text, part);
    }
    for (QQuickItem* child : item->childItems())
        collectText(child, out);
}

} // namespace

std::vector<Target> targetsIn(QQuickWindow* window) {
    std::vector<Target> all;
    collect(window->contentItem(), all);
    std::vector<Target> out;
    const QRectF screen(0, 0, window->width(), window->height());
    for (const Target& target : all)
        if (isShown(target.item) && shownPart(target.item).intersects(screen))
            out.push_back(target);
    return out;
}

std::vector<QString> cutTextIn(QQuickWindow* window) {
    std::vector<QString> out;
    collectCut(window->contentItem(), QRectF(0, 0, window->width(), window->height()), out);
    return out;
}

std::vector<QString> overlappingTextIn(QQuickWindow* window) {
    std::vector<std::pair<QString, QRectF>> texts;
    collectText(window->contentItem(), texts);
    std::vector<QString> out;
    for (std::size_t i = 0; i < texts.size(); ++i)
        for (std::size_t j = i + 1; j < texts.size(); ++j) {
            const QRectF both = texts[i].second & texts[j].second;
            // Less than what lies between the letters and the edge of their line
            if (both.width() > 3 && both.height() > 0.2 * std::min(texts[i].second.height(), texts[j].second.height()))
                out.push_back(texts[i].first + QLatin1String(" / ") + texts[j].first);
        }
    return out;
}

Target targetNamed(QQuickWindow* window, const QString& name) {
    QString there;
    for (const Target& target : targetsIn(window)) {
        if (target.name == name)
            return target;
        there += QLatin1String(" \"") + target.name + QLatin1Char('"');
    }
    throw std::runtime_error("nothing called \"" + name.toStdString() + "\" on the page, but:" + there.toStdString());
}

void tap(QQuickWindow* window, const Target& target) {
    const QRectF part = shownPart(target.item) & QRectF(0, 0, window->width(), window->height());
    QTest::mouseClick(window, Qt::LeftButton, Qt::NoModifier, part.center().toPoint());
    app::settle(window);
}

} // namespace discal::tests
