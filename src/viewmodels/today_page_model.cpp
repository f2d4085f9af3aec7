#include "viewmodels/today_page_model.h"

#include <QLocale>
#include <algorithm>
#include <map>

namespace discal::viewmodels {

using butterfly::Butterfly;
using butterfly::Fate;

namespace {

/// Some screens full: few enough to be read within a frame or two.
constexpr std::int64_t kPage = 60;

} // namespace

TodayPageModel::TodayPageModel(FieldPhone& phone, QObject* parent) : KeyedListModel(parent), m_phone(phone) {
    connect(&m_phone, &FieldPhone::changed, this, [this] {
        m_isStale = true;
        refresh();
    });
    connect(this, &TodayPageModel::isShownChanged, this, &TodayPageModel::refresh);
    refresh();
}

QHash<int, QByteArray> TodayPageModel::roleNames() const {
    return {{ButterflyRole, "butterfly"}, {LettersRole, "letters"}, {DigitsRole, "digits"}, {SexRole, "sex"},
            {MarkRole, "mark"},           {WhenRole, "when"},       {WhereRole, "where"}};
}

QVariant TodayPageModel::data(const QModelIndex& index, int role) const {
    if (!has(index))
        return {};
    const QString& key = keyAt(index.row());
    const auto row = m_rows.constFind(key);
    if (row == m_rows.cend())
        return {};
    switch (role) {
    case ButterflyRole:
        return key;
    case LettersRole:
        return row->letters;
    case Qt::DisplayRole:
        return row->letters + QLatin1Char(' ') + row->digits;
    case DigitsRole:
        return row->digits;
    case SexRole:
        return row->sex;
    case MarkRole:
        return row->mark;
    case WhenRole:
        return row->when;
    case WhereRole:
        return row->where;
    default:
        return {};
    }
}

void TodayPageModel::take(const std::vector<Butterfly>& read, std::vector<QString>& keys) {
    for (const Butterfly& b : read) {
        Row row;
        if (const auto code = tag::Code::fromText(b.currentCode().value_or(""))) {
            row.letters = QString::fromStdString(std::string(code->letters()));
            row.digits = QString::fromStdString(std::string(code->digits()));
        }
        row.sex = FieldPhone::sexText(b.sex);
        row.mark = FieldPhone::markOf(b);
        row.when = FieldPhone::clockText(b.notedAt, b.offsetMin);
        if (m_hasPassedMidnight)
            row.when = tr("%1, %2", "day, time").arg(FieldPhone::dayText(b.notedAt, b.offsetMin), row.when);
        const auto& place = b.released.empty() ? b.taken : b.released;
        const auto site = journal::textIn(place, "site");
        if (b.fate == Fate::Released && site) {
            const QString id = QString::fromStdString(std::string(*site));
            if (!m_sites.contains(id))
                m_sites.insert(id, m_phone.siteName(std::string(*site)));
            row.where = m_sites.value(id);
        }
        if (row.where.isEmpty())
            row.where = b.fate == Fate::Held && !b.cage.empty() ? QString::fromStdString(b.cage) : FieldPhone::fateText(b);
        row.notedAt = b.notedAt;
        keys.push_back(QString::fromStdString(b.id.text()));
        m_rows.insert(keys.back(), std::move(row));
    }
}

void TodayPageModel::refresh() {
    const std::string session = m_phone.sessionShown();
    const auto count = session.empty() ? Result<std::int64_t>(0) : m_phone.projections().countOfSession(session);
    m_total = count ? static_cast<int>(*count) : 0;
    emit countChanged();
    if (!m_isShown || !m_isStale)
        return;
    m_isStale = false;
    if (session != m_session) {
        if (!m_session.empty() && !m_chosen.isEmpty()) {
            m_chosen.clear();
            emit chosenChanged();
        }
        m_session = session;
        takeOver({});
        m_rows.clear();
    }
    m_sites.clear();
    refreshSummary();
    std::vector<QString> keys;
    if (!session.empty()) {
        const auto wanted = std::max<std::int64_t>(kPage, rowCount());
        if (const auto read = m_phone.projections().newestOfSession(session, wanted))
            take(*read, keys);
    }
    takeOver(keys);
    emit refreshed();
}

void TodayPageModel::refreshSummary() {
    m_day.clear();
    m_sexes.clear();
    m_origins.clear();
    m_hasPassedMidnight = false;
    m_isOnlyHere = true;
    if (m_session.empty() || m_total == 0)
        return;
    std::map<std::string, int> sexes;
    std::map<std::string, int> origins;
    std::string first;
    std::string last;
    const auto tallies = m_phone.projections().tallyOfSession(m_session);
    if (!tallies)
        return;
    for (const auto& tally : *tallies) {
        sexes[tally.sex] += static_cast<int>(tally.count);
        origins[tally.origin] += static_cast<int>(tally.count);
        if (first.empty() || tally.first < first)
            first = tally.first;
        last = std::max(last, tally.last);
    }
    // What is not known is counted with the rest of what can't be told, so that the parts make the whole.
    QStringList parts;
    const auto part = [&](int n, const QString& words) {
        if (n > 0)
            parts << words;
    };
    const int unknown = m_total - sexes["male"] - sexes["female"];
    part(sexes["male"], tr("%n male", "", sexes["male"]));
    part(sexes["female"], tr("%n female", "", sexes["female"]));
    part(unknown, tr("%n can’t tell", "sex", unknown));
    m_sexes = parts.join(QStringLiteral(" · "));
    parts.clear();
    const int unsaid = m_total - origins["wild"] - origins["reared"];
    part(origins["wild"], tr("%n wild", "", origins["wild"]));
    part(origins["reared"], tr("%n reared", "", origins["reared"]));
    part(unsaid, tr("%n origin not said", "", unsaid));
    m_origins = parts.join(QStringLiteral(" · "));

    const auto newest = m_phone.projections().newestOfSession(m_session, 1);
    const std::int64_t offset = newest && !newest->empty() ? newest->front().offsetMin : 0;
    m_day = FieldPhone::dateText(first, offset);
    m_hasPassedMidnight = m_day != FieldPhone::dateText(last, offset);
    // Lines of another device came from it; ours have gone nowhere as far as this phone knows.
    m_isOnlyHere = newest && !newest->empty() && newest->front().device == m_phone.journal().device().text();
}

bool TodayPageModel::canFetchMore(const QModelIndex& parent) const {
    return !parent.isValid() && !isChanging() && rowCount() < m_total;
}

void TodayPageModel::fetchMore(const QModelIndex& parent) {
    if (parent.isValid() || isChanging() || m_session.empty() || keys().empty())
        return;
    const QString& oldest = keys().back();
    const auto read = m_phone.projections().olderOfSession(m_session, m_rows.value(oldest).notedAt,
                                                           oldest.toStdString(), kPage);
    if (!read)
        return;
    std::vector<QString> further;
    take(*read, further);
    append(further);
}

} // namespace discal::viewmodels
