#pragma once

#include "viewmodels/keyed_list_model.h"
#include "viewmodels/failure_model.h"

#include <QHash>

namespace discal::viewmodels {

/// The Today page: the session's butterflies, newest first, read page by page as somebody scrolls. Lines that passed
/// midnight stay with the evening on which they began, each with its own date.
class TodayPageModel : public KeyedListModel {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by main")

    /// Reads only while it is shown, but for the count
    Q_PROPERTY(bool isShown MEMBER m_isShown NOTIFY isShownChanged)
    /// The butterfly (an id) whose story stands beside the list, where there is room; empty until one is chosen
    Q_PROPERTY(QString chosen MEMBER m_chosen NOTIFY chosenChanged)
    Q_PROPERTY(int total READ total NOTIFY countChanged)
    Q_PROPERTY(QString countText READ countText NOTIFY countChanged)
    /// "5 September 2026": of the evening on which the session began
    Q_PROPERTY(QString day READ day NOTIFY refreshed)
    /// "7 male · 5 female · 1 can't tell"
    Q_PROPERTY(QString sexes READ sexes NOTIFY refreshed)
    /// "9 wild · 4 reared"
    Q_PROPERTY(QString origins READ origins NOTIFY refreshed)
    Q_PROPERTY(bool isOnlyHere READ isOnlyHere NOTIFY refreshed)
    Q_PROPERTY(bool hasPassedMidnight READ hasPassedMidnight NOTIFY refreshed)

public:
    enum Role {
        ButterflyRole = Qt::UserRole + 1,
        LettersRole,
        DigitsRole,
        SexRole,
        MarkRole,   ///< as TagMark draws it
        WhenRole,   ///< "10:42"; with its own date when the session passed midnight
        WhereRole,  ///< site, or what became of it
    };
    Q_ENUM(Role)

    explicit TodayPageModel(FieldPhone& phone, QObject* parent = nullptr);
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;
    [[nodiscard]] bool canFetchMore(const QModelIndex& parent) const override;
    void fetchMore(const QModelIndex& parent) override;

    [[nodiscard]] int total() const { return m_total; }
    [[nodiscard]] QString countText() const { return m_total == 0 ? QString() : QString::number(m_total); }
    [[nodiscard]] QString day() const { return m_day; }
    [[nodiscard]] QString sexes() const { return m_sexes; }
    [[nodiscard]] QString origins() const { return m_origins; }
    [[nodiscard]] bool isOnlyHere() const { return m_isOnlyHere; }
    [[nodiscard]] bool hasPassedMidnight() const { return m_hasPassedMidnight; }

signals:
    void refreshed();
    void countChanged();
    void isShownChanged();
    void chosenChanged();

private:
    struct Row {
        QString letters;
        QString digits;
        QString sex;
        QString mark;
        QString when;
        QString where;
        std::string notedAt;
    };
    void refresh();
    void refreshSummary();
    void take(const std::vector<butterfly::Butterfly>& read, std::vector<QString>& keys);

    FieldPhone& m_phone;
    QHash<QString, Row> m_rows;
    QHash<QString, QString> m_sites;
    std::string m_session;
    QString m_chosen;
    QString m_day;
    QString m_sexes;
    QString m_origins;
    int m_total{0};
    bool m_isOnlyHere{true};
    bool m_hasPassedMidnight{false};
    bool m_isShown{false};
    bool m_isStale{true};
};

} // namespace discal::viewmodels
