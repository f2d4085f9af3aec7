#pragma once

#include "viewmodels/field_phone.h"
#include "viewmodels/keyed_list_model.h"

#include <QtQml/qqmlregistration.h>

namespace discal::viewmodels {

/// What is worth a look on this phone, gravest first: storage, clock, safe copy, permit, battery, position. None of it
/// stops work. Each has a short line for any page, and for its own page what is safe and what to do.
class TroublesModel : public KeyedListModel {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by main")

    Q_PROPERTY(int count READ count NOTIFY refreshed)
    /// The line of the gravest; empty while all is well. Not a refused position: the Tag page's status says it.
    Q_PROPERTY(QString gravest READ gravest NOTIFY refreshed)

public:
    enum Role {
        TroubleRole = Qt::UserRole + 1,  ///< storage, clock, copy, permit, battery, position
        LineRole,    ///< "Storage is nearly full."
        WordsRole,   ///< what is safe, what to do
        ActionRole,  ///< what a key says that leads to where it can be put right; empty where Discal has no such page
        PageRole,    ///< that page, as Main names it
    };
    Q_ENUM(Role)

    explicit TroublesModel(FieldPhone& phone, QObject* parent = nullptr);
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;

    [[nodiscard]] int count() const { return rowCount(); }
    [[nodiscard]] QString gravest() const;

    /// Of several the gravest is said.
    void setWarnings(const std::vector<storage::Warning>& warnings);
    /// Both empty while copies are made.
    void setCopyTrouble(const QString& line, const QString& words);
    /// "The permit ended on 31 August 2026."; empty while it holds.
    void setPermitPast(const QString& line);
    /// ux.md, section 3
    static constexpr int kLowPercent = 15;
    void setBattery(int percent, bool isRunningDown);
    /// Looks at the clock: what the satellites say, and when the last line was written.
    void look();

signals:
    void refreshed();

private:
    struct Trouble {
        QString line;
        QString words;
        QString action;
        QString page;
        bool operator==(const Trouble&) const = default;
    };
    void set(const QString& key, Trouble trouble);
    [[nodiscard]] QString clockLine(const services::Moment& moment) const;

    FieldPhone& m_phone;
    QHash<QString, Trouble> m_troubles;
};

} // namespace discal::viewmodels
