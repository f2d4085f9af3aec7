#pragma once

#include "viewmodels/field_phone.h"

#include <QAbstractListModel>
#include <QStringList>
#include <QtQml/qqmlregistration.h>
#include <optional>

namespace discal::viewmodels {

/// The sheets that this phone knows of, and the one being taken in.
class SheetsModel : public QAbstractListModel {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by main")

    /// No sheet and no butterfly in the journal: the first start's one question is due.
    Q_PROPERTY(bool isFirstStart READ isFirstStart NOTIFY refreshed)
    /// "This phone believes it holds RKD 001-025. Is that sheet here?" Empty when it holds none.
    Q_PROPERTY(QString belief READ belief NOTIFY refreshed)
    /// "12 free tags on 2 sheets"
    Q_PROPERTY(QString summary READ summary NOTIFY refreshed)

    // The sheet being taken in
    Q_PROPERTY(QString first READ first WRITE setFirst NOTIFY drafted)
    Q_PROPERTY(QString countText READ countText WRITE setCountText NOTIFY drafted)
    Q_PROPERTY(int perRow READ perRow WRITE setPerRow NOTIFY drafted)
    /// "RKD 001-025", once both are said; and "25 tags".
    Q_PROPERTY(QString understood READ understood NOTIFY drafted)
    Q_PROPERTY(QString understoodCount READ understoodCount NOTIFY drafted)
    /// What the first code may mean where a glyph can be taken for another: one is to be chosen.
    Q_PROPERTY(QStringList readings READ readings NOTIFY drafted)
    /// What is still to be said, or can't be.
    Q_PROPERTY(QString advice READ advice NOTIFY drafted)
    Q_PROPERTY(bool canReceive READ canReceive NOTIFY drafted)
    Q_PROPERTY(QString failure READ failure NOTIFY failureChanged)

public:
    enum Role { NameRole = Qt::UserRole + 1, HintRole, FreeRole, MarksRole, IsHereRole };

    explicit SheetsModel(FieldPhone& phone, QObject* parent = nullptr);

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;

    [[nodiscard]] bool isFirstStart() const { return m_isFirstStart; }
    [[nodiscard]] QString belief() const { return m_belief; }
    [[nodiscard]] QString summary() const { return m_summary; }
    [[nodiscard]] QString first() const { return m_first; }
    [[nodiscard]] QString countText() const { return m_countText; }
    [[nodiscard]] int perRow() const { return m_perRow; }
    [[nodiscard]] QString understood() const;
    [[nodiscard]] QString understoodCount() const;
    [[nodiscard]] QStringList readings() const { return m_readings; }
    [[nodiscard]] QString advice() const { return m_advice; }
    [[nodiscard]] bool canReceive() const { return m_run.has_value(); }
    [[nodiscard]] QString failure() const { return m_failure; }
    void setFirst(const QString& first);
    void setCountText(const QString& count);
    void setPerRow(int perRow);

    /// Reads the list anew: when its page opens.
    Q_INVOKABLE void look();
    /// One of readings() is what is printed.
    Q_INVOKABLE void choose(const QString& reading);
    /// Takes the sheet in, as understood. False with `failure` when it can't be.
    Q_INVOKABLE bool receive();
    Q_INVOKABLE void dismissFailure();

signals:
    void refreshed();
    void drafted();
    void failureChanged();

private:
    struct Row {
        QString name;
        QString hint;
        QStringList marks;
        int free{0};
        bool isHere{false};
    };
    void refresh();
    void understand();

    FieldPhone& m_phone;
    std::vector<Row> m_rows;
    bool m_isFirstStart{true};
    QString m_belief;
    QString m_summary;
    QString m_first;
    QString m_countText;
    int m_perRow{0};
    std::optional<tag::Run> m_run;
    QStringList m_readings;
    QString m_advice;
    QString m_failure;
};

} // namespace discal::viewmodels
