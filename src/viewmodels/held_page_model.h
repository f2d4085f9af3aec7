#pragma once

#include "viewmodels/failure_model.h"
#include "viewmodels/keyed_list_model.h"

#include <QHash>
#include <QStringList>

namespace discal::viewmodels {

/// The Held page: who is in which cage since when, by cage and time. All of what is shown go in one act.
class HeldPageModel : public KeyedListModel {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by main")

    Q_PROPERTY(bool isShown MEMBER m_isShown NOTIFY isShownChanged)
    /// In all cages of this phone's journal
    Q_PROPERTY(int heldCount READ heldCount NOTIFY refreshed)
    /// In what is shown
    Q_PROPERTY(int shownCount READ shownCount NOTIFY refreshed)
    /// For the bar: empty when there is none
    Q_PROPERTY(QString countText READ countText NOTIFY refreshed)
    Q_PROPERTY(QString cageInUse READ cageInUse NOTIFY refreshed)
    Q_PROPERTY(QStringList knownCages READ knownCages NOTIFY refreshed)
    /// Empty where there is one cage only; else "all cages" and each of them
    Q_PROPERTY(QStringList cages READ cages NOTIFY refreshed)
    Q_PROPERTY(int chosenCage READ chosenCage NOTIFY refreshed)
    Q_PROPERTY(QString summary READ summary NOTIFY refreshed)
    Q_PROPERTY(QString caution READ caution NOTIFY refreshed)
    Q_PROPERTY(QString goText READ goText NOTIFY refreshed)
    /// How long is too long in a cage, in hours. Our choice: a day; held longer it must be fed (common practice).
    Q_PROPERTY(int tooLongHours READ tooLongHours WRITE setTooLongHours NOTIFY refreshed)
    /// What was done last, and whether it can be taken back from here
    Q_PROPERTY(QString lastText READ lastText NOTIFY refreshed)
    Q_PROPERTY(bool canUndo READ canUndo NOTIFY refreshed)
    /// Some were let go from a cage in the last hours: exceptions can still be said
    Q_PROPERTY(bool canExceptAfterwards READ canExceptAfterwards NOTIFY refreshed)
    Q_PROPERTY(discal::viewmodels::FailureModel* failure READ failure CONSTANT)

public:
    enum Role {
        ButterflyRole = Qt::UserRole + 1,  ///< its id
        LettersRole,
        DigitsRole,
        SexRole,
        SinceRole,    ///< "9:05", with the date when it is not today
        OriginRole,
        TooLongRole,  ///< empty, or how long it has been in, in words
        CageRole,
    };
    Q_ENUM(Role)

    explicit HeldPageModel(FieldPhone& phone, QObject* parent = nullptr);
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;

    [[nodiscard]] int heldCount() const { return m_heldCount; }
    [[nodiscard]] int shownCount() const { return rowCount(); }
    [[nodiscard]] QString countText() const { return m_heldCount == 0 ? QString() : QString::number(m_heldCount); }
    [[nodiscard]] QStringList cages() const;
    [[nodiscard]] int chosenCage() const;
    [[nodiscard]] QString summary() const { return m_summary; }
    [[nodiscard]] QString caution() const { return m_caution; }
    [[nodiscard]] QString goText() const { return m_goText; }
    [[nodiscard]] int tooLongHours() const { return m_tooLongHours; }
    void setTooLongHours(int hours);
    [[nodiscard]] QString lastText() const { return m_lastText; }
    [[nodiscard]] bool canUndo() const { return m_canUndo; }
    [[nodiscard]] bool canExceptAfterwards() const { return m_lastGone.has_value(); }
    [[nodiscard]] FailureModel* failure() { return &m_failure; }

    /// The cage that the next ones go into; empty: the one without a name.
    [[nodiscard]] QString cageInUse() const;
    /// Those that have somebody in them, and the one in use; by name.
    [[nodiscard]] QStringList knownCages() const;
    Q_INVOKABLE void useCage(const QString& name);
    /// 0 is all cages.
    Q_INVOKABLE void chooseCage(int which);
    /// All that are shown, in one act.
    Q_INVOKABLE void allGo();
    /// Its tag lies loose in the cage: it gets the next one.
    Q_INVOKABLE void lostTag(const QString& butterfly);
    Q_INVOKABLE void undo();
    /// Time goes on: once a minute while the page is shown.
    Q_INVOKABLE void refresh();

    /// For the page of exceptions ----------------------------------------------------------------------------

    /// Those shown: all that would go.
    [[nodiscard]] std::vector<std::string> shownIds() const;
    /// Lets go what is shown, but for those who stay and those who lay dead. One act.
    [[nodiscard]] bool letGo(const std::vector<std::string>& staying, const std::vector<std::string>& dead);
    /// What went from a cage in the last act of letting go that stands.
    struct Gone {
        journal::Uuid act;
        std::vector<std::string> ids;
        std::string at;
        std::int64_t offsetMin{0};
    };
    [[nodiscard]] std::optional<Gone> lastGone();
    void say(const QString& sentence);

signals:
    void refreshed();
    void isShownChanged();

private:
    struct Row {
        QString letters;
        QString digits;
        QString sex;
        QString since;
        QString origin;
        QString tooLong;
        QString cage;
    };
    /// "RKD 014, female"
    [[nodiscard]] QString nameOf(const QString& butterfly) const;

    FieldPhone& m_phone;
    FailureModel m_failure;
    QHash<QString, Row> m_rows;
    std::vector<std::string> m_cageNames;      ///< all that hold somebody
    std::optional<std::string> m_cage;         ///< the one shown; none: all
    std::optional<Gone> m_lastGone;
    QString m_summary;
    QString m_caution;
    QString m_goText;
    QString m_lastText;
    QString m_said;                            ///< after an act of this page
    int m_heldCount{0};
    int m_tooLongHours{24};
    bool m_canUndo{false};
    bool m_isShown{false};
};

} // namespace discal::viewmodels
