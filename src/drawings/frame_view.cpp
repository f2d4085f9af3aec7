#include "drawings/frame_view.h"

#include <QQuickWindow>
#include <QSGImageNode>
#include <algorithm>
#include <utility>

namespace discal::drawings {

QImage inAmber(const QImage& picture) {
    QImage image = picture.convertToFormat(QImage::Format_RGB32);
    for (int y = 0; y < image.height(); ++y) {
        auto* row = reinterpret_cast<QRgb*>(image.scanLine(y));
        for (int x = 0; x < image.width(); ++x) {
            const int grey = qGray(row[x]);
            row[x] = qRgb(grey * 3 / 4, grey * 15 / 32, grey / 4);
        }
    }
    return image;
}

FrameView::FrameView(QQuickItem* parent) : QQuickItem(parent) {
    setFlag(ItemHasContents);
    connect(this, &FrameView::pictureChanged, this, [this] {
        m_isNew = true;
        update();
    });
}

void FrameView::setPicture(const QImage& picture) {
    m_picture = picture;
    emit pictureChanged();
}

QSGNode* FrameView::updatePaintNode(QSGNode* before, UpdatePaintNodeData*) {
    auto* node = static_cast<QSGImageNode*>(before);
    if (m_picture.isNull() || width() <= 0 || height() <= 0) {
        delete node;
        return nullptr;
    }
    if (node == nullptr) {
        node = window()->createImageNode();
        node->setOwnsTexture(true);
        node->setFiltering(QSGTexture::Linear);
        m_isNew = true;
    }
    if (std::exchange(m_isNew, false))
        node->setTexture(window()->createTextureFromImage(m_isAmber ? inAmber(m_picture) : m_picture));
    const QSizeF size = m_picture.size();
    const qreal scale = std::max(width() / size.width(), height() / size.height());
    const QSizeF seen(width() / scale, height() / scale);
    node->setRect(boundingRect());
    node->setSourceRect({(size.width() - seen.width()) / 2, (size.height() - seen.height()) / 2, seen.width(), seen.height()});
    return node;
}

} // namespace discal::drawings
