#include "viewmodels/tag_page_model.h"

#include "core/place/averaging.h"

#include <QLocale>
#include <algorithm>

namespace discal::viewmodels {

namespace json = boost::json;
using butterfly::Butterfly;
using butterfly::Fate;
using journal::Uuid;

namespace {

/// Tags between two looks at the paper, and the pause after which it is looked at again. Our choice.
constexpr int kTagsACheck = 5;
constexpr std::int64_t kPauseMs = 15 * 60 * 1000;
/// So long the one in hand keeps the page. Our choice: the sticker is pressed and she is up again.
constexpr std::int64_t kInHandMs = 2 * 60 * 1000;
/// After so long site, origin and hand are asked about again.
constexpr std::chrono::hours kStillHours{3};

QString qstring(std::string_view text) { return QString::fromUtf8(text.data(), static_cast<qsizetype>(text.size())); }

std::optional<tag::Code> codeIn(const std::optional<std::string>& text) {
    if (!text)
        return std::nullopt;
    const auto code = tag::Code::fromText(*text);
    return code ? std::optional(*code) : std::nullopt;
}

} // namespace

TagPageModel::TagPageModel(FieldPhone& phone, QObject* parent) : QObject(parent), m_phone(phone) {
    connect(&m_phone, &FieldPhone::changed, this, &TagPageModel::refresh);
    // Which of the three places holds the expected code must not become a habit of the thumb; it decides nothing else.
    m_shuffle.seed(static_cast<std::mt19937::result_type>(m_phone.journal().head().seq));
    m_saidAt = m_phone.clock().now();
    m_said = m_phone.session.persisting();
    // What a session carries over was last seen to hold with its last line.
    if (const auto pause = m_phone.session.pauseUntil(m_saidAt)) {
        m_saidAt.upMs -= pause->count();
        m_saidAt.wall -= *pause;
    }
    refresh();
}

QString TagPageModel::letters() const { return m_next ? qstring(m_next->letters()) : QString(); }
QString TagPageModel::digits() const { return m_next ? qstring(m_next->digits()) : QString(); }

bool TagPageModel::isReared() const { return m_phone.session.persisting().origin == "reared"; }
bool TagPageModel::isOriginSaid() const { return !m_phone.session.persisting().origin.empty(); }

QString TagPageModel::handLetters() const {
    const auto code = m_hand ? codeIn(m_hand->currentCode()) : std::nullopt;
    return code ? qstring(code->letters()) : QString();
}
QString TagPageModel::handDigits() const {
    const auto code = m_hand ? codeIn(m_hand->currentCode()) : std::nullopt;
    return code ? qstring(code->digits()) : QString();
}
QString TagPageModel::handSex() const { return m_hand ? QString::fromStdString(m_hand->sex) : QString(); }
QString TagPageModel::handSexText() const { return m_hand ? FieldPhone::sexText(m_hand->sex) : QString(); }
QString TagPageModel::writtenAt() const {
    return m_hand ? FieldPhone::clockText(m_hand->notedAt, m_hand->offsetMin) : QString();
}
QString TagPageModel::codeText() const {
    return m_hand ? QString::fromStdString(m_hand->currentCode().value_or("")) : QString();
}

QString TagPageModel::handName() const {
    return tr("%1, %2", "code, sex: of the one in hand").arg(codeText(), handSexText());
}

// Where things stand ------------------------------------------------------------------------------------------

void TagPageModel::setStage(Stage stage) {
    if (stage == m_stage)
        return;
    const Stage was = std::exchange(m_stage, stage);
    if (stage == InHand) {
        say({});
        emit recordBegan();
    }
    if (was == InHand)
        emit recordEnded();
    emit stageChanged();
}

bool TagPageModel::isCheckDue() {
    const std::int64_t pause = m_phone.clock().now().upMs - m_lastNoteUpMs;
    return m_isCheckForced || m_sinceCheck >= kTagsACheck || pause >= kPauseMs || pause < 0;
}

void TagPageModel::refresh() {
    auto& projections = m_phone.projections();
    const auto before = std::exchange(m_hand, std::nullopt);
    if (auto open = m_phone.tagging.find(std::nullopt))
        m_hand = std::move(*open);
    if (m_hand && (!before || before->id != m_hand->id)) {
        m_handSinceUpMs = m_phone.clock().now().upMs;
        m_isAside = false;
    }

    if (const auto next = m_phone.stock.nextFree()) {
        // What she read off the tag counts, also where it is on no sheet of ours or used: kept, and then a doubt.
        m_next = m_picked ? m_picked : *next;
    }
    if (m_kept && m_kept->code != m_next)
        m_kept.reset();
    judgeReading();
    refreshStrip();

    const auto& persisting = m_phone.session.persisting();
    m_siteName = m_phone.siteName(persisting.site);
    m_tagger = m_phone.personName(persisting.tagger);
    if (m_tagger.isEmpty() && m_phone.writer.recorder())
        m_tagger = m_phone.personName(m_phone.writer.recorder()->text());

    m_countHere = 0;
    m_lastText.clear();
    m_last.reset();
    if (const auto& session = m_phone.session.current()) {
        if (const auto count = projections.countOfSession(session->text()))
            m_countHere = static_cast<int>(*count);
        if (auto newest = projections.newestOfSession(session->text(), 2))
            for (Butterfly& b : *newest)
                if ((!b.isOpen() || (m_isAside && m_hand && b.id == m_hand->id)) && !m_last)
                    m_last = std::move(b);
        if (m_last) {
            const QString code = QString::fromStdString(m_last->currentCode().value_or(""));
            const QString what = code.isEmpty() ? FieldPhone::sexText(m_last->sex)
                                                : tr("%1  %2").arg(code, FieldPhone::sexText(m_last->sex));
            if (m_last->isOpen()) {
                m_lastText = tr("%1: still in hand?").arg(what);
            } else {
                const std::string& when = m_last->fate == Fate::Held ? m_last->heldSince : m_last->releasedAt;
                m_lastText = tr("%1, %2 %3").arg(what, FieldPhone::fateText(*m_last),
                                                FieldPhone::clockText(when.empty() ? m_last->notedAt : when,
                                                                      m_last->offsetMin));
            }
        }
    }
    // A new spell of work begins with a look at the paper; until it opens, one agreement is enough.
    if (m_wasInSession && !m_phone.session.current()) {
        m_isCheckForced = true;
        m_sinceAgreement.clear();
        m_kept.reset();
    }
    m_wasInSession = m_phone.session.current().has_value();
    const auto last = m_phone.amending.lastAct();
    m_canUndo = last && last->has_value();

    if (persisting != m_said) {
        m_said = persisting;
        m_saidAt = m_phone.clock().now();
        m_isAwayKnown = false;
    }
    if (m_hand && !m_isAside)
        setStage(InHand);
    else if (!m_next)
        setStage(NoTag);
    else if (m_said.origin.empty())
        setStage(Origin);
    else if (isStillDue())
        setStage(Still);
    else if (m_reading)
        setStage(Read);
    else if (isCheckDue()) {
        if (m_stage != Check || m_choicesFor != m_next)
            makeChoices();
        setStage(Check);
    } else
        setStage(Ready);
    emit refreshed();
    refreshStatus();
}

void TagPageModel::refreshStrip() {
    m_strip.clear();
    const auto code = m_hand && !m_isAside ? codeIn(m_hand->currentCode()) : m_next;
    if (!code)
        return;
    const auto sheets = m_phone.projections().sheetsWith(*code);
    if (!sheets || sheets->empty() || !sheets->front().run)
        return;
    const tag::Run& run = *sheets->front().run;
    // A long roll is shown around the tag that is next.
    constexpr std::uint32_t kMostMarks = 25;
    const auto at = static_cast<std::uint32_t>(run.scheme.ordinal(*code) - run.first);
    const std::uint32_t from = run.count <= kMostMarks ? 0 : at - at % kMostMarks;
    for (std::uint32_t i = from; i < std::min(run.count, from + kMostMarks); ++i)
        m_strip << m_phone.markOf(run.at(i), m_next);
}

void TagPageModel::makeChoices() {
    m_choices.clear();
    m_choicesFor = m_next;
    m_isAskedAgain = false;
    const tag::Scheme scheme = tag::Scheme::of(*m_next);
    const std::uint64_t at = scheme.ordinal(*m_next);
    const std::uint64_t before = std::min<std::uint64_t>(at, m_shuffle() % 3);
    for (std::uint64_t i = at - before; i < at - before + 3 && i < scheme.capacity(); ++i)
        m_choices << QString::fromStdString(scheme.at(i).text());
}

void TagPageModel::refreshStatus() {
    const auto moment = m_phone.clock().now();
    const auto place = m_phone.session.placeNow(moment);
    m_placeText.clear();
    m_isPlaceWeak = true;
    if (place) {
        const auto* position = journal::objectIn(*place, "position");
        const auto* fix = position != nullptr ? position : journal::objectIn(*place, "fix");
        if (const auto age = fix != nullptr ? journal::numberIn(*fix, "age_ms") : std::nullopt)
            m_positionUpMs = moment.upMs - *age;
        if (position != nullptr) {
            // The site stands above; of the words the nearest town is enough for one line.
            json::object bare{{"position", *position}};
            const std::string around = m_phone.aroundText(*place).toStdString();
            bare["words"] = around.substr(0, around.find(','));
            m_placeText = m_phone.placeText(bare);
            const auto age = journal::numberIn(*position, "age_ms").value_or(0);
            m_isPlaceWeak = age >= place::kStaleMs;
            if (m_isPlaceWeak)
                m_placeText = tr("%1, %2 s old", "position, its age").arg(m_placeText, QLocale().toString(age / 1000));
        } else if (fix != nullptr) {
            m_placeText = tr("position too coarse: by the site");
        } else {
            m_placeText = noPositionText(moment);
        }
    }
    emit statusChanged();
    const QString why = m_stillWhy;
    const std::int64_t held = moment.upMs - m_handSinceUpMs;
    if (m_stage == InHand && (held >= kInHandMs || held < 0)) {
        m_isAside = true;
        refresh();
        return;
    }
    if ((m_stage == Ready || m_stage == Check || m_stage == Still) && isStillDue()) {
        setStage(Still);
        if (m_stillWhy != why)
            emit refreshed();
    } else if (m_stage == Still) {
        refresh();
    } else if (m_stage == Ready && isCheckDue()) {
        makeChoices();
        setStage(Check);
        emit refreshed();
    }
}

QString TagPageModel::noPositionText(const services::Moment& moment) const {
    const bool isBySite = !m_siteName.isEmpty();
    if (m_phone.isPositionRefused())
        return isBySite ? tr("position not allowed: by the site") : tr("position not allowed: choose a site");
    // Less than nothing: another boot.
    const std::int64_t lostMs = m_positionUpMs ? moment.upMs - *m_positionUpMs : 0;
    if (lostMs >= place::kWindowMs) {
        const int minutes = static_cast<int>(lostMs / 60'000);
        return isBySite ? tr("no position for %n min: by the site", "", minutes)
                        : tr("no position for %n min: choose a site", "", minutes);
    }
    return isBySite ? tr("no position: by the site") : tr("no position yet");
}

// Site, origin and hand -----------------------------------------------------------------------------------------

QString TagPageModel::stillWhat() const {
    QStringList parts;
    for (const QString& part :
         {m_siteName, isOriginSaid() ? FieldPhone::originText(m_said.origin) : QString(), m_tagger})
        if (!part.isEmpty())
            parts << part;
    return parts.join(tr(", "));
}

void TagPageModel::setStillWhy(const QString& why, const services::SiteFromHere* siteHere) {
    m_stillWhy = why;
    m_siteHere = siteHere != nullptr ? siteHere->id : std::string();
    m_siteHereName = siteHere != nullptr ? QString::fromStdString(siteHere->name) : QString();
}

bool TagPageModel::isStillDue() {
    setStillWhy({}, nullptr);
    m_isAway = false;
    const bool isAnythingSaid = !m_said.site.empty() || !m_said.origin.empty() || !m_said.tagger.empty();
    if (!isAnythingSaid)
        return false;
    const auto now = m_phone.clock().now();
    if (const auto here = m_phone.session.positionNow(now);
        here && here->ageMs < place::kStaleMs && !m_said.site.empty())
        if (const auto sites = services::sitesFrom(m_phone.journal(), *here)) {
            const auto chosen = std::find_if(sites->begin(), sites->end(),
                                             [&](const auto& site) { return site.id == m_said.site; });
            const auto other =
                std::find_if(sites->begin(), sites->end(), [](const auto& site) { return site.isHere; });
            if (chosen != sites->end() && chosen->isHere) {
                m_isAwayKnown = false;
            } else if (chosen != sites->end() && !m_isAwayKnown) {
                m_isAway = true;
                const QString far = chosen->metres < 1000
                                        ? tr("%1 m").arg(QLocale().toString(std::round(chosen->metres), 'f', 0))
                                        : tr("%1 km").arg(QLocale().toString(chosen->metres / 1000, 'f', 1));
                setStillWhy(tr("You are %1 from %2.", "a distance, a site").arg(far, m_siteName),
                            other != sites->end() ? &*other : nullptr);
                return true;
            }
        }
    const auto since = now.boot == m_saidAt.boot ? std::chrono::milliseconds(now.upMs - m_saidAt.upMs)
                                                 : now.wall - m_saidAt.wall;
    if (since < kStillHours)
        return false;
    setStillWhy(tr("That was said %n hour(s) ago.", "",
                   static_cast<int>(std::chrono::floor<std::chrono::hours>(since).count())),
                nullptr);
    return true;
}

void TagPageModel::still() {
    if (m_stage != Still)
        return;
    m_saidAt = m_phone.clock().now();
    m_isAwayKnown = m_isAway;
    refresh();
}

void TagPageModel::moveHere() {
    if (m_stage != Still || m_siteHere.empty())
        return;
    m_phone.carryOver([site = m_siteHere](auto& persisting) { persisting.site = site; });
}

// The next tag ------------------------------------------------------------------------------------------------

void TagPageModel::answer(const QString& typed) {
    if (m_stage != Check || !m_next)
        return;
    const auto read = m_phone.stock.read(typed.toStdString());
    if (!read) {
        failed(read.error(), {});
        return;
    }
    const tag::Code& says = read->code;
    const bool agrees = says == *m_next;
    if (!agrees && !m_isAskedAgain) {
        // Neither is shown as right: the tag is looked at again.
        makeChoices();
        m_isAskedAgain = true;
        m_phone.askForALook();
        emit refreshed();
        return;
    }
    (void)settle(says, [this, typed] { answer(typed); });
}

bool TagPageModel::settle(const tag::Code& says, std::function<void()> again) {
    m_isAskedAgain = false;
    m_isCheckForced = false;
    m_sinceCheck = 0;
    m_lastNoteUpMs = m_phone.clock().now().upMs;
    if (says != *m_next) {
        const auto since = std::exchange(m_sinceAgreement, {});
        const tag::Code offered = *m_next;
        const auto before = std::exchange(m_picked, says);
        if (!since.empty()) {
            if (auto saved = m_phone.done(m_phone.tagging.comparedApart(offered, says, since)); !saved) {
                m_sinceAgreement = since;
                m_picked = before;
                failed(saved.error(), std::move(again));
                return false;
            }
            m_phone.askForALook();
            say(tr("%n butterfly(ies) since the last look may carry another code. They are marked to check.", "",
                         static_cast<int>(since.size())));
        }
    }
    m_sinceAgreement.clear();
    dismissFailure();
    refresh();
    return true;
}

// What the camera says ----------------------------------------------------------------------------------------

void TagPageModel::takeReading(const TagReading& reading) {
    m_reading = reading;
    m_kept.reset();
    refresh();
    if (m_readKind != Agrees)
        m_phone.askForALook();
    emit spoken(reading.text);
}

void TagPageModel::judgeReading() {
    m_readKind = NoReading;
    m_readWhy.clear();
    if (!m_reading)
        return;
    const auto& code = m_reading->code;
    const auto sheets = code ? m_phone.projections().sheetsWith(*code) : fail(Code::NotFound);
    if (!code || !sheets || sheets->empty()) {
        m_readKind = Unlisted;
        m_readWhy = tr("Somebody else’s tag, or one of a sheet that is not taken in yet.");
        return;
    }
    if (code == m_next) {
        m_readKind = Agrees;
        return;
    }
    const QString mark = m_phone.markOf(*code, std::nullopt);
    m_readKind = mark == QLatin1String("free") ? Differs : Used;
    if (m_readKind == Differs)
        return;
    m_readWhy = mark == QLatin1String("on") || mark == QLatin1String("held")
                    ? tr("This tag is on a butterfly already, as this phone knows.")
                : mark == QLatin1String("elsewhere") ? tr("This tag is with another phone, as this one knows.")
                                                     : tr("This tag is not free, as this phone knows.");
}

void TagPageModel::keepReading() {
    if (m_stage != Read || !m_next || !canKeepRead())
        return;
    const TagReading kept = *std::exchange(m_reading, std::nullopt);
    (settle(*kept.code, [this] { keepReading(); }) ? m_kept : m_reading) = kept;
    refresh();
}

void TagPageModel::rejectReading() {
    m_reading.reset();
    refresh();
}

void TagPageModel::keepOffered() {
    if (m_stage != Read || !m_next)
        return;
    m_reading.reset();
    (void)settle(tag::Code(*m_next), {});
}

bool TagPageModel::pick(const QString& typed) {
    const auto read = m_phone.stock.read(typed.toStdString());
    if (!read) {
        failed(read.error(), {});
        return false;
    }
    m_picked = read->code;
    m_kept.reset();
    m_reading.reset();
    // She has just looked at the tag.
    m_isCheckForced = false;
    m_sinceCheck = 0;
    m_lastNoteUpMs = m_phone.clock().now().upMs;
    dismissFailure();
    refresh();
    return true;
}

void TagPageModel::setReared(bool reared) {
    using Habit = services::FieldSession::Habit;
    m_phone.carryOver([&](auto& persisting) {
        persisting.origin = reared ? "reared" : "wild";
        persisting.habit = reared ? Habit::IntoCage : Habit::LetGo;
    });
}

void TagPageModel::note(const QString& sex) {
    if (m_stage == InHand && m_hand) {
        if (sex == handSex())
            return;
        const auto line = Uuid::parse(m_hand->noteLine);
        if (!line)
            return;
        auto saved = m_phone.done(m_phone.amending.correct(*line, "sex", sex.toStdString(), "seen again"));
        if (!saved)
            failed(saved.error(), [this, sex] { note(sex); },
                   tr("%1: the correction is not saved.").arg(handName()));
        return;
    }
    if (m_stage != Ready || !m_next)
        return;
    services::Tagging::Note note;
    note.code = m_next->text();
    note.sex = sex.toStdString();
    if (m_kept && m_kept->code == m_next)
        note.read = m_kept->asRead();
    auto noted = m_phone.tagging.note(note);
    if (!noted) {
        m_phone.done(Result<void>(fail(noted.error())));
        failed(noted.error(), [this, sex] { this->note(sex); },
               tr("%1, %2, is not saved.", "code, sex")
                   .arg(QString::fromStdString(note.code.value_or("")), FieldPhone::sexText(note.sex)));
        return;
    }
    m_lastNoteUpMs = m_phone.clock().now().upMs;
    ++m_sinceCheck;
    m_sinceAgreement.push_back(noted->butterfly);
    m_picked.reset();
    m_kept.reset();
    m_handDoubt = noted->doubts.empty() ? QString() : m_phone.doubtText(noted->doubts.front());
    dismissFailure();
    m_phone.done(Result<void>());
    if (!m_handDoubt.isEmpty())
        m_phone.askForALook();
    emit spoken(tr("%1, %2", "code, sex: read aloud").arg(codeText(), handSexText()));
}

bool TagPageModel::recapture(const QString& code, const QString& mark, const QString& sex) {
    services::Tagging::Recapture what;
    if (!code.isEmpty())
        what.code = code.toStdString();
    what.mark = mark.toStdString();
    what.sex = sex.toStdString();
    if (m_recaptureReading && m_recaptureReading->text == code)
        what.read = m_recaptureReading->asRead();
    auto done = m_phone.done(m_phone.tagging.recaptured(what));
    if (!done) {
        failed(done.error(), [this, code, mark, sex] { recapture(code, mark, sex); },
               code.isEmpty() ? tr("The one without a code is not saved.")
                              : tr("%1, %2, is not saved.", "code, sex")
                                    .arg(code, FieldPhone::sexText(sex.toStdString())));
        return false;
    }
    dismissFailure();
    m_recaptureReading.reset();
    QString sentence = tr("Written down. This tag is not one of ours, as far as this phone knows.");
    if (done->known) {
        const Butterfly& b = *done->known;
        const QString when = FieldPhone::dateText(b.notedAt, b.offsetMin);
        sentence = b.notedAt.empty() ? tr("Seen before, never noted here.")
                                     : tr("One of ours: noted %1, %2.").arg(when, FieldPhone::sexText(b.sex));
    } else if (code.isEmpty()) {
        sentence = tr("Written down without a code.");
    }
    emit recaptured(QString::fromStdString(done->butterfly.text()), sentence);
    return true;
}

// In hand -----------------------------------------------------------------------------------------------------

void TagPageModel::say(const QString& sentence) {
    if (sentence == m_lastSaid)
        return;
    m_lastSaid = sentence;
    emit lastSaidChanged();
}

void TagPageModel::letGoSaid(const QString& code) {
    const int season = m_phone.letGoThisSeason();
    say(tr("%1 is on its way. %n this season.", "", season).arg(code));
}

void TagPageModel::takeUp() {
    if (!isLastOpen())
        return;
    m_isAside = false;
    m_handSinceUpMs = m_phone.clock().now().upMs;
    refresh();
}

void TagPageModel::letGo() {
    if (m_stage != InHand)
        return;
    const QString code = codeText();
    if (auto saved = m_phone.done(m_phone.tagging.release(std::nullopt)); !saved)
        return failed(saved.error(), [this] { letGo(); }, tr("%1: letting it go is not saved.").arg(handName()));
    dismissFailure();
    letGoSaid(code);
}

void TagPageModel::intoCage() {
    if (m_stage != InHand)
        return;
    const QString code = codeText();
    if (auto saved = m_phone.done(m_phone.tagging.hold(std::nullopt, {})); !saved)
        return failed(saved.error(), [this] { intoCage(); },
                      tr("%1: putting it into the cage is not saved.").arg(handName()));
    dismissFailure();
    say(tr("%1 is in the cage.").arg(code));
}

void TagPageModel::tagSpoiled() {
    if (m_stage != InHand)
        return;
    if (auto saved = m_phone.done(m_phone.tagging.spoiled(std::nullopt, std::nullopt)); !saved)
        return failed(saved.error(), [this] { tagSpoiled(); },
                      tr("%1: that its tag is spoiled is not saved.").arg(handName()));
    dismissFailure();
    askAgainNext();
    say(tr("The same butterfly, the next tag: %1.").arg(codeText()));
    emit spoken(codeText());
}

void TagPageModel::flew(bool withTag) {
    if (m_stage != InHand)
        return;
    const QString code = codeText();
    const auto on = withTag ? services::Tagging::TagOn::Wing : services::Tagging::TagOn::Nothing;
    askAgainNext();
    if (auto saved = m_phone.done(m_phone.tagging.escaped(std::nullopt, on)); !saved)
        return failed(saved.error(), [this, withTag] { flew(withTag); },
                      tr("%1: that it flew is not saved.").arg(handName()));
    dismissFailure();
    say(withTag ? tr("%1 flew with its tag: it counts as let go.").arg(code)
                      : tr("It flew without a tag. %1 is free again.").arg(code));
}

void TagPageModel::died(bool withTag) {
    if (m_stage != InHand)
        return;
    const auto on = withTag ? services::Tagging::TagOn::Wing : services::Tagging::TagOn::Nothing;
    const QString code = codeText();
    if (auto saved = m_phone.done(m_phone.tagging.died(std::nullopt, on)); !saved)
        return failed(saved.error(), [this, withTag] { died(withTag); },
                      tr("%1: that it died is not saved.").arg(handName()));
    dismissFailure();
    say(tr("%1 died. It is written down.").arg(code));
}

void TagPageModel::leaveUntagged(const QString& why) {
    services::Tagging::Untagged what;
    what.why = why.toStdString();
    if (auto saved = m_phone.done(m_phone.tagging.untagged(std::nullopt, what)); !saved)
        return failed(saved.error(), [this, why] { leaveUntagged(why); },
                      tr("%1: that it goes without a tag is not saved.").arg(handName()));
    dismissFailure();
    say(tr("Counted without a tag."));
}

QString TagPageModel::codeOf(const QString& butterfly) {
    const auto which = butterfly.isEmpty() ? std::nullopt : std::optional(butterfly.toStdString());
    const auto b = m_phone.tagging.find(which);
    const auto code = b ? b->currentCode() : std::nullopt;
    return code ? QString::fromStdString(*code).replace(QLatin1Char(' '), QChar::Nbsp) : tr("one without a tag");
}

bool TagPageModel::measure(const QString& butterfly, const QString& forewingMm, int wear, int mated,
                           const QString& sample, const QString& text) {
    services::Measures measures;
    if (!forewingMm.trimmed().isEmpty()) {
        bool isNumber = false;
        // Comma and point alike, whatever the locale.
        const double mm = QString(forewingMm).replace(QLatin1Char(','), QLatin1Char('.')).toDouble(&isNumber);
        if (!isNumber) {
            failed({Code::BadInput, "forewing: 1 to 200 mm"}, {});
            return false;
        }
        measures.forewingUm = static_cast<std::int64_t>(std::llround(mm * 1000));
    }
    if (wear > 0) {
        measures.wear = wear;
        measures.wearScale = "1-5";
    }
    if (mated >= 0)
        measures.mated = mated == 1;
    measures.parasiteSample = sample.trimmed().toStdString();
    measures.note = text.trimmed().toStdString();
    const auto which = butterfly.isEmpty() ? std::nullopt : std::optional(butterfly.toStdString());
    if (auto saved = m_phone.done(m_phone.tagging.measured(which, measures)); !saved) {
        failed(saved.error(), {});
        return false;
    }
    dismissFailure();
    return true;
}

// Any time ----------------------------------------------------------------------------------------------------

void TagPageModel::undo() {
    const auto act = m_phone.amending.lastAct();
    if (!act)
        return failed(act.error(), [this] { undo(); });
    if (!*act)
        return;
    askAgainNext();
    if (auto saved = m_phone.done(m_phone.takeBack(**act, "undo")); !saved)
        return failed(saved.error(), [this] { undo(); }, tr("The undo is not saved."));
    dismissFailure();
    say(tr("Taken back. It stays in the journal, marked as taken back."));
}

void TagPageModel::failed(const Error& error, std::function<void()> retry, const QString& unsaved) {
    m_failure = FieldPhone::sentenceFor(error);
    m_unsaved = retry ? unsaved : QString();
    m_retry = std::move(retry);
    emit failureChanged();
}

void TagPageModel::retry() {
    const auto again = std::exchange(m_retry, {});
    m_failure.clear();
    m_unsaved.clear();
    emit failureChanged();
    if (again)
        again();
}

void TagPageModel::dismissFailure() {
    if (m_failure.isEmpty() && !m_retry)
        return;
    m_failure.clear();
    m_unsaved.clear();
    m_retry = {};
    emit failureChanged();
}

} // namespace discal::viewmodels
