#pragma once

#include <QObject>
#include <QSoundEffect>

#include <memory>

class QTextToSpeech;

namespace discal::devices {

/// What hand and ear are told: three signals and no more (ux.md, section 7), and words read aloud. Each also shows on the
/// screen; nothing depends on being heard. Where the system has no voice, nothing is read. Vibration needs the phone's
/// own glue, which no desktop has.
class Feedback : public QObject {
    Q_OBJECT

public:
    explicit Feedback(QObject* parent = nullptr);
    ~Feedback() override;

    void setSoundOn(bool on) { m_isSoundOn = on; }
    void setSpeechOn(bool on) { m_isSpeechOn = on; }

    void saved();
    void look();
    void refused();
    void speak(const QString& words);

private:
    void play(QSoundEffect& effect);

    QSoundEffect m_saved;
    QSoundEffect m_look;
    QSoundEffect m_refused;
    QTextToSpeech* m_voice{nullptr};
    bool m_isSoundOn{true};
    bool m_isSpeechOn{false};
};

} // namespace discal::devices
