#pragma once

#include "viewmodels/field_phone.h"
#include "viewmodels/tag_reading.h"

#include <QStringList>
#include <QtQml/qqmlregistration.h>

namespace discal::viewmodels {

/// A butterfly that came with a tag: its code as typed on our pads, how the mark looks, and its sex. Writing it down is
/// TagPageModel's.
class AlreadyModel : public QObject {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by main")

    Q_PROPERTY(QString letters READ letters WRITE setLetters NOTIFY changed)
    Q_PROPERTY(QString digits READ digits WRITE setDigits NOTIFY changed)
    /// Letters of our own sheets, newest first: one tap each.
    Q_PROPERTY(QStringList ownLetters READ ownLetters NOTIFY changed)
    /// As read: what goes to TagPageModel::recapture.
    Q_PROPERTY(QString code READ code NOTIFY changed)
    /// What it may mean, where more than one is possible.
    Q_PROPERTY(QStringList readings READ readings NOTIFY changed)
    Q_PROPERTY(QString advice READ advice NOTIFY changed)
    /// How the tag may look, in words, as far as what was read of it leaves open: a code that was read is readable or
    /// worn, half a code worn or unreadable, none unreadable or gone.
    Q_PROPERTY(QStringList marks READ marks NOTIFY changed)
    /// A place in marks(); -1 until said. And the word of the journal.
    Q_PROPERTY(int markIndex READ markIndex WRITE setMarkIndex NOTIFY changed)
    Q_PROPERTY(QString mark READ mark NOTIFY changed)
    /// 0 male, 1 female, 2 can't tell; -1 until said.
    Q_PROPERTY(int sexIndex READ sexIndex WRITE setSexIndex NOTIFY changed)
    Q_PROPERTY(QString sex READ sex NOTIFY changed)
    /// The code is settled, or there is none to be read: on to mark and sex.
    Q_PROPERTY(bool isCodeDone READ isCodeDone NOTIFY changed)
    /// Once the code is settled, what is known of who carries it: when, where, sex, how far from here. Empty where nothing is.
    Q_PROPERTY(QString history READ history NOTIFY changed)
    /// Where the code is from the camera: what it was read from
    Q_PROPERTY(QImage picture READ picture NOTIFY changed)
    Q_PROPERTY(bool isRead READ isRead NOTIFY changed)
    /// Digits that the code can have
    Q_PROPERTY(int mostDigits READ mostDigits NOTIFY changed)
    Q_PROPERTY(bool canConfirm READ canConfirm NOTIFY changed)
    Q_PROPERTY(bool canWrite READ canWrite NOTIFY changed)

public:
    explicit AlreadyModel(FieldPhone& phone, QObject* parent = nullptr);

    [[nodiscard]] QString letters() const { return m_letters; }
    [[nodiscard]] QString digits() const { return m_digits; }
    [[nodiscard]] QStringList ownLetters() const { return m_ownLetters; }
    [[nodiscard]] QString code() const { return m_code; }
    [[nodiscard]] QStringList readings() const { return m_readings; }
    [[nodiscard]] QString advice() const { return m_advice; }
    [[nodiscard]] QStringList marks() const;
    [[nodiscard]] int markIndex() const { return m_mark; }
    [[nodiscard]] QString mark() const;
    [[nodiscard]] int sexIndex() const { return m_sex; }
    [[nodiscard]] QString sex() const;
    [[nodiscard]] bool isCodeDone() const { return m_isCodeDone; }
    [[nodiscard]] QString history() const { return m_history; }
    [[nodiscard]] QImage picture() const { return m_reading ? m_reading->picture : QImage(); }
    [[nodiscard]] bool isRead() const { return m_reading.has_value(); }
    [[nodiscard]] const std::optional<TagReading>& reading() const { return m_reading; }
    [[nodiscard]] int mostDigits() const;
    [[nodiscard]] bool canConfirm() const { return !m_code.isEmpty() && m_readings.isEmpty(); }
    [[nodiscard]] bool canWrite() const { return m_isCodeDone && m_mark >= 0 && m_sex >= 0; }
    void setLetters(const QString& letters);
    void setDigits(const QString& digits);
    void setMarkIndex(int mark);
    void setSexIndex(int sex);

    /// For the next one.
    Q_INVOKABLE void begin();
    /// The camera has read its tag: as if it had been typed. Somebody else's is kept as it was read.
    void takeReading(const TagReading& reading);
    /// One of readings() is what it says.
    Q_INVOKABLE void choose(const QString& reading);
    Q_INVOKABLE void confirmCode();
    /// There is no more to be read than what was typed, or nothing at all.
    Q_INVOKABLE void confirmAsFar();
    Q_INVOKABLE void backToCode();

signals:
    void changed();

private:
    void read();
    void lookUp();

    FieldPhone& m_phone;
    QString m_letters;
    QString m_digits;
    QStringList m_ownLetters;
    QString m_code;
    QStringList m_readings;
    QString m_advice;
    QString m_history;
    std::optional<TagReading> m_reading;
    int m_mark{-1};
    int m_firstMark{0};  ///< of the two marks that are left open
    int m_sex{-1};
    bool m_isCodeDone{false};
};

} // namespace discal::viewmodels
