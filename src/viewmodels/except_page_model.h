#pragma once

#include "viewmodels/held_page_model.h"

namespace discal::viewmodels {

/// All go, except: those that stayed or died are tapped. Before, or afterwards for the last cage that was let go.
class ExceptPageModel : public KeyedListModel {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by main")

    Q_PROPERTY(bool isAfterwards READ isAfterwards NOTIFY refreshed)
    Q_PROPERTY(int goCount READ goCount NOTIFY refreshed)
    /// "2 stay, 1 died": empty while all go
    Q_PROPERTY(QString exceptText READ exceptText NOTIFY refreshed)
    /// There is something to write
    Q_PROPERTY(bool canAccept READ canAccept NOTIFY refreshed)
    Q_PROPERTY(discal::viewmodels::FailureModel* failure READ failure CONSTANT)

public:
    enum Choice { Goes, Stays, Died };
    Q_ENUM(Choice)
    enum Role {
        ButterflyRole = Qt::UserRole + 1,
        LettersRole,
        DigitsRole,
        SexRole,
        ChoiceRole,      ///< a Choice
        ChoiceTextRole,  ///< in words
    };
    Q_ENUM(Role)

    ExceptPageModel(FieldPhone& phone, HeldPageModel& held, QObject* parent = nullptr);
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;
    [[nodiscard]] bool isAfterwards() const { return m_isAfterwards; }
    [[nodiscard]] int goCount() const { return countOf(Goes); }
    [[nodiscard]] QString exceptText() const;
    [[nodiscard]] bool canAccept() const;
    [[nodiscard]] FailureModel* failure() { return &m_failure; }

    /// "afterwards", or anything else for before. Reads the list anew.
    Q_INVOKABLE void begin(const QString& when);
    /// Goes, stays, died, goes ...; what is written already as an exception does not go again.
    Q_INVOKABLE void next(const QString& butterfly);
    /// Writes it. True when all is saved.
    Q_INVOKABLE bool accept();

signals:
    void refreshed();

private:
    struct Row {
        QString letters;
        QString digits;
        QString sex;
        Choice written{Goes};
        Choice choice{Goes};
    };
    [[nodiscard]] int countOf(Choice choice) const;
    [[nodiscard]] QString choiceText(Choice choice) const;

    FieldPhone& m_phone;
    HeldPageModel& m_held;
    FailureModel m_failure;
    QHash<QString, Row> m_rows;
    bool m_isAfterwards{false};
};

} // namespace discal::viewmodels
