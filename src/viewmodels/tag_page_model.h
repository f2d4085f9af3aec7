#pragma once

#include "services/known_sites.h"
#include "viewmodels/field_phone.h"
#include "viewmodels/tag_reading.h"

#include <QStringList>
#include <QTimer>
#include <QtQml/qqmlregistration.h>
#include <cmath>
#include <functional>
#include <random>

namespace discal::viewmodels {

/// The Tag page: one butterfly after another, from the next code to letting go.
///
/// The code that comes next is offered; a tap on the sex writes the line; then a tap may say what became of it. Where
/// none does for two minutes the next code is offered again, and the next butterfly closes the one before as the session
/// does: one tap for an ordinary butterfly. Every so often the page asks what the next tag says, since an offer that
/// nobody looks at drifts from the sheet.
class TagPageModel : public QObject {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by main")

    Q_PROPERTY(Stage stage READ stage NOTIFY stageChanged)
    // The next tag
    Q_PROPERTY(QString letters READ letters NOTIFY refreshed)
    Q_PROPERTY(QString digits READ digits NOTIFY refreshed)
    Q_PROPERTY(QStringList strip READ strip NOTIFY refreshed)
    Q_PROPERTY(int freeOnSheet READ freeOnSheet NOTIFY refreshed)
    Q_PROPERTY(QStringList choices READ choices NOTIFY refreshed)
    Q_PROPERTY(bool isAskedAgain READ isAskedAgain NOTIFY refreshed)
    // Header and status
    Q_PROPERTY(QString siteName READ siteName NOTIFY refreshed)
    Q_PROPERTY(bool isReared READ isReared NOTIFY refreshed)
    Q_PROPERTY(bool isOriginSaid READ isOriginSaid NOTIFY refreshed)
    Q_PROPERTY(QString tagger READ tagger NOTIFY refreshed)
    Q_PROPERTY(QString placeText READ placeText NOTIFY statusChanged)
    Q_PROPERTY(bool isPlaceWeak READ isPlaceWeak NOTIFY statusChanged)
    Q_PROPERTY(int countHere READ countHere NOTIFY refreshed)
    Q_PROPERTY(bool isOnlyHere READ isOnlyHere NOTIFY refreshed)
    Q_PROPERTY(QString lastText READ lastText NOTIFY refreshed)
    /// What was said last, until the next one is in hand
    Q_PROPERTY(QString lastSaid READ lastSaid NOTIFY lastSaidChanged)
    /// Nothing was said of the one before yet: takeUp() brings it back into the hand
    Q_PROPERTY(bool isLastOpen READ isLastOpen NOTIFY refreshed)
    Q_PROPERTY(bool canUndo READ canUndo NOTIFY refreshed)
    // Whether what carries over still holds
    /// Why it is asked: "You are 640 m from Ridge meadow.", or how long ago it was said
    Q_PROPERTY(QString stillWhy READ stillWhy NOTIFY refreshed)
    /// "Ridge meadow, wild, MH"
    Q_PROPERTY(QString stillWhat READ stillWhat NOTIFY refreshed)
    /// The site of ours that we stand at instead; empty when there is none
    Q_PROPERTY(QString siteHere READ siteHere NOTIFY refreshed)
    // What the camera read, until it is kept or rejected
    Q_PROPERTY(ReadKind readKind READ readKind NOTIFY refreshed)
    /// "RKD 014", or the text as far as it was read
    Q_PROPERTY(QString readCode READ readCode NOTIFY refreshed)
    Q_PROPERTY(bool canKeepRead READ canKeepRead NOTIFY refreshed)
    /// Of a tag that is not the next one's to have: where it is, or that it is on no sheet here
    Q_PROPERTY(QString readWhy READ readWhy NOTIFY refreshed)
    Q_PROPERTY(QImage readPicture READ readPicture NOTIFY refreshed)
    /// The next code is from the camera, and what it was read from
    Q_PROPERTY(bool isNextRead READ isNextRead NOTIFY refreshed)
    Q_PROPERTY(QImage nextPicture READ nextPicture NOTIFY refreshed)
    // The one in hand
    Q_PROPERTY(QString handLetters READ handLetters NOTIFY refreshed)
    Q_PROPERTY(QString handDigits READ handDigits NOTIFY refreshed)
    Q_PROPERTY(QString handSex READ handSex NOTIFY refreshed)
    Q_PROPERTY(QString handSexText READ handSexText NOTIFY refreshed)
    Q_PROPERTY(QString writtenAt READ writtenAt NOTIFY refreshed)
    Q_PROPERTY(QString handDoubt READ handDoubt NOTIFY refreshed)
    // What went wrong, until it is put right
    Q_PROPERTY(QString failure READ failure NOTIFY failureChanged)
    /// "RKD 014, female, is not saved."; empty where it is no save
    Q_PROPERTY(QString unsaved READ unsaved NOTIFY failureChanged)
    Q_PROPERTY(bool canRetry READ canRetry NOTIFY failureChanged)

public:
    enum Stage {
        NoTag,   ///< no free tag on this phone: take in a sheet
        Check,   ///< what does the next tag say?
        Ready,   ///< the next code, two sexes
        Origin,  ///< wild or reared? Asked before the first one, since neither is more likely
        Still,   ///< another site, or hours have passed: are site, origin and hand still as said?
        InHand,  ///< written down, tag going on; until something is said of it, or for two minutes
        Read,    ///< the camera has read the next tag: is that it?
    };
    Q_ENUM(Stage)
    enum ReadKind {
        NoReading,
        Agrees,   ///< it is the code that is offered
        Differs,  ///< another free tag of ours than the one offered: neither is right until somebody has looked
        Used,     ///< a tag of ours that isn't free here
        Unlisted, ///< on no sheet that this phone knows
    };
    Q_ENUM(ReadKind)

    explicit TagPageModel(FieldPhone& phone, QObject* parent = nullptr);

    [[nodiscard]] Stage stage() const { return m_stage; }
    [[nodiscard]] QString letters() const;
    [[nodiscard]] QString digits() const;
    /// The fates of the tags on the sheet of the next code, in the order of printing, as TagMark names them.
    [[nodiscard]] QStringList strip() const { return m_strip; }
    [[nodiscard]] int freeOnSheet() const { return static_cast<int>(m_strip.count(QStringLiteral("free")) + m_strip.count(QStringLiteral("next"))); }
    [[nodiscard]] QStringList choices() const { return m_choices; }
    [[nodiscard]] bool isAskedAgain() const { return m_isAskedAgain; }
    [[nodiscard]] QString siteName() const { return m_siteName; }
    [[nodiscard]] bool isReared() const;
    [[nodiscard]] bool isOriginSaid() const;
    [[nodiscard]] QString tagger() const { return m_tagger; }
    [[nodiscard]] QString placeText() const { return m_placeText; }
    [[nodiscard]] bool isPlaceWeak() const { return m_isPlaceWeak; }
    [[nodiscard]] int countHere() const { return m_countHere; }
    [[nodiscard]] bool isOnlyHere() const { return m_isOnlyHere; }
    [[nodiscard]] QString lastText() const { return m_lastText; }
    [[nodiscard]] QString lastSaid() const { return m_lastSaid; }
    [[nodiscard]] bool isLastOpen() const { return m_hand && m_isAside; }
    [[nodiscard]] bool canUndo() const { return m_canUndo; }
    [[nodiscard]] QString stillWhy() const { return m_stillWhy; }
    [[nodiscard]] QString stillWhat() const;
    [[nodiscard]] QString siteHere() const { return m_siteHereName; }
    [[nodiscard]] ReadKind readKind() const { return m_readKind; }
    [[nodiscard]] QString readCode() const { return m_reading ? m_reading->text : QString(); }
    [[nodiscard]] bool canKeepRead() const { return m_reading && m_reading->code; }
    [[nodiscard]] QString readWhy() const { return m_readWhy; }
    [[nodiscard]] QImage readPicture() const { return m_reading ? m_reading->picture : QImage(); }
    [[nodiscard]] bool isNextRead() const { return m_kept.has_value(); }
    [[nodiscard]] QImage nextPicture() const { return m_kept ? m_kept->picture : QImage(); }
    [[nodiscard]] QString handLetters() const;
    [[nodiscard]] QString handDigits() const;
    [[nodiscard]] QString handSex() const;
    [[nodiscard]] QString handSexText() const;
    [[nodiscard]] QString writtenAt() const;
    [[nodiscard]] QString handDoubt() const { return m_handDoubt; }
    [[nodiscard]] QString failure() const { return m_failure; }
    [[nodiscard]] QString unsaved() const { return m_unsaved; }
    [[nodiscard]] bool canRetry() const { return static_cast<bool>(m_retry); }

    // Before: the next tag -----------------------------------------------------------------------------------

    /// Site, origin and hand hold on, as they are.
    Q_INVOKABLE void still();
    /// The butterflies are of siteHere() from now on.
    Q_INVOKABLE void moveHere();
    /// The answer to "What does the next tag say?": one of choices(), or a code as typed.
    Q_INVOKABLE void answer(const QString& code);
    /// Another code than the one offered, picked from the sheet or typed. It is next from now on.
    Q_INVOKABLE bool pick(const QString& code);
    /// The camera has read the next tag. Nothing is written or offered by it until somebody says so.
    void takeReading(const TagReading& reading);
    /// What was read is what the tag says: it is the next code, and goes with its picture into the line.
    Q_INVOKABLE void keepReading();
    /// It is not: the code that was offered stays, unlooked at.
    Q_INVOKABLE void rejectReading();
    /// Having looked again: the tag says what was offered.
    Q_INVOKABLE void keepOffered();
    /// Carries over, with what then becomes of one that nothing is said of: let go, or kept in the cage.
    Q_INVOKABLE void setReared(bool reared);
    /// male, female or unknown. Writes the line with the next code; in hand, it corrects the sex.
    Q_INVOKABLE void note(const QString& sex);
    /// It carried a tag already. `mark`: readable, worn, unreadable, gone. What is known of it comes as `recaptured`.
    Q_INVOKABLE bool recapture(const QString& code, const QString& mark, const QString& sex);
    /// What was read of the tag of the next one to be recaptured with this code; nothing: it was typed.
    void setRecaptureReading(const std::optional<TagReading>& reading) { m_recaptureReading = reading; }

    // In hand ------------------------------------------------------------------------------------------------

    /// The one that was set aside is in hand again.
    Q_INVOKABLE void takeUp();
    Q_INVOKABLE void letGo();
    Q_INVOKABLE void intoCage();
    Q_INVOKABLE void tagSpoiled();
    Q_INVOKABLE void flew(bool withTag);
    Q_INVOKABLE void died(bool withTag);
    /// hurt, worn
    Q_INVOKABLE void leaveUntagged(const QString& why);
    /// `butterfly`: an id, or empty for the one in hand.
    Q_INVOKABLE bool measure(const QString& butterfly, const QString& forewingMm, int wear, int mated,
                             const QString& sample, const QString& note);
    /// The code of the one that is measured, as it is printed; in words where it has none.
    Q_INVOKABLE QString codeOf(const QString& butterfly);

    // Any time -----------------------------------------------------------------------------------------------

    Q_INVOKABLE void undo();
    Q_INVOKABLE void retry();
    Q_INVOKABLE void dismissFailure();
    /// Once a second, and when the page comes back: where we are, and whether to ask again.
    Q_INVOKABLE void refreshStatus();

signals:
    void stageChanged();
    void refreshed();
    void statusChanged();
    void failureChanged();
    void lastSaidChanged();
    /// The first touch of a record, and its end: the receiver runs fast between them.
    void recordBegan();
    void recordEnded();
    /// Words to be spoken aloud, if she wants that.
    void spoken(const QString& words);
    /// The story of one that came back, in a sentence.
    void recaptured(const QString& butterfly, const QString& sentence);

private:
    void refresh();
    void refreshStrip();
    void makeChoices();
    void judgeReading();
    /// The paper was looked at, and says this. False where that can't be saved; then `again` is what to try again.
    bool settle(const tag::Code& says, std::function<void()> again);
    void setStage(Stage stage);
    void failed(const Error& error, std::function<void()> retry, const QString& unsaved = {});
    /// "RKD 014, female": the one in hand
    [[nodiscard]] QString handName() const;
    [[nodiscard]] QString codeText() const;
    [[nodiscard]] bool isCheckDue();
    /// Looks whether site, origin and hand are to be asked about again; says why in m_stillWhy.
    [[nodiscard]] bool isStillDue();
    void setStillWhy(const QString& why, const services::SiteFromHere* siteHere);
    /// Why there is no position: refused, lost for minutes, or not there yet.
    [[nodiscard]] QString noPositionText(const services::Moment& moment) const;
    void askAgainNext() { m_isCheckForced = true; }
    /// "RKD 014 is on its way. 31 this season."
    void letGoSaid(const QString& code);
    void say(const QString& sentence);

    FieldPhone& m_phone;
    Stage m_stage{NoTag};
    std::optional<std::int64_t> m_positionUpMs;  ///< of the newest fix that was seen here
    std::optional<tag::Code> m_next;
    std::optional<tag::Code> m_picked;      ///< instead of the one that stock offers
    std::optional<tag::Code> m_choicesFor;
    std::optional<butterfly::Butterfly> m_last;
    std::optional<butterfly::Butterfly> m_hand;
    std::int64_t m_handSinceUpMs{0};
    bool m_isAside{false};  ///< the next code is offered while nothing is said of m_hand
    std::optional<TagReading> m_reading;  ///< what the camera says, unanswered
    std::optional<TagReading> m_kept;     ///< that m_next is from
    std::optional<TagReading> m_recaptureReading;
    ReadKind m_readKind{NoReading};
    QString m_readWhy;
    QStringList m_strip;
    QStringList m_choices;
    QString m_siteName;
    QString m_tagger;
    QString m_placeText;
    QString m_lastText;
    QString m_lastSaid;
    QString m_handDoubt;
    QString m_failure;
    QString m_unsaved;
    std::function<void()> m_retry;
    bool m_isPlaceWeak{false};
    bool m_isOnlyHere{true};
    bool m_canUndo{false};
    int m_countHere{0};
    // When to ask whether site, origin and hand still hold
    services::FieldSession::Persisting m_said;
    services::Moment m_saidAt;
    bool m_isAway{false};       ///< the position is elsewhere than the site
    bool m_isAwayKnown{false};  ///< she said that she is at the site all the same
    QString m_stillWhy;
    QString m_siteHereName;
    std::string m_siteHere;
    // When to ask what the next tag says
    bool m_isCheckForced{true};
    bool m_wasInSession{false};
    bool m_isAskedAgain{false};
    int m_sinceCheck{0};
    std::int64_t m_lastNoteUpMs{0};
    std::vector<journal::Uuid> m_sinceAgreement;  ///< butterflies noted since paper and offer were last seen to agree
    std::mt19937 m_shuffle;
};

} // namespace discal::viewmodels
