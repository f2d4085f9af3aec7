#pragma once

#include "map/map_sheet.h"
#include "map_page_model.h"

#include <QQuickPaintedItem>
#include <QThreadPool>
#include <memory>

namespace discal::map {

/// The map on a page: ground, butterflies, sites, where we are, scale and north. It draws and says how large it is; what
/// is shown, and what fingers do, is the model's.
class MapItem : public QQuickPaintedItem {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(discal::viewmodels::MapPageModel* map MEMBER m_map WRITE setMap NOTIFY mapChanged REQUIRED)
    Q_PROPERTY(QColor land MEMBER m_land NOTIFY styleChanged)
    Q_PROPERTY(QColor water MEMBER m_water NOTIFY styleChanged)
    Q_PROPERTY(QColor shore MEMBER m_shore NOTIFY styleChanged)
    Q_PROPERTY(QColor county MEMBER m_county NOTIFY styleChanged)
    Q_PROPERTY(QColor region MEMBER m_region NOTIFY styleChanged)
    Q_PROPERTY(QColor ink MEMBER m_ink NOTIFY styleChanged)
    Q_PROPERTY(QColor quiet MEMBER m_quiet NOTIFY styleChanged)
    Q_PROPERTY(QColor paper MEMBER m_paper NOTIFY styleChanged)
    Q_PROPERTY(QColor aster MEMBER m_aster NOTIFY styleChanged)
    Q_PROPERTY(QColor gold MEMBER m_gold NOTIFY styleChanged)
    Q_PROPERTY(QString family MEMBER m_family NOTIFY styleChanged)
    Q_PROPERTY(qreal textScale MEMBER m_textScale NOTIFY styleChanged)
    /// A cross in the middle, for placing what it points at
    Q_PROPERTY(bool hasCross MEMBER m_hasCross NOTIFY styleChanged)

public:
    explicit MapItem(QQuickItem* parent = nullptr);
    void setMap(viewmodels::MapPageModel* map);
    void paint(QPainter* painter) override;

signals:
    void mapChanged();
    void styleChanged();

protected:
    void geometryChange(const QRectF& newGeometry, const QRectF& oldGeometry) override;

private:
    void tellApart();
    [[nodiscard]] double density() const;
    /// While a finger pulls: the ground that is coming into the window, on a thread of its own.
    void drawAhead();
    void takeAhead(MapSheet& sheet, const MapStyle& drawnIn);
    [[nodiscard]] MapStyle style() const;
    [[nodiscard]] std::vector<QRectF> areasOfMarks() const;

    viewmodels::MapPageModel* m_map{nullptr};
    MapSheet m_sheet;
    MapStyle m_drawnIn;
    const place::Gazetteer* m_drawnFrom{nullptr};
    std::size_t m_drawnMarks{0};
    QColor m_land, m_water, m_shore, m_county, m_region, m_ink, m_quiet, m_paper, m_aster, m_gold;
    QString m_family;
    qreal m_textScale{1};
    bool m_hasCross{false};
    bool m_isDrawingAhead{false};
    QThreadPool m_drawer;  ///< the last member: what is under way ends before all else does
};

} // namespace discal::map
