#include "viewmodels/session_page_model.h"

namespace discal::viewmodels {

namespace json = boost::json;
using journal::numberIn;
using journal::textIn;

namespace {

std::int64_t minutesBetween(const std::string& from, time::Instant until) {
    const auto begun = time::parseUtc(from);
    return begun ? std::chrono::floor<std::chrono::minutes>(until - *begun).count() : 0;
}

} // namespace

SessionPageModel::SessionPageModel(FieldPhone& phone, QObject* parent) : QObject(parent), m_phone(phone) {
    connect(&m_phone, &FieldPhone::changed, this, &SessionPageModel::refresh);
    refresh();
    // What was typed before the program ended comes back as a draft.
    m_draftOf = m_session;
}

void SessionPageModel::refresh() {
    m_isOpen = m_phone.session.current().has_value();
    m_openedAt.clear();
    m_when.clear();
    m_inHand.clear();
    m_effort.clear();
    m_session = m_phone.sessionShown();
    if (const auto record = m_phone.sessionRecord()) {
        const json::object& members = record->members;
        const std::int64_t offset = numberIn(members, "offset_min").value_or(0);
        m_openedAt = textIn(members, "opened_at").value_or("");
        const QString opened = FieldPhone::clockText(m_openedAt, offset);
        const int count = static_cast<int>(m_phone.projections().countOfSession(m_session).value_or(0));
        if (const auto closed = textIn(members, "closed_at"))
            m_when = tr("%1, %2 to %3", "a day, two times")
                         .arg(FieldPhone::dayText(m_openedAt, offset), opened,
                              FieldPhone::clockText(std::string(*closed), offset));
        else
            m_when = tr("since %1").arg(opened);
        m_when += tr(", ") + tr("%n butterfly(ies)", "", count);
        QStringList effort;
        if (const auto minutes = numberIn(members, "effort_min"))
            effort << tr("%n minute(s)", "", static_cast<int>(*minutes));
        if (const auto people = numberIn(members, "people"))
            effort << tr("%n person(s)", "", static_cast<int>(*people));
        const QString note = m_phone.keptText(members, "note");
        if (!note.isEmpty())
            effort << tr("“%1”", "a note").arg(note);
        m_effort = effort.join(tr(", "));
    }
    if (const auto open = m_phone.tagging.find(std::nullopt))
        m_inHand = QString::fromStdString(open->currentCode().value_or("")).replace(QLatin1Char(' '), QChar::Nbsp);
    emit refreshed();
}

void SessionPageModel::begin() {
    m_failure.dismiss();
    refresh();
    if (m_draftOf != m_session) {
        m_people.clear();
        m_note.clear();
        m_minutes = m_proposed = {};
        m_draftOf = m_session;
    }
    if (m_minutes == m_proposed) {
        const std::int64_t spent = m_isOpen ? minutesBetween(m_openedAt, m_phone.clock().now().wall) : 0;
        m_minutes = m_proposed = spent > 0 ? QString::number(spent) : QString();
    }
    emit drafted();
}

void SessionPageModel::letGo() {
    if (auto saved = m_phone.done(m_phone.tagging.release(std::nullopt)); !saved)
        return m_failure.set(saved.error(), [this] { letGo(); });
    m_failure.dismiss();
}

void SessionPageModel::intoCage() {
    if (auto saved = m_phone.done(m_phone.tagging.hold(std::nullopt, {})); !saved)
        return m_failure.set(saved.error(), [this] { intoCage(); });
    m_failure.dismiss();
}

bool SessionPageModel::end() {
    if (!m_inHand.isEmpty()) {
        m_failure.set(tr("What became of %1? Say that first.").arg(m_inHand));
        return false;
    }
    services::FieldSession::Effort effort;
    effort.note = m_note.trimmed().toStdString();
    const auto take = [&](const QString& text, std::optional<std::int64_t>& to) {
        if (text.trimmed().isEmpty())
            return true;
        bool isNumber = false;
        const qlonglong number = text.trimmed().toLongLong(&isNumber);
        to = number;
        return isNumber && number >= 0 && number <= 100'000;
    };
    if (!take(m_minutes, effort.minutes) || !take(m_people, effort.people)) {
        m_failure.set(tr("Minutes and people are whole numbers, such as 90 and 2. Leave open what you don’t know."));
        return false;
    }
    if (auto saved = m_phone.done(m_phone.session.close(effort)); !saved) {
        m_failure.set(saved.error(), [this] { end(); });
        return false;
    }
    m_minutes = m_proposed = {};
    m_people.clear();
    m_note.clear();
    emit drafted();
    m_failure.dismiss();
    return true;
}

} // namespace discal::viewmodels
