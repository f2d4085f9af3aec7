#pragma once

#include "viewmodels/failure_model.h"

#include <QStringList>
#include <QtQml/qqmlregistration.h>

namespace discal::viewmodels {

/// The spell of field work: its weather, and its end with the effort that went into it. An end can be taken back like
/// any other tap; then the session goes on.
class SessionPageModel : public QObject {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by main")

    Q_PROPERTY(bool isOpen READ isOpen NOTIFY refreshed)
    /// "since 8:32, 13 butterflies"; of one that has ended "8:32 to 10:40"; empty before the first
    Q_PROPERTY(QString when READ when NOTIFY refreshed)
    /// The butterfly that nothing has been said of since it was noted: "RKD 014"; empty when there is none
    Q_PROPERTY(QString inHand READ inHand NOTIFY refreshed)
    /// Readings of the weather, oldest first: "10:32  69 °F, wind 6 mph, cloud 10 %, no rain"
    Q_PROPERTY(QStringList weather READ weather NOTIFY refreshed)
    /// What the session's end says: "128 minutes, 2 people"
    Q_PROPERTY(QString effort READ effort NOTIFY refreshed)
    Q_PROPERTY(discal::viewmodels::FailureModel* failure READ failure CONSTANT)

    // Being typed: the end
    Q_PROPERTY(QString minutes MEMBER m_minutes NOTIFY drafted)
    Q_PROPERTY(QString people MEMBER m_people NOTIFY drafted)
    Q_PROPERTY(QString note MEMBER m_note NOTIFY drafted)
    // Being typed: the weather, in the units of the place where the phone is used
    Q_PROPERTY(QString airUnit READ airUnit CONSTANT)
    Q_PROPERTY(QString windUnit READ windUnit CONSTANT)
    Q_PROPERTY(QString air MEMBER m_air NOTIFY drafted)
    Q_PROPERTY(QString wind MEMBER m_wind NOTIFY drafted)
    /// In quarters of the sky, 0 to 4; -1 until said
    Q_PROPERTY(int cloud MEMBER m_cloud NOTIFY drafted)
    /// 0 rain, 1 none; -1 until said
    Q_PROPERTY(int rain MEMBER m_rain NOTIFY drafted)
    Q_PROPERTY(bool canWriteWeather READ canWriteWeather NOTIFY drafted)

public:
    explicit SessionPageModel(FieldPhone& phone, QObject* parent = nullptr);

    [[nodiscard]] bool isOpen() const { return m_isOpen; }
    [[nodiscard]] QString when() const { return m_when; }
    [[nodiscard]] QString inHand() const { return m_inHand; }
    [[nodiscard]] QStringList weather() const { return m_weather; }
    [[nodiscard]] QString effort() const { return m_effort; }
    [[nodiscard]] FailureModel* failure() { return &m_failure; }
    [[nodiscard]] QString airUnit() const;
    [[nodiscard]] QString windUnit() const;
    [[nodiscard]] bool canWriteWeather() const;

    /// Proposes the minutes since the session opened: its page opens.
    Q_INVOKABLE void begin();
    /// What became of the one in hand.
    Q_INVOKABLE void letGo();
    Q_INVOKABLE void intoCage();
    /// Ends the session. False with `failure`; also while one is in hand.
    Q_INVOKABLE bool end();
    /// Empties the weather's fields: its page opens.
    Q_INVOKABLE void beginWeather();
    Q_INVOKABLE bool writeWeather();

signals:
    void refreshed();
    void drafted();

private:
    void refresh();
    [[nodiscard]] QString weatherText(const boost::json::object& reading) const;

    FieldPhone& m_phone;
    FailureModel m_failure;
    bool m_isOpen{false};
    std::string m_openedAt;
    QString m_when;
    QString m_inHand;
    QStringList m_weather;
    QString m_effort;
    QString m_minutes;
    QString m_people;
    QString m_note;
    QString m_air;
    QString m_wind;
    int m_cloud{-1};
    int m_rain{-1};
};

} // namespace discal::viewmodels
