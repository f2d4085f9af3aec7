#include "viewmodels/troubles_model.h"

#include <QLocale>
#include <algorithm>
#include <utility>

namespace discal::viewmodels {

namespace {

const QString kStorage = QStringLiteral("storage");
const QString kClock = QStringLiteral("clock");
const QString kCopy = QStringLiteral("copy");
const QString kPermit = QStringLiteral("permit");
const QString kBattery = QStringLiteral("battery");
const QString kPosition = QStringLiteral("position");
/// First what may lose the next line, then what makes all of them wrong, then what would lose them with the phone.
const QStringList kGravestFirst{kStorage, kClock, kCopy, kPermit, kBattery, kPosition};

/// A phone that sets its clock by the network or the satellites is right to a second or so; by hand, to some minutes.
constexpr std::chrono::minutes kClockMayDiffer{5};

} // namespace

TroublesModel::TroublesModel(FieldPhone& phone, QObject* parent) : KeyedListModel(parent), m_phone(phone) {
    connect(&m_phone, &FieldPhone::changed, this, &TroublesModel::look);
    look();
}

QHash<int, QByteArray> TroublesModel::roleNames() const {
    return {{TroubleRole, "trouble"},
            {LineRole, "line"},
            {WordsRole, "words"},
            {ActionRole, "action"},
            {PageRole, "page"}};
}

QVariant TroublesModel::data(const QModelIndex& index, int role) const {
    if (!has(index))
        return {};
    const QString& key = keyAt(index.row());
    const auto trouble = m_troubles.constFind(key);
    if (trouble == m_troubles.cend())
        return {};
    switch (role) {
    case TroubleRole:
        return key;
    case Qt::DisplayRole:
    case LineRole:
        return trouble->line;
    case WordsRole:
        return trouble->words;
    case ActionRole:
        return trouble->action;
    case PageRole:
        return trouble->page;
    default:
        return {};
    }
}

QString TroublesModel::gravest() const {
    return keys().empty() || keys().front() == kPosition ? QString() : m_troubles.value(keys().front()).line;
}

void TroublesModel::set(const QString& key, Trouble trouble) {
    const bool isThere = !trouble.line.isEmpty();
    if (isThere ? m_troubles.value(key) == trouble : !m_troubles.contains(key))
        return;
    if (isThere)
        m_troubles.insert(key, std::move(trouble));
    std::vector<QString> fresh;
    for (const QString& one : kGravestFirst)
        if (m_troubles.contains(one) && (isThere || one != key))
            fresh.push_back(one);
    takeOver(fresh);
    if (!isThere)
        m_troubles.remove(key);
    emit refreshed();
}

void TroublesModel::setWarnings(const std::vector<storage::Warning>& warnings) {
    using storage::Warning;
    const auto isSaid = [&](Warning warning) {
        return std::find(warnings.begin(), warnings.end(), warning) != warnings.end();
    };
    Trouble trouble;
    if (isSaid(Warning::ReserveUsed))
        trouble = {tr("Storage is full."), FieldPhone::sentenceFor(Warning::ReserveUsed), {}, {}};
    else if (isSaid(Warning::DiskNearlyFull))
        trouble = {tr("Storage is nearly full."), FieldPhone::sentenceFor(Warning::DiskNearlyFull), {}, {}};
    else if (isSaid(Warning::ProjectionsAside))
        trouble = {tr("There is little storage left."), FieldPhone::sentenceFor(Warning::ProjectionsAside), {}, {}};
    set(kStorage, std::move(trouble));
}

void TroublesModel::setCopyTrouble(const QString& line, const QString& words) {
    set(kCopy, {line, words, tr("Keep a safe copy"), QStringLiteral("copy")});
}

void TroublesModel::setPermitPast(const QString& line) {
    set(kPermit, {line, tr("Butterflies are written down as before. Local rules say what may be done now."),
                  tr("To the permit"), QStringLiteral("station")});
}

void TroublesModel::setBattery(int percent, bool isRunningDown) {
    Trouble trouble;
    if (isRunningDown && percent < kLowPercent)
        trouble = {tr("Battery at %1 %.").arg(QLocale().toString(percent)),
                   tr("Every butterfly is saved as you tap, also if the phone goes off. Share the day to keep it "
                      "elsewhere too."),
                   tr("Share the day"), QStringLiteral("copy")};
    set(kBattery, std::move(trouble));
}

void TroublesModel::look() {
    set(kClock, {clockLine(m_phone.clock().now()),
                 tr("Set it in the phone’s settings. All lines are safe and keep their order meanwhile; only their "
                    "date and time are wrong."),
                 {}, {}});
    Trouble refused;
    if (m_phone.isPositionRefused())
        refused = {tr("Discal may not know where it is."),
                   tr("Butterflies get the place of the site that is chosen. Allow positions in the phone’s settings, "
                      "or choose the site where you are."),
                   tr("Choose the site"), QStringLiteral("sites")};
    set(kPosition, std::move(refused));
}

QString TroublesModel::clockLine(const services::Moment& moment) const {
    using std::chrono::milliseconds;
    const auto lasting = [](milliseconds time) {
        const auto minutes = std::chrono::round<std::chrono::minutes>(time).count();
        constexpr std::int64_t kDay = 24 * 60;
        return minutes < 120      ? tr("%n min", "", static_cast<int>(minutes))
               : minutes < 2 * kDay ? tr("%n h", "", static_cast<int>(minutes / 60))
                                    : tr("%n days", "", static_cast<int>(minutes / kDay));
    };
    const auto fixes = m_phone.positions().fixesUntil(moment.upMs);
    if (!fixes.empty() && fixes.back().utc != time::Instant{}) {
        const milliseconds ahead = moment.wall - (fixes.back().utc + milliseconds(moment.upMs - fixes.back().upMs));
        if (ahead >= kClockMayDiffer)
            return tr("The phone’s clock is %1 ahead.").arg(lasting(ahead));
        if (-ahead >= kClockMayDiffer)
            return tr("The phone’s clock is %1 behind.").arg(lasting(-ahead));
        return {};
    }
    if (const auto last = m_phone.session.lastWall(); last && *last - moment.wall >= kClockMayDiffer)
        return tr("The clock was set back by %1.").arg(lasting(*last - moment.wall));
    return {};
}

} // namespace discal::viewmodels
