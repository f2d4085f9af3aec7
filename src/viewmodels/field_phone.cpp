#include "viewmodels/field_phone.h"

#include "core/time/instant.h"

#include <QBuffer>
#include <QDateTime>
#include <QImageReader>
#include <QLocale>
#include <algorithm>
#include <cmath>

namespace discal::viewmodels {

namespace json = boost::json;
using journal::Kind;
using journal::RecordType;

FieldPhone::FieldPhone(storage::Journal& journal, services::Clock& clock, services::Randomness& randomness,
                       services::PositionSource& positions, QObject* parent)
    : QObject(parent), writer(journal, clock, randomness), session(writer, positions), stock(writer),
      tagging(writer, session, stock), amending(writer, stock), station(writer), m_journal(journal), m_clock(clock),
      m_positions(positions) {}

Result<void> FieldPhone::resume() {
    if (auto resumed = session.resume(); !resumed)
        return resumed;
    stock.lookAgain();
    // Who wrote last goes on writing, until somebody else says so.
    constexpr std::int64_t kLookBack = 200;
    const std::int64_t head = m_journal.head().seq;
    for (std::int64_t seq = head; seq > 0 && seq > head - kLookBack; --seq) {
        const auto bytes = m_journal.file().line(m_journal.device(), seq);
        if (!bytes)
            return fail(bytes.error());
        const auto line = *bytes ? journal::parseLine(**bytes) : fail(Code::NotFound);
        if (line && line->by) {
            writer.setRecorder(line->by);
            break;
        }
    }
    return {};
}

Result<services::Saved> FieldPhone::takeBack(const journal::Uuid& act, const std::string& why) {
    auto saved = amending.withdraw(act, why);
    // It is taken back, also where the session can't be read now: that is picked up at the next start. An error here
    // would have the caller try once more, which takes back the tap before.
    if (saved && !session.current())
        (void)session.resume();
    return saved;
}

QString FieldPhone::personName(const std::string& id) {
    if (id.empty())
        return {};
    const auto record = projections().record(RecordType::Person, id);
    if (!record || !*record)
        return tr("somebody");
    if (const auto number = journal::numberIn((*record)->members, "visitor"))
        return tr("visitor %1").arg(*number);
    const auto cited = journal::blobIn((*record)->members, "initials");
    const auto hash = journal::hashFromHex(cited.value_or(""));
    if (!hash)
        return tr("somebody");
    const auto blob = m_journal.file().blob(*hash);
    return blob && *blob ? QString::fromStdString(std::string((*blob)->content())) : tr("somebody");
}

QString FieldPhone::siteName(const std::string& id) {
    if (id.empty())
        return {};
    const auto record = projections().record(RecordType::Site, id);
    if (!record || !*record)
        return {};
    return QString::fromStdString(std::string(journal::textIn((*record)->members, "name").value_or("")));
}

QString FieldPhone::placeText(const json::object& place) {
    const auto site = journal::textIn(place, "site");
    QString name = site ? siteName(std::string(*site)) : QString();
    if (name.isEmpty())
        name = QString::fromStdString(std::string(journal::textIn(place, "text").value_or("")));
    if (name.isEmpty())
        name = QString::fromStdString(std::string(journal::textIn(place, "words").value_or("")));
    const auto* position = journal::objectIn(place, "position");
    if (position == nullptr)
        return name;
    QString within;
    if (const auto mm = journal::numberIn(*position, "uncertainty_mm")) {
        const double metres = static_cast<double>(*mm) / 1000;
        within = metres < 1000 ? tr("±%1\u00a0m").arg(QLocale().toString(static_cast<int>(std::ceil(metres))))
                               : tr("±%1\u00a0km").arg(QLocale().toString(std::ceil(metres / 1000), 'f', 0));
    }
    return name.isEmpty() ? within : within.isEmpty() ? name : name + QStringLiteral("  ") + within;
}

QString FieldPhone::aroundText(const json::object& place) {
    const QString words = QString::fromStdString(std::string(journal::textIn(place, "words").value_or("")));
    const QString site = siteName(std::string(journal::textIn(place, "site").value_or("")));
    const bool isSiteFirst = !site.isEmpty() && words.startsWith(site + QStringLiteral(", "));
    return isSiteFirst ? words.mid(site.size() + 2) : words;
}

namespace {

std::optional<QDateTime> localTime(const std::string& utc, std::int64_t offsetMin) {
    const auto instant = time::parseUtc(utc);
    if (!instant)
        return std::nullopt;
    const auto ms = std::chrono::duration_cast<std::chrono::milliseconds>(instant->time_since_epoch()).count();
    return QDateTime::fromMSecsSinceEpoch(ms, Qt::OffsetFromUTC, static_cast<int>(offsetMin * 60));
}

} // namespace

QString FieldPhone::clockText(const std::string& utc, std::int64_t offsetMin) {
    const auto local = localTime(utc, offsetMin);
    return local ? QLocale().toString(local->time(), QStringLiteral("H:mm")) : QString();
}

QString FieldPhone::dateText(const std::string& utc, std::int64_t offsetMin) {
    const auto local = localTime(utc, offsetMin);
    return local ? QLocale().toString(local->date(), QStringLiteral("d MMMM yyyy")) : QString();
}

QString FieldPhone::dayText(const std::string& utc, std::int64_t offsetMin) {
    const auto local = localTime(utc, offsetMin);
    return local ? QLocale().toString(local->date(), QStringLiteral("d MMM")) : QString();
}

QString FieldPhone::hereText() {
    const auto place = session.placeNow(m_clock.now());
    if (!place)
        return tr("no position yet");
    const QString words = placeText(*place);
    const QString site = siteName(session.persisting().site);
    if (words.isEmpty())
        return site.isEmpty() ? tr("no position yet") : site;
    return words.startsWith(site) ? words : site + QStringLiteral("  ") + words;
}

std::string FieldPhone::sessionShown() {
    const auto latest = session.latest();
    return latest && *latest ? (*latest)->text() : std::string();
}

std::optional<journal::Record> FieldPhone::sessionRecord() {
    const std::string id = sessionShown();
    if (id.empty())
        return std::nullopt;
    auto record = projections().record(RecordType::Session, id);
    return record ? std::move(*record) : std::nullopt;
}

QString FieldPhone::originText(const std::string& origin) {
    return origin == "reared" ? tr("reared") : origin == "wild" ? tr("wild") : QString();
}

QString FieldPhone::markOf(const butterfly::Butterfly& butterfly) {
    switch (butterfly.fate) {
    case butterfly::Fate::Noted:
    case butterfly::Fate::Held:
        return QStringLiteral("held");
    case butterfly::Fate::Escaped:
    case butterfly::Fate::Untagged:
        return QStringLiteral("free");
    default:
        return butterfly.currentCode() ? QStringLiteral("on") : QStringLiteral("missing");
    }
}

QString FieldPhone::keptText(const json::object& body, std::string_view member) {
    const auto cited = journal::blobIn(body, member);
    const auto hash = journal::hashFromHex(cited.value_or(""));
    if (!hash)
        return {};
    const auto blob = m_journal.file().blob(*hash);
    return blob && *blob ? QString::fromStdString(std::string((*blob)->content())) : QString();
}

QImage FieldPhone::keptPicture(const json::object& body, std::string_view member) {
    const auto hash = journal::hashFromHex(journal::blobIn(body, member).value_or(""));
    const auto blob = hash ? m_journal.file().blob(*hash) : fail(Code::NotFound);
    if (!blob || !*blob)
        return {};
    const auto content = (*blob)->content();
    QByteArray bytes(content.data(), static_cast<qsizetype>(content.size()));
    QBuffer buffer(&bytes);
    QImageReader reader(&buffer);
    // Another phone's bytes may be anything: a few of them may unfold to gigabytes.
    constexpr int kMostSide = 2000;
    const QSize size = reader.size();
    return size.isValid() && std::max(size.width(), size.height()) <= kMostSide ? reader.read() : QImage();
}

QString FieldPhone::sexText(const std::string& sex) {
    if (sex == "female")
        return tr("female");
    if (sex == "male")
        return tr("male");
    return tr("can’t tell");
}

QString FieldPhone::fateText(const butterfly::Butterfly& butterfly) {
    switch (butterfly.fate) {
    case butterfly::Fate::Noted:
        return tr("in hand");
    case butterfly::Fate::Held:
        return tr("in the cage");
    case butterfly::Fate::Released:
        return tr("let go");
    case butterfly::Fate::Escaped:
        return tr("flew untagged");
    case butterfly::Fate::Died:
        return tr("died");
    case butterfly::Fate::Untagged:
        return tr("no tag");
    case butterfly::Fate::Seen:
        return tr("seen again");
    case butterfly::Fate::Unclear:
        break;
    }
    return tr("only partly known here");
}

QString FieldPhone::markOf(const tag::Code& code, const std::optional<tag::Code>& next) {
    if (next && code == *next)
        return QStringLiteral("next");
    const auto state = projections().tag(code);
    if (!state)
        return QStringLiteral("missing");
    switch (state->fate) {
    case tag::Fate::Free:
        if (state->needsNewer || state->holder.empty())
            return QStringLiteral("unclear");
        return state->holder == m_journal.device().text() ? QStringLiteral("free") : QStringLiteral("elsewhere");
    case tag::Fate::OnButterfly:
        for (const auto& id : state->butterflies)
            if (const auto b = projections().butterfly(id.text()); b && *b && (*b)->fate == butterfly::Fate::Held)
                return QStringLiteral("held");
        return QStringLiteral("on");
    case tag::Fate::Spoiled:
        return QStringLiteral("spoiled");
    case tag::Fate::Paper:
        return QStringLiteral("paper");
    case tag::Fate::Missing:
        return QStringLiteral("missing");
    case tag::Fate::Given:
        return QStringLiteral("given");
    }
    return QStringLiteral("free");
}

QString FieldPhone::doubtText(const std::string& key) {
    if (key.starts_with("code.used-twice"))
        return tr("This code is already on another butterfly. Look at the tag again; both are kept and marked.");
    if (key.starts_with("code.not-in-stock"))
        return tr("This code is on no sheet of ours. It is kept and marked.");
    if (key.starts_with("code.of-another-holder"))
        return tr("Another phone holds this tag. It is kept and marked.");
    if (key.starts_with("tag.two-fates"))
        return tr("This tag can’t have had both fates that are written of it. Both are kept and marked.");
    if (key.starts_with("butterfly.story-contradicted"))
        return tr("Not all of this story can be so, such as let go after it died. All is kept and marked.");
    if (key.starts_with("correction.at-odds"))
        return tr("Corrected in two ways by people who did not know of each other. The first is shown.");
    if (key.starts_with("correction.without-authority"))
        return tr("Corrected by a phone that may not. It stands as it was; the correction is kept.");
    return tr("Something doesn’t add up. It is kept and marked to check.");
}

int FieldPhone::letGoThisSeason() {
    const auto now = m_clock.now();
    const std::string from = time::localDate(now.wall, now.offset).substr(0, 4) + "-01-01T00:00:00.000Z";
    const auto count = projections().countReleasedSince(from);
    return count ? static_cast<int>(*count) : 0;
}

void FieldPhone::setPositionRefused(bool isRefused) {
    if (isRefused == m_isPositionRefused)
        return;
    m_isPositionRefused = isRefused;
    emit changed();
}

QString FieldPhone::sentenceFor(storage::Warning warning) {
    switch (warning) {
    case storage::Warning::DiskNearlyFull:
        return tr("This phone’s storage is nearly full. All butterflies are saved; make room before the next field day.");
    case storage::Warning::ReserveUsed:
        return tr("This phone’s storage was full, and the last room kept in reserve was used to save. All butterflies are "
                  "saved; make room now, the next may not be.");
    case storage::Warning::ProjectionsAside:
        return tr("There is little room on this phone, so Discal starts slowly. All butterflies are saved; make room.");
    }
    return {};
}

QString FieldPhone::sentenceFor(const Error& error) {
    const QString detail = QString::fromStdString(error.detail);
    switch (error.code) {
    case Code::NotACode:
        return detail.isEmpty() ? tr("That is not a tag code. It looks like RKD 014.")
                                : tr("That is not a tag code. It looks like %1.").arg(detail);
    case Code::AmbiguousCode:
        return tr("That may be %1. Look at the tag again.").arg(QString(detail).replace(QLatin1Char(' '), tr(" or ")));
    case Code::NotFound:
        if (detail == QLatin1String("a free tag on this device"))
            return tr("No free tag is left on this phone. Take in a sheet, or type the code that is on the tag.");
        return tr("Not found: %1. Nothing was changed.").arg(detail);
    case Code::DiskFull:
        return tr("This phone’s storage is full, so this was not saved. All earlier butterflies are safe. Make room, "
                  "then try again.");
    case Code::ReadOnly:
    case Code::Io:
        return tr("Saving failed, so this was not saved. All earlier butterflies are safe. Try again, or keep a copy.");
    case Code::OutOfMemory:
        return tr("There was not enough memory, so this was not saved. Close other programs and try again.");
    case Code::Busy:
        return tr("Another program is writing the journal: %1. Nothing was changed.").arg(detail);
    case Code::NewerFile:
        return tr("This journal was written by a later Discal. It was not touched. Update Discal to go on.");
    case Code::Corrupt:
        return tr("Something in the journal is damaged (%1). What is whole is kept.").arg(detail);
    case Code::NotAllowed:
        return tr("That can’t be done: %1.").arg(detail);
    case Code::NothingToDo:
        return tr("There is nothing to do.");
    case Code::OutOfRange:
    case Code::BadInput:
        return tr("That can’t be kept: %1.").arg(detail);
    default:
        return tr("That could not be done (%1). Nothing was changed.").arg(detail);
    }
}

} // namespace discal::viewmodels
