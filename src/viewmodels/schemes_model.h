#pragma once

#include "viewmodels/field_phone.h"

#include <QAbstractListModel>
#include <QtQml/qqmlregistration.h>

namespace discal::viewmodels {

/// The code schemes of this phone's sheets: how codes are built, with an example, and how they stand on the paper.
class SchemesModel : public QAbstractListModel {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by main")

    /// "RKD 001"; or how many there are
    Q_PROPERTY(QString summary READ summary NOTIFY refreshed)

public:
    enum Role {
        ExampleRole = Qt::UserRole + 1,  ///< the first code of the first such sheet
        ShapeRole,                       ///< "3 letters, never I or O; 3 digits"
        PaperRole,                       ///< "2 sheets, 5 or 10 tags in a printed row"
    };

    explicit SchemesModel(FieldPhone& phone, QObject* parent = nullptr);

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;
    [[nodiscard]] QString summary() const;

    /// Reads the sheets anew: when a page opens that shows them.
    Q_INVOKABLE void look();

signals:
    void refreshed();

private:
    struct Row {
        tag::Scheme scheme;
        QString example;
        int sheets{0};
        std::vector<int> perRow;  ///< the different ones, in order
    };
    [[nodiscard]] static QString shapeText(const tag::Scheme& scheme);
    [[nodiscard]] static QString paperText(const Row& row);

    FieldPhone& m_phone;
    std::vector<Row> m_rows;
};

} // namespace discal::viewmodels
