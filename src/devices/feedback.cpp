#include "devices/feedback.h"

#include <QUrl>

#if DISCAL_HAS_SPEECH
#include <QTextToSpeech>
#endif

namespace discal::devices {

Feedback::Feedback(QObject* parent) : QObject(parent) {
    m_saved.setSource(QUrl(QStringLiteral("qrc:/sounds/saved.wav")));
    m_look.setSource(QUrl(QStringLiteral("qrc:/sounds/look.wav")));
    m_refused.setSource(QUrl(QStringLiteral("qrc:/sounds/refused.wav")));
}

Feedback::~Feedback() = default;

void Feedback::play(QSoundEffect& effect) {
    if (m_isSoundOn)
        effect.play();
}

void Feedback::saved() { play(m_saved); }
void Feedback::look() { play(m_look); }
void Feedback::refused() { play(m_refused); }

void Feedback::speak(const QString& words) {
    if (!m_isSpeechOn || words.isEmpty())
        return;
#if DISCAL_HAS_SPEECH
    // Made when first wanted: engines take a second to start.
    if (m_voice == nullptr)
        m_voice = new QTextToSpeech(this);
    m_voice->say(words);
#endif
}

} // namespace discal::devices
