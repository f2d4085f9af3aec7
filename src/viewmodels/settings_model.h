#pragma once

#include <QObject>
#include <QSettings>
#include <QtQml/qqmlregistration.h>
#include <memory>

namespace discal::viewmodels {

/// How the app looks, sounds and fits the hand. Kept by the system's settings; nothing of it is in the journal.
class SettingsModel : public QObject {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by main")
    /// field, night, system
    Q_PROPERTY(QString theme MEMBER m_theme NOTIFY changed)
    Q_PROPERTY(bool isNight READ isNight NOTIFY changed)
    /// Beside the system's own size of text, in percent: 100, 130, 160, 200
    Q_PROPERTY(int textPercent MEMBER m_textPercent NOTIFY changed)
    Q_PROPERTY(bool large MEMBER m_large NOTIFY changed)
    Q_PROPERTY(bool leftHanded MEMBER m_leftHanded NOTIFY changed)
    Q_PROPERTY(bool sound MEMBER m_sound NOTIFY changed)
    Q_PROPERTY(bool vibration MEMBER m_vibration NOTIFY changed)
    Q_PROPERTY(bool speak MEMBER m_speak NOTIFY changed)
    /// Up notes the sex on the left, down the one on the right
    Q_PROPERTY(bool volumeKeys MEMBER m_volumeKeys NOTIFY changed)
    /// With a code that the camera read, what it was read from goes into the journal
    Q_PROPERTY(bool keepPictures MEMBER m_keepPictures NOTIFY changed)
    Q_PROPERTY(bool reducedMotion MEMBER m_reducedMotion NOTIFY changed)
    /// What was made by others, in the words that their licences ask for: assets/CREDITS.md
    Q_PROPERTY(QString credits READ credits CONSTANT)

public:
    /// With no store nothing is kept: for tests and pictures.
    explicit SettingsModel(std::unique_ptr<QSettings> store, QObject* parent = nullptr);
    [[nodiscard]] bool isNight() const;
    [[nodiscard]] bool isSoundOn() const { return m_sound; }
    [[nodiscard]] bool isVibrationOn() const { return m_vibration; }
    [[nodiscard]] bool isSpeechOn() const { return m_speak; }
    [[nodiscard]] bool areVolumeKeysSexes() const { return m_volumeKeys; }
    [[nodiscard]] bool arePicturesKept() const { return m_keepPictures; }
    [[nodiscard]] static QString credits();

signals:
    void changed();

private:
    void keep();

    std::unique_ptr<QSettings> m_store;
    QString m_theme{QStringLiteral("field")};
    int m_textPercent{100};
    bool m_large{false};
    bool m_leftHanded{false};
    bool m_sound{true};
    bool m_vibration{true};
    bool m_speak{false};
    bool m_volumeKeys{false};
    bool m_keepPictures{false};
    bool m_reducedMotion{false};
};

} // namespace discal::viewmodels
