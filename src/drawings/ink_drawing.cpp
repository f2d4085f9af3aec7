#include "drawings/ink_drawing.h"

#include <QPainter>
#include <QPixmapCache>
#include <QSvgRenderer>

namespace discal::drawings {

namespace {

void draw(const QByteArray& drawing, QPainter& painter, const QRectF& into) {
    QSvgRenderer renderer(drawing);
    renderer.setAspectRatioMode(Qt::KeepAspectRatio);
    renderer.render(&painter, into);
}

} // namespace

InkDrawing::InkDrawing(QQuickItem* parent) : QQuickPaintedItem(parent) {
    setAntialiasing(true);
    connect(this, &InkDrawing::canvasChanged, this, [this] { update(); });
}

QQmlListProperty<InkPath> InkDrawing::paths() {
    using List = QQmlListProperty<InkPath>;
    return {this, &m_paths, &InkDrawing::append,
            [](List* list) { return static_cast<QList<InkPath*>*>(list->data)->size(); },
            [](List* list, qsizetype at) { return static_cast<QList<InkPath*>*>(list->data)->at(at); }, nullptr};
}

void InkDrawing::append(QQmlListProperty<InkPath>* list, InkPath* path) {
    auto* drawing = static_cast<InkDrawing*>(list->object);
    drawing->m_paths.append(path);
    connect(path, &InkPath::changed, drawing, [drawing] { drawing->update(); });
}

QByteArray InkDrawing::svg() const {
    QString right;
    QString both;
    for (const InkPath* path : m_paths)
        (path->isMirrored() ? both : right) += path->svg();
    if (!both.isEmpty())
        both = QStringLiteral("<g>%1</g><g transform=\"scale(-1 1)\">%1</g>").arg(both);
    return QStringLiteral("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"%1 %2 %3 %4\">%5%6</svg>")
        .arg(m_canvas.x())
        .arg(m_canvas.y())
        .arg(m_canvas.width())
        .arg(m_canvas.height())
        .arg(both, right)
        .toUtf8();
}

void InkDrawing::paint(QPainter* painter) {
    const QByteArray drawing = svg();
    if (!m_isShared)
        return draw(drawing, *painter, boundingRect());
    const QSize size = (boundingRect().size() * painter->deviceTransform().m11()).toSize();
    // Rows of a list show the same few drawings.
    const QString key = QStringLiteral("%1x%2 ").arg(size.width()).arg(size.height()) + QString::fromUtf8(drawing);
    QPixmap picture;
    if (!QPixmapCache::find(key, &picture)) {
        picture = QPixmap(size);
        picture.fill(Qt::transparent);
        QPainter inner(&picture);
        inner.setRenderHint(QPainter::Antialiasing);
        draw(drawing, inner, picture.rect());
        inner.end();
        QPixmapCache::insert(key, picture);
    }
    painter->drawPixmap(boundingRect(), picture, picture.rect());
}

} // namespace discal::drawings
