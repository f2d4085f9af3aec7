#pragma once

#include "viewmodels/failure_model.h"

#include <QAbstractListModel>
#include <QtQml/qqmlregistration.h>

namespace discal::viewmodels {

/// The station's helpers by initials, and the visitors of today: whose hand puts the tag on, and who writes.
class PeopleModel : public QAbstractListModel {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by main")

    /// Initials being typed
    Q_PROPERTY(QString initials MEMBER m_initials NOTIFY drafted)
    Q_PROPERTY(bool canAdd READ canAdd NOTIFY drafted)
    /// Who writes; empty until said
    Q_PROPERTY(QString recorder READ recorder NOTIFY refreshed)
    Q_PROPERTY(QString tagger READ tagger NOTIFY refreshed)
    /// "visitor 3", who comes next
    Q_PROPERTY(QString nextVisitorName READ nextVisitorName NOTIFY refreshed)
    Q_PROPERTY(discal::viewmodels::FailureModel* failure READ failure CONSTANT)

public:
    enum Role { IdRole = Qt::UserRole + 1, NameRole, IsTaggerRole, IsRecorderRole };

    explicit PeopleModel(FieldPhone& phone, QObject* parent = nullptr);

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;

    [[nodiscard]] bool canAdd() const;
    [[nodiscard]] QString recorder() const { return m_recorder; }
    [[nodiscard]] QString tagger() const { return m_tagger; }
    [[nodiscard]] QString nextVisitorName() const { return tr("visitor %1").arg(m_nextVisitor); }
    [[nodiscard]] FailureModel* failure() { return &m_failure; }

    /// Reads who there is: the page opens. A centre has thousands of visitors a year, so no tap elsewhere pays for it.
    Q_INVOKABLE void begin();
    /// Whose hand puts the next tags on; stays until it is said anew.
    Q_INVOKABLE void pickTagger(const QString& person);
    /// Who judges and writes from now on.
    Q_INVOKABLE void pickRecorder(const QString& person);
    /// Names the one being typed, or finds the one who goes by these initials, and picks it. False with `failure`.
    Q_INVOKABLE bool addAsTagger();
    Q_INVOKABLE bool addAsRecorder();
    /// A visitor needs no name. The next number of the day, as tagger.
    Q_INVOKABLE bool nextVisitor();

signals:
    void refreshed();
    void drafted();

private:
    struct Row {
        std::string id;
        QString name;
        bool isVisitor{false};
    };
    void read();
    void refresh();
    [[nodiscard]] std::optional<journal::Uuid> add();

    FieldPhone& m_phone;
    FailureModel m_failure;
    std::vector<Row> m_rows;
    QString m_initials;
    QString m_recorder;
    QString m_tagger;
    std::int64_t m_nextVisitor{1};
};

} // namespace discal::viewmodels
