#pragma once

#include "viewmodels/field_phone.h"

#include <QAbstractListModel>
#include <QtQml/qqmlregistration.h>

namespace discal::viewmodels {

/// Towns by the first letters of their names, the nearest and largest first; from the gazetteer, without a network. They are
/// sought about where we are, or the chosen site, or else the site that was named last.
class TownsModel : public QAbstractListModel {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by main")

    Q_PROPERTY(QString typed MEMBER m_typed NOTIFY drafted)
    /// Why nothing is listed; mostly empty
    Q_PROPERTY(QString advice READ advice NOTIFY found)

public:
    enum Role {
        NameRole = Qt::UserRole + 1,
        WhereRole,  ///< "Vernon County, Wisconsin"
        AwayRole,   ///< "12 km"; empty where nobody knows from where
    };
    /// A screen full.
    static constexpr std::size_t kMost = 7;

    explicit TownsModel(FieldPhone& phone, QObject* parent = nullptr);

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;
    [[nodiscard]] QString advice() const;

    /// Nothing typed: the page opens.
    Q_INVOKABLE void begin();
    Q_INVOKABLE QString nameOf(int row) const;
    /// [latitude, longitude (degrees times 10^7), uncertainty (millimetres)]: the town's extent, and what its coordinates are
    /// off (place::PointRadius). Empty beyond the rows.
    Q_INVOKABLE QVariantList placeOf(int row) const;

signals:
    void drafted();
    void found();

private:
    void search();
    [[nodiscard]] std::optional<place::LatLon> from() const;

    FieldPhone& m_phone;
    QString m_typed;
    std::vector<place::FoundTown> m_rows;
};

} // namespace discal::viewmodels
