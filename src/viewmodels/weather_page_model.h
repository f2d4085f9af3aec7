#pragma once

#include "viewmodels/failure_model.h"

#include <QStringList>
#include <QtQml/qqmlregistration.h>

namespace discal::viewmodels {

/// The weather of the session: what was read so far, and the reading being typed. Typed and shown in the units of the
/// place where the phone is used. A reading opens a session, as a butterfly does.
class WeatherPageModel : public QObject {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by main")

    /// Oldest first: "10:32  69 °F, wind 6 mph, cloud 10 %, no rain"
    Q_PROPERTY(QStringList readings READ readings NOTIFY refreshed)
    Q_PROPERTY(QString airUnit READ airUnit CONSTANT)
    Q_PROPERTY(QString windUnit READ windUnit CONSTANT)
    Q_PROPERTY(discal::viewmodels::FailureModel* failure READ failure CONSTANT)

    // Being typed
    Q_PROPERTY(QString air MEMBER m_air NOTIFY drafted)
    Q_PROPERTY(QString wind MEMBER m_wind NOTIFY drafted)
    /// In quarters of the sky, 0 to 4; -1 until said
    Q_PROPERTY(int cloud MEMBER m_cloud NOTIFY drafted)
    /// 0 rain, 1 none; -1 until said
    Q_PROPERTY(int rain MEMBER m_rain NOTIFY drafted)
    Q_PROPERTY(bool canWrite READ canWrite NOTIFY drafted)

public:
    explicit WeatherPageModel(FieldPhone& phone, QObject* parent = nullptr);

    [[nodiscard]] QStringList readings() const { return m_readings; }
    [[nodiscard]] QString airUnit() const;
    [[nodiscard]] QString windUnit() const;
    [[nodiscard]] FailureModel* failure() { return &m_failure; }
    [[nodiscard]] bool canWrite() const;

    /// Empties the fields: its page opens.
    Q_INVOKABLE void begin();
    /// False with `failure`.
    Q_INVOKABLE bool write();

signals:
    void refreshed();
    void drafted();

private:
    void refresh();
    [[nodiscard]] QString textOf(const boost::json::object& reading) const;

    FieldPhone& m_phone;
    FailureModel m_failure;
    QStringList m_readings;
    QString m_air;
    QString m_wind;
    int m_cloud{-1};
    int m_rain{-1};
};

} // namespace discal::viewmodels
