#pragma once

#include "core/tag/label.h"
#include "viewmodels/failure_model.h"

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
    /// What is said below is off its label: that tells what was printed, not who has it. Until it is said that it is here.
    Q_PROPERTY(bool isFromLabel READ isFromLabel NOTIFY judged)
    Q_PROPERTY(QString first MEMBER m_first NOTIFY drafted)
    Q_PROPERTY(QString countText MEMBER m_countText NOTIFY drafted)
    Q_PROPERTY(int perRow MEMBER m_perRow NOTIFY drafted)
    /// "RKD 001-025", once both are said; and "25 tags".
    Q_PROPERTY(QString understood READ understood NOTIFY judged)
    Q_PROPERTY(QString understoodCount READ understoodCount NOTIFY judged)
    /// What the first code may mean where a glyph can be taken for another: one is to be chosen.
    Q_PROPERTY(QStringList readings READ readings NOTIFY judged)
    /// What is still to be said, or can't be.
    Q_PROPERTY(QString advice READ advice NOTIFY judged)
    Q_PROPERTY(bool canReceive READ canReceive NOTIFY judged)
    Q_PROPERTY(discal::viewmodels::FailureModel* failure READ failure CONSTANT)

public:
    enum Role { NameRole = Qt::UserRole + 1, HintRole, FreeRole, MarksRole, IsHereRole };

    explicit SheetsModel(FieldPhone& phone, QObject* parent = nullptr);

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;

    [[nodiscard]] bool isFirstStart() const { return m_isFirstStart; }
    [[nodiscard]] QString belief();
    [[nodiscard]] QString summary();
    [[nodiscard]] QString understood() const;
    [[nodiscard]] QString understoodCount() const;
    [[nodiscard]] QStringList readings() const { return m_readings; }
    [[nodiscard]] QString advice() const { return m_advice; }
    [[nodiscard]] bool canReceive() const { return m_run.has_value(); }
    [[nodiscard]] bool isFromLabel() const { return m_label.has_value(); }
    [[nodiscard]] FailureModel* failure() { return &m_failure; }

    /// Reads the list anew: when its page opens.
    Q_INVOKABLE void look();
    /// One of readings() is what is printed.
    Q_INVOKABLE void choose(const QString& reading);
    /// The camera has read a label, or one tag. A second tag of the same build behind the first is taken for the last.
    void takeLabel(const tag::SheetLabel& label);
    /// It is not with this phone: nothing is taken in.
    Q_INVOKABLE void decline();
    /// Takes the sheet in, as understood. False with `failure` when it can't be.
    Q_INVOKABLE bool receive();

signals:
    void refreshed();
    /// Something was typed or chosen; and what was understood of it
    void drafted();
    void judged();

private:
    struct Row {
        QString name;
        QString hint;
        QStringList marks;
        int free{0};
        bool isHere{false};
    };
    void believe();
    void refresh();
    void understand();

    FieldPhone& m_phone;
    FailureModel m_failure;
    std::vector<Row> m_rows;
    bool m_isFirstStart{true};
    bool m_isBeliefStale{true};
    QString m_belief;
    QString m_summary;
    QString m_first;
    QString m_countText;
    int m_perRow{0};
    std::optional<tag::SheetLabel> m_label;  ///< while what is typed is still what it says
    std::optional<tag::Run> m_run;
    QStringList m_readings;
    QString m_advice;
};

} // namespace discal::viewmodels
