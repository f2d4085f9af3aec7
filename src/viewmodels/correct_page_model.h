#pragma once

#include "viewmodels/failure_model.h"

#include <QObject>

namespace discal::viewmodels {

/// Says anew what was written of a butterfly. What is chosen here is written with accept(), each field as a correction
/// of the line that said it; a measure or note that no line has is written as measured.
class CorrectPageModel : public QObject {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by main")

    Q_PROPERTY(QString title READ title NOTIFY refreshed)
    /// As written
    Q_PROPERTY(QString codeWritten READ codeWritten NOTIFY refreshed)
    Q_PROPERTY(QString forewingWritten READ forewingWritten NOTIFY refreshed)
    Q_PROPERTY(QString timeWritten READ timeWritten NOTIFY refreshed)
    Q_PROPERTY(QString noteWritten READ noteWritten NOTIFY refreshed)
    /// As chosen here
    Q_PROPERTY(QString sex MEMBER m_sex NOTIFY refreshed)
    Q_PROPERTY(QString origin MEMBER m_origin NOTIFY refreshed)
    Q_PROPERTY(QString code MEMBER m_code NOTIFY refreshed)
    Q_PROPERTY(QString forewing MEMBER m_forewing NOTIFY refreshed)
    Q_PROPERTY(QString time MEMBER m_time NOTIFY refreshed)
    Q_PROPERTY(QString note MEMBER m_note NOTIFY refreshed)
    /// "seen again", "slip" or empty
    Q_PROPERTY(QString why MEMBER m_why NOTIFY refreshed)
    /// "sex: male, was female": what accept() will write; empty when nothing differs
    Q_PROPERTY(QString changes READ changes NOTIFY refreshed)
    Q_PROPERTY(discal::viewmodels::FailureModel* failure READ failure CONSTANT)

public:
    explicit CorrectPageModel(FieldPhone& phone, QObject* parent = nullptr);
    [[nodiscard]] QString title() const { return m_title; }
    [[nodiscard]] QString codeWritten() const { return m_written.code; }
    [[nodiscard]] QString forewingWritten() const { return m_written.forewing; }
    [[nodiscard]] QString timeWritten() const { return m_written.time; }
    [[nodiscard]] QString noteWritten() const { return m_written.note; }
    [[nodiscard]] QString changes() const;
    [[nodiscard]] FailureModel* failure() { return &m_failure; }

    /// Reads this butterfly (an id); nothing is chosen yet.
    Q_INVOKABLE void begin(const QString& butterfly);
    /// Writes what differs. True when all is saved; what was saved before a refusal stays saved.
    Q_INVOKABLE bool accept();

signals:
    void refreshed();

private:
    struct Values {
        QString sex;
        QString origin;
        QString code;
        QString forewing;
        QString time;
        QString note;
    };
    /// The last line that says `field` of it, and what the member is called there.
    struct Saying {
        journal::Uuid line;
        std::string field;
    };
    [[nodiscard]] std::optional<Saying> saying(const std::string& field);
    [[nodiscard]] Result<services::Saved> write(const std::string& field, const std::string& value);
    [[nodiscard]] Result<std::string> utcOf(const QString& clock);

    FieldPhone& m_phone;
    FailureModel m_failure;
    std::string m_id;
    QString m_title;
    Values m_written;
    QString m_sex;
    QString m_origin;
    QString m_code;
    QString m_forewing;
    QString m_time;
    QString m_note;
    QString m_why;
};

} // namespace discal::viewmodels
