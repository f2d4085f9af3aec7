#include "viewmodels/held_page_model.h"

#include <algorithm>
#include <tuple>

namespace discal::viewmodels {

using butterfly::Butterfly;
using butterfly::Fate;
using journal::Kind;
using journal::Uuid;
using std::chrono::hours;
using std::chrono::minutes;

namespace {

/// How far back in our own lines, and for how long, exceptions are offered. Our choice.
constexpr std::int64_t kLookBack = 120;
constexpr hours kExceptFor{12};

QString cageWords(const std::string& cage) {
    return cage.empty() ? HeldPageModel::tr("the cage") : QString::fromStdString(cage);
}

QString lastingText(minutes time) {
    const auto h = static_cast<int>(std::chrono::duration_cast<hours>(time).count());
    const auto min = static_cast<int>(time.count() % 60);
    return h == 0 ? HeldPageModel::tr("%1 min").arg(min)
                  : h < 24 ? HeldPageModel::tr("%1 h %2 min").arg(h).arg(min) : HeldPageModel::tr("%1 h").arg(h);
}

} // namespace

HeldPageModel::HeldPageModel(FieldPhone& phone, QObject* parent) : KeyedListModel(parent), m_phone(phone) {
    connect(&m_phone, &FieldPhone::changed, this, &HeldPageModel::refresh);
    connect(this, &HeldPageModel::isShownChanged, this, [this] {
        if (!m_isShown)
            m_said.clear();
        refresh();
    });
    refresh();
}

QHash<int, QByteArray> HeldPageModel::roleNames() const {
    return {{ButterflyRole, "butterfly"}, {LettersRole, "letters"}, {DigitsRole, "digits"}, {SexRole, "sex"},
            {SinceRole, "since"},         {OriginRole, "origin"},   {TooLongRole, "tooLong"}, {CageRole, "cage"}};
}

QVariant HeldPageModel::data(const QModelIndex& index, int role) const {
    if (!has(index))
        return {};
    const QString& key = keyAt(index.row());
    const Row row = m_rows.value(key);
    switch (role) {
    case ButterflyRole:
        return key;
    case LettersRole:
        return row.letters;
    case Qt::DisplayRole:
        return row.letters + QLatin1Char(' ') + row.digits;
    case DigitsRole:
        return row.digits;
    case SexRole:
        return row.sex;
    case SinceRole:
        return row.since;
    case OriginRole:
        return row.origin;
    case TooLongRole:
        return row.tooLong;
    case CageRole:
        return row.cage;
    default:
        return {};
    }
}

QStringList HeldPageModel::cages() const {
    if (m_cageNames.size() < 2)
        return {};
    QStringList out{tr("all cages")};
    for (const auto& name : m_cageNames)
        out << cageWords(name);
    return out;
}

QString HeldPageModel::cageInUse() const { return QString::fromStdString(m_phone.session.persisting().cage); }

QStringList HeldPageModel::knownCages() const {
    QStringList out;
    for (const auto& name : m_cageNames)
        if (!name.empty())
            out << QString::fromStdString(name);
    if (!cageInUse().isEmpty() && !out.contains(cageInUse()))
        out << cageInUse();
    out.sort();
    return out;
}

void HeldPageModel::useCage(const QString& name) {
    m_phone.carryOver([&](auto& persisting) { persisting.cage = name.trimmed().toStdString(); });
}

int HeldPageModel::chosenCage() const {
    const auto at = m_cage ? std::find(m_cageNames.begin(), m_cageNames.end(), *m_cage) : m_cageNames.end();
    return at == m_cageNames.end() ? 0 : static_cast<int>(at - m_cageNames.begin()) + 1;
}

void HeldPageModel::chooseCage(int which) {
    const bool isOne = which >= 1 && which <= static_cast<int>(m_cageNames.size());
    m_cage = isOne ? std::optional(m_cageNames[static_cast<std::size_t>(which) - 1]) : std::nullopt;
    refresh();
}

void HeldPageModel::setTooLongHours(int hoursLong) {
    m_tooLongHours = std::max(1, hoursLong);
    refresh();
}

void HeldPageModel::refresh() {
    const auto all = m_phone.projections().butterfliesWithFate(Fate::Held);
    if (!all)
        return;
    const services::Moment now = m_phone.clock().now();
    m_heldCount = static_cast<int>(all->size());
    m_cageNames.clear();
    for (const Butterfly& b : *all)
        m_cageNames.push_back(b.cage);
    std::sort(m_cageNames.begin(), m_cageNames.end());
    m_cageNames.erase(std::unique(m_cageNames.begin(), m_cageNames.end()), m_cageNames.end());
    if (m_cage && std::find(m_cageNames.begin(), m_cageNames.end(), *m_cage) == m_cageNames.end())
        m_cage.reset();

    std::vector<const Butterfly*> shown;
    for (const Butterfly& b : *all)
        if (!m_cage || b.cage == *m_cage)
            shown.push_back(&b);
    std::stable_sort(shown.begin(), shown.end(), [](const Butterfly* a, const Butterfly* b) {
        return std::tie(a->cage, a->heldSince, a->notedAt) < std::tie(b->cage, b->heldSince, b->notedAt);
    });
    const auto nowText = time::formatUtc(now.wall);
    const QString today = FieldPhone::dayText(nowText, now.offset.count());
    minutes longest{0};
    int tooLong = 0;
    std::vector<QString> keys;
    for (const Butterfly* b : shown) {
        Row row;
        if (const auto code = tag::Code::fromText(b->currentCode().value_or(""))) {
            row.letters = QString::fromStdString(std::string(code->letters()));
            row.digits = QString::fromStdString(std::string(code->digits()));
        }
        row.sex = FieldPhone::sexText(b->sex);
        row.cage = cageWords(b->cage);
        const QString day = FieldPhone::dayText(b->heldSince, b->offsetMin);
        const QString clock = FieldPhone::clockText(b->heldSince, b->offsetMin);
        row.since = day == today ? clock : tr("%1, %2", "day, time").arg(day, clock);
        row.origin = FieldPhone::originText(b->origin);
        if (const auto since = time::parseUtc(b->heldSince)) {
            const auto in = std::chrono::duration_cast<minutes>(now.wall - *since);
            longest = std::max(longest, in);
            if (in >= hours(m_tooLongHours)) {
                ++tooLong;
                row.tooLong = tr("in for %1", "a butterfly in its cage, a time").arg(lastingText(in));
            }
        }
        const QString key = QString::fromStdString(b->id.text());
        keys.push_back(key);
        m_rows.insert(key, row);
    }
    takeOver(keys);

    const QString where = m_cage                      ? cageWords(*m_cage)
                          : m_cageNames.size() == 1   ? cageWords(m_cageNames.front())
                                                      : tr("%n cages", "", static_cast<int>(m_cageNames.size()));
    m_summary = keys.empty() ? QString()
                             : tr("%1 · %2 · longest %3", "cage, how many, how long")
                                   .arg(where, tr("%n tagged", "", static_cast<int>(keys.size())), lastingText(longest));
    m_caution = tooLong == 0 ? QString()
                             : tr("%n in the cage for more than %1 hours. Feed, or let go: common practice for any "
                                  "that is held.", "", tooLong).arg(m_tooLongHours);
    m_goText = tr("here, now: %1").arg(m_phone.hereText());
    m_lastText = m_said;
    m_canUndo = false;
    if (m_isShown) {
        m_lastGone = lastGone();
        const auto act = m_phone.amending.lastAct();
        const bool isAct = act && act->has_value();
        m_canUndo = isAct && (!m_said.isEmpty() || (m_lastGone && m_lastGone->act == **act));
        if (m_said.isEmpty() && m_lastGone)
            m_lastText = tr("%n let go from the cage at %1", "", static_cast<int>(m_lastGone->ids.size()))
                             .arg(FieldPhone::clockText(m_lastGone->at, m_lastGone->offsetMin));
    }
    emit refreshed();
}

std::optional<HeldPageModel::Gone> HeldPageModel::lastGone() {
    auto& journal = m_phone.journal();
    const auto now = m_phone.clock().now().wall;
    const std::int64_t head = journal.head().seq;
    for (std::int64_t seq = head; seq > 0 && seq > head - kLookBack; --seq) {
        auto bytes = journal.file().line(journal.device(), seq);
        if (!bytes || !*bytes)
            return std::nullopt;
        const auto entry = journal::makeEntry(journal.device(), seq, std::move(**bytes));
        if (!entry.line || journal::kindOf(entry.line->kind) != Kind::ButterflyReleased || entry.line->about.empty())
            continue;
        if (now - entry.line->at > kExceptFor)
            return std::nullopt;
        const auto amended = m_phone.projections().amendedLine(entry);
        const auto b = m_phone.projections().butterfly(entry.line->about.front().text());
        if (!amended || amended->isWithdrawn || !b || !*b || (*b)->heldSince.empty())
            continue;
        const auto lines = m_phone.projections().linesOfAct(entry.line->act);
        if (!lines)
            return std::nullopt;
        Gone gone{entry.line->act, {}, time::formatUtc(entry.line->at), entry.line->offset.count()};
        for (const auto& line : *lines)
            if (line.line && journal::kindOf(line.line->kind) == Kind::ButterflyReleased && !line.line->about.empty())
                gone.ids.push_back(line.line->about.front().text());
        return gone;
    }
    return std::nullopt;
}

std::vector<std::string> HeldPageModel::shownIds() const {
    std::vector<std::string> out;
    for (const QString& key : keys())
        out.push_back(key.toStdString());
    return out;
}

bool HeldPageModel::letGo(const std::vector<std::string>& staying, const std::vector<std::string>& dead) {
    // Whoever is in a cage that isn't shown stays, and so does whoever came in since the page was read.
    std::vector<std::string> except = staying;
    const auto all = m_phone.projections().butterfliesWithFate(Fate::Held);
    if (!all) {
        m_failure.set(all.error());
        return false;
    }
    const auto shown = shownIds();
    for (const Butterfly& b : *all)
        if (std::find(shown.begin(), shown.end(), b.id.text()) == shown.end())
            except.push_back(b.id.text());
    const int going = static_cast<int>(shown.size() - staying.size() - dead.size());
    auto saved = m_phone.tagging.releaseCage("", except, dead);
    if (!saved) {
        saved = m_phone.done(std::move(saved));
        m_failure.set(saved.error(), [this, staying, dead] { (void)letGo(staying, dead); },
                      rowCount() == 1 ? tr("%1: letting it go is not saved.").arg(nameOf(keys().front()))
                                      : tr("%n butterflies: letting them go is not saved.", "", going));
        return false;
    }
    m_failure.dismiss();
    m_said = tr("%n on the way.", "butterflies let go", going);
    m_phone.done(std::move(saved));
    return true;
}

QString HeldPageModel::nameOf(const QString& butterfly) const {
    const Row row = m_rows.value(butterfly);
    return tr("%1 %2, %3", "letters and digits of a code, sex").arg(row.letters, row.digits, row.sex);
}

void HeldPageModel::allGo() {
    if (rowCount() > 0)
        (void)letGo({}, {});
}

void HeldPageModel::lostTag(const QString& butterfly) {
    auto saved = m_phone.tagging.spoiled(butterfly.toStdString(), std::nullopt);
    if (!saved) {
        saved = m_phone.done(std::move(saved));
        return m_failure.set(saved.error(), [this, butterfly] { lostTag(butterfly); },
                             tr("%1: its next tag is not saved.").arg(nameOf(butterfly)));
    }
    m_failure.dismiss();
    const auto now = m_phone.tagging.find(butterfly.toStdString());
    if (now)
        m_said = tr("The same butterfly, the next tag: %1.")
                     .arg(QString::fromStdString(now->currentCode().value_or("")));
    m_phone.done(std::move(saved));
}

void HeldPageModel::undo() {
    const auto act = m_phone.amending.lastAct();
    if (!act)
        return m_failure.set(act.error(), [this] { undo(); });
    if (!*act)
        return;
    auto saved = m_phone.takeBack(**act, "undo");
    if (!saved) {
        saved = m_phone.done(std::move(saved));
        return m_failure.set(saved.error(), [this] { undo(); }, tr("The undo is not saved."));
    }
    m_failure.dismiss();
    m_said.clear();
    m_phone.done(std::move(saved));
}

void HeldPageModel::say(const QString& sentence) {
    m_said = sentence;
    refresh();
}

} // namespace discal::viewmodels
