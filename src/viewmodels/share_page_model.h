#pragma once

#include "viewmodels/failure_model.h"

namespace discal::viewmodels {

/// A safe copy of the whole journal, or the session's butterflies as a table, into a folder that other programs see.
class SharePageModel : public QObject {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by main")

    /// The folder's last two names
    Q_PROPERTY(QString folderName READ folderName CONSTANT)
    /// What was kept: a sentence with the file's name; empty before
    Q_PROPERTY(QString done READ done NOTIFY changed)
    /// What could not be saved and so is in no copy, with day, time and place; empty while all is saved
    Q_PROPERTY(QString unsaved READ unsaved NOTIFY changed)
    Q_PROPERTY(int butterflies READ butterflies NOTIFY changed)
    Q_PROPERTY(discal::viewmodels::FailureModel* failure READ failure CONSTANT)

public:
    /// `folder` is made when something is first kept in it.
    SharePageModel(FieldPhone& phone, QString folder, QObject* parent = nullptr);
    [[nodiscard]] QString folderName() const;
    [[nodiscard]] QString done() const { return m_done; }
    [[nodiscard]] QString unsaved() const { return m_unsaved; }
    [[nodiscard]] int butterflies() const;
    [[nodiscard]] FailureModel* failure() { return &m_failure; }

    /// What pages say is not saved; empty strings count for nothing. It happened now, and here.
    void setUnsaved(QStringList words);
    /// Checks the journal and copies it, under a name with the date. What is not saved is put beside it in words.
    Q_INVOKABLE void keepCopy();
    /// The butterflies of the session as CSV (RFC 4180).
    Q_INVOKABLE void keepTable();
    /// When the page opens: nothing was kept yet.
    Q_INVOKABLE void begin();

    /// The folder of a person's documents.
    [[nodiscard]] static QString documentsFolder();

signals:
    void changed();

private:
    /// A path in the folder that no file has.
    [[nodiscard]] Result<QString> freshPath(const QString& ending);
    [[nodiscard]] Result<std::string> table();
    /// Whole or not at all.
    [[nodiscard]] static bool write(const QString& path, const QByteArray& text);
    /// What is not saved as a text file; its name, empty when there is nothing to tell.
    [[nodiscard]] Result<QString> keepUnsaved();

    FieldPhone& m_phone;
    FailureModel m_failure;
    QString m_folder;
    QString m_done;
    QStringList m_unsavedWords;
    QString m_unsaved;
};

} // namespace discal::viewmodels
