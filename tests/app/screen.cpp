#include "screen.h"

#include <QAccessible>
#include <QFontMetricsF>
#include <QMetaEnum>
#include <QRegularExpression>
#include <QTest>
#include <algorithm>
#include <functional>
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

void collect(QQuickItem* item, std::vector<Target>& out) {
    if (!item->isVisible())
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

/// A word that is longer than the line it stands in: it goes on in the next.
bool breaksAWord(const QQuickItem* text) {
    // Some shrink to fit; the credits hold addresses, which are longer than any line.
    if (text->property("fontSizeMode").toInt() != 0 || text->property("textFormat").toInt() == Qt::MarkdownText)
        return false;
    const QFontMetricsF metrics(text->property("font").value<QFont>());
    const QStringList words = text->property("text").toString().split(QRegularExpression(QStringLiteral("[\\s-]")));
    return std::any_of(words.begin(), words.end(),
                       [&](const QString& word) { return metrics.horizontalAdvance(word) > text->width() + 1.5; });
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
        if (!text.isEmpty() && isShown(item) && (isTruncated || runsOut || breaksAWord(item)))
            out.push_back(text);
    }
    for (QQuickItem* child : item->childItems())
        collectCut(child, window, out);
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

namespace {

std::vector<QQuickItem*> textItemsIn(QQuickWindow* window) {
    std::vector<QQuickItem*> out;
    const std::function<void(QQuickItem*)> collectTexts = [&](QQuickItem* item) {
        if (!item->isVisible())
            return;
        if (item->inherits("QQuickText") && isShown(item))
            out.push_back(item);
        for (QQuickItem* child : item->childItems())
            collectTexts(child);
    };
    collectTexts(window->contentItem());
    return out;
}

/// Where the letters are, as far as nothing that scrolls hides them.
QRectF writtenPart(const QQuickItem* text) {
    const double height = text->property("contentHeight").toReal();
    const int vertical = text->property("verticalAlignment").toInt();
    const double top = vertical == Qt::AlignVCenter  ? (text->height() - height) / 2
                       : vertical == Qt::AlignBottom ? text->height() - height
                                                     : 0;
    return text->mapRectToScene(QRectF(0, top, text->width(), height)) & shownPart(text);
}

/// `touching`: how far the two may reach into each other's height.
bool liesOver(const QRectF& a, const QRectF& b, double touching) {
    const QRectF both = a & b;
    return both.width() > 3 && both.height() > touching;
}

} // namespace

std::vector<QString> coveredTextIn(QQuickWindow* window) {
    std::vector<QString> out;
    std::vector<QQuickItem*> texts;
    // A drawing sets its words by their baseline, closer than lines stand.
    const auto isDrawn = [](const QQuickItem* text) {
        return QByteArray(text->parentItem()->metaObject()->className()).startsWith("HindwingPlate");
    };
    for (QQuickItem* text : textItemsIn(window))
        if (!text->property("text").toString().isEmpty() && !isDrawn(text))
            texts.push_back(text);
    const auto targets = targetsIn(window);
    for (std::size_t i = 0; i < texts.size(); ++i) {
        const QRectF written = writtenPart(texts[i]);
        const QString words = texts[i]->property("text").toString();
        for (std::size_t j = i + 1; j < texts.size(); ++j)
            // A line has room above and below its letters
            if (const QRectF other = writtenPart(texts[j]);
                liesOver(written, other, 0.35 * std::min(written.height(), other.height())))
                out.push_back(words + QLatin1String(" | ") + texts[j]->property("text").toString());
        for (const Target& target : targets)
            if (!target.item->isAncestorOf(texts[i]) && liesOver(written, target.area & shownPart(target.item), 3))
                out.push_back(words + QLatin1String(" | ") + target.name);
    }
    return out;
}

std::vector<QString> textsIn(QQuickWindow* window) {
    std::vector<QString> out;
    for (const QQuickItem* text : textItemsIn(window))
        out.push_back(text->property("text").toString());
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

QQuickItem* listIn(QQuickItem* item) {
    if (item->inherits("QQuickListView") && item->isVisible())
        return item;
    for (QQuickItem* child : item->childItems())
        if (QQuickItem* found = child->isVisible() ? listIn(child) : nullptr)
            return found;
    return nullptr;
}

void tap(QQuickWindow* window, const Target& target) {
    const QRectF part = shownPart(target.item) & QRectF(0, 0, window->width(), window->height());
    QTest::mouseClick(window, Qt::LeftButton, Qt::NoModifier, part.center().toPoint());
    app::settle(window);
}

} // namespace discal::tests
