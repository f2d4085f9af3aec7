#pragma once

#include "viewmodels/failure_model.h"

#include <QtQml/qqmlregistration.h>

namespace discal::viewmodels {

/// The station's name and its permit, and what this phone is called. None of it is needed to tag; a permit past its last
/// day is said, and stops nothing: what may be done then is for local rules.
class SetupPageModel : public QObject {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by main")

    Q_PROPERTY(QString station READ station NOTIFY refreshed)
    /// "SCP-118, to 31 December 2026"; empty until said
    Q_PROPERTY(QString permit READ permit NOTIFY refreshed)
    /// A plain sentence when the permit's last day is past; else empty. For this page, and where one tags.
    Q_PROPERTY(QString permitPast READ permitPast NOTIFY refreshed)
    /// This device's id, in groups: what another phone types to hand a run here
    Q_PROPERTY(QString deviceCode READ deviceCode CONSTANT)
    /// What people call it, so that others know whose tags and lines they see
    Q_PROPERTY(QString deviceName READ deviceName NOTIFY refreshed)
    /// The station is another device's to change; what is said here is kept, and marked to check.
    Q_PROPERTY(bool isOffice READ isOffice NOTIFY refreshed)

    // Being typed
    Q_PROPERTY(QString name MEMBER m_name NOTIFY drafted)
    Q_PROPERTY(QString permitNumber MEMBER m_permitNumber NOTIFY drafted)
    Q_PROPERTY(QString lastDay MEMBER m_lastDay NOTIFY drafted)
    Q_PROPERTY(QString newDeviceName MEMBER m_newDeviceName NOTIFY drafted)
    /// The day as understood, its month by name; or how to write it
    Q_PROPERTY(QString understoodDay READ understoodDay NOTIFY drafted)
    Q_PROPERTY(bool canSave READ canSave NOTIFY drafted)
    Q_PROPERTY(discal::viewmodels::FailureModel* failure READ failure CONSTANT)

public:
    explicit SetupPageModel(FieldPhone& phone, QObject* parent = nullptr);

    [[nodiscard]] QString station() const { return m_station; }
    [[nodiscard]] QString permit() const { return m_permit; }
    [[nodiscard]] QString permitPast() const { return m_permitPast; }
    [[nodiscard]] QString deviceCode() const;
    [[nodiscard]] QString deviceName() const { return m_deviceName; }
    [[nodiscard]] bool isOffice() const;
    [[nodiscard]] QString understoodDay() const;
    [[nodiscard]] bool canSave() const;
    [[nodiscard]] FailureModel* failure() { return &m_failure; }

    /// Fills the fields with what stands now: their page opens.
    Q_INVOKABLE void begin();
    /// Founds the station where there is none, and keeps what has changed. False with `failure`.
    Q_INVOKABLE bool save();
    /// The same for this phone's name.
    Q_INVOKABLE void beginPhone();
    Q_INVOKABLE bool savePhone();

signals:
    void refreshed();
    void drafted();

private:
    void refresh();

    FieldPhone& m_phone;
    FailureModel m_failure;
    QString m_deviceName;
    QString m_newDeviceName;
    QString m_station;
    QString m_keptNumber;
    QString m_keptDay;  ///< YYYY-MM-DD
    QString m_permit;
    QString m_permitPast;
    QString m_name;
    QString m_permitNumber;
    QString m_lastDay;
};

} // namespace discal::viewmodels
