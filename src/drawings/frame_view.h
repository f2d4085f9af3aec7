#pragma once

#include <QImage>
#include <QQuickItem>
#include <QtQml/qqmlregistration.h>

namespace discal::drawings {

/// All in the hue of amber, no lighter than the ink of the Night theme: for eyes that are used to the dark.
[[nodiscard]] QImage inAmber(const QImage& picture);

/// A picture that changes often, such as a camera's: laid down as it is, filling the item, what is too much cut off at
/// both ends. Works with every renderer, which VideoOutput does not.
class FrameView : public QQuickItem {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(QImage picture READ picture WRITE setPicture NOTIFY pictureChanged)
    Q_PROPERTY(bool isAmber MEMBER m_isAmber NOTIFY pictureChanged)

public:
    explicit FrameView(QQuickItem* parent = nullptr);

    [[nodiscard]] QImage picture() const { return m_picture; }
    void setPicture(const QImage& picture);

signals:
    void pictureChanged();

protected:
    QSGNode* updatePaintNode(QSGNode* before, UpdatePaintNodeData* data) override;

private:
    QImage m_picture;
    bool m_isAmber{false};
    bool m_isNew{false};
};

} // namespace discal::drawings
