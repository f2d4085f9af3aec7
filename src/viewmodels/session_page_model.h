#pragma once

#include "viewmodels/failure_model.h"

#include <QString>
#include <QtQml/qqmlregistration.h>

namespace discal::viewmodels {

/// The end of a spell of field work, with the effort that went into it. It can be taken back like any other tap; then
/// the session goes on.
class SessionPageModel : public QObject {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by main")

    Q_PROPERTY(bool isOpen READ isOpen NOTIFY refreshed)
    /// "since 8:32, 13 butterflies"; of one that has ended "8:32 to 10:40"; empty before the first
    Q_PROPERTY(QString when READ when NOTIFY refreshed)
    /// The butterfly that nothing has been said of since it was noted: "RKD 014"; empty when there is none
    Q_PROPERTY(QString inHand READ inHand NOTIFY refreshed)
    /// What the session's end says: "128 minutes, 2 people"
    Q_PROPERTY(QString effort READ effort NOTIFY refreshed)
    Q_PROPERTY(discal::viewmodels::FailureModel* failure READ failure CONSTANT)

    // Being typed: the end
    Q_PROPERTY(QString minutes MEMBER m_minutes NOTIFY drafted)
    Q_PROPERTY(QString people MEMBER m_people NOTIFY drafted)
    Q_PROPERTY(QString note MEMBER m_note NOTIFY drafted)

public:
    explicit SessionPageModel(FieldPhone& phone, QObject* parent = nullptr);

    [[nodiscard]] bool isOpen() const { return m_isOpen; }
    [[nodiscard]] QString when() const { return m_when; }
    [[nodiscard]] QString inHand() const { return m_inHand; }
    [[nodiscard]] QString effort() const { return m_effort; }
    [[nodiscard]] FailureModel* failure() { return &m_failure; }

    /// Its page opens. Proposes the minutes since the session began; what was typed for this session stays, also when
    /// another page was looked at meanwhile.
    Q_INVOKABLE void begin();
    /// What became of the one in hand.
    Q_INVOKABLE void letGo();
    Q_INVOKABLE void intoCage();
    /// Ends the session. False with `failure`; also while one is in hand.
    Q_INVOKABLE bool end();

signals:
    void refreshed();
    void drafted();

private:
    void refresh();

    FieldPhone& m_phone;
    FailureModel m_failure;
    bool m_isOpen{false};
    std::string m_openedAt;
    QString m_when;
    QString m_inHand;
    QString m_effort;
    QString m_minutes;
    QString m_people;
    QString m_note;
    std::string m_session;
    /// The session that the typed fields belong to, and the minutes that nobody typed
    std::string m_draftOf;
    QString m_proposed;
};

} // namespace discal::viewmodels
