#pragma once

#include "services/kept_packs.h"
#include "viewmodels/failure_model.h"

#include <QAbstractListModel>
#include <QStringList>
#include <QtQml/qqmlregistration.h>

namespace discal::viewmodels {

/// Boundaries of districts that somebody added (place packs), each by the name of its file; and how to add one.
class BoundariesModel : public QAbstractListModel {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by main")

    /// Where a file lies, as it is being typed
    Q_PROPERTY(QString file MEMBER m_file NOTIFY drafted)
    Q_PROPERTY(bool canTake READ canTake NOTIFY drafted)
    /// The folder that other programs see, its last two names; and the GeoJSON files in it, by name
    Q_PROPERTY(QString folderName READ folderName NOTIFY changed)
    Q_PROPERTY(QStringList found READ found NOTIFY changed)
    /// What was just done: "293 areas taken in."; empty before
    Q_PROPERTY(QString done READ done NOTIFY changed)
    /// "none", or how many files
    Q_PROPERTY(QString summary READ summary NOTIFY changed)
    Q_PROPERTY(discal::viewmodels::FailureModel* failure READ failure CONSTANT)

public:
    enum Role { NameRole = Qt::UserRole + 1, AboutRole };

    /// `folder`: where files are looked for.
    BoundariesModel(FieldPhone& phone, QString folder, QObject* parent = nullptr);
    ~BoundariesModel() override;

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;

    [[nodiscard]] bool canTake() const { return !m_file.trimmed().isEmpty(); }
    [[nodiscard]] QString folderName() const;
    [[nodiscard]] QStringList found() const { return m_found; }
    [[nodiscard]] QString done() const { return m_done; }
    [[nodiscard]] QString summary() const;
    [[nodiscard]] FailureModel* failure() { return &m_failure; }
    void setFolder(const QString& folder);

    /// Reads those that are kept, behind the first screen: that may take a while.
    void load();
    /// The page opens: looks into the folder anew.
    Q_INVOKABLE void begin();
    /// Takes in the file that was typed, or one that was found. On an error nothing changes, and `failure` says why.
    Q_INVOKABLE void take();
    Q_INVOKABLE void takeFound(const QString& name);
    Q_INVOKABLE void remove(const QString& name);

signals:
    void drafted();
    void changed();

private:
    void takeFrom(const QString& path);
    /// The places are put into words by what is there now.
    void tell();
    [[nodiscard]] static QString sentenceFor(const Error& error, const QString& name);

    FieldPhone& m_phone;
    services::KeptPacks m_kept;
    FailureModel m_failure;
    QString m_folder;
    QString m_file;
    QStringList m_found;
    QString m_done;
};

} // namespace discal::viewmodels
