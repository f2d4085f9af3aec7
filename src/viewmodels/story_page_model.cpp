#include "viewmodels/story_page_model.h"

#include "core/journal/subjects.h"
#include "viewmodels/story_words.h"

#include <algorithm>
#include <map>
#include <set>

namespace discal::viewmodels {

namespace json = boost::json;
using journal::Entry;
using journal::Uuid;

namespace {

bool isOfLife(const Entry& entry) {
    return entry.line && (entry.line->kind.starts_with("butterfly.") || entry.line->kind.starts_with("tag."));
}

QString clockOf(const journal::Line& line) {
    return FieldPhone::clockText(time::formatUtc(line.at), line.offset.count());
}

QString dayOf(const journal::Line& line) {
    return FieldPhone::dayText(time::formatUtc(line.at), line.offset.count());
}

} // namespace

StoryPageModel::StoryPageModel(FieldPhone& phone, QObject* parent) : QAbstractListModel(parent), m_phone(phone) {
    connect(&m_phone, &FieldPhone::changed, this, &StoryPageModel::refresh);
}

int StoryPageModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(m_rows.size());
}

QHash<int, QByteArray> StoryPageModel::roleNames() const {
    return {{KindRole, "kind"}, {LineRole, "line"}, {WhenRole, "when"}, {WordsRole, "words"},
            {OldRole, "old"},   {WhyRole, "why"},   {GoneRole, "isGone"}, {PictureRole, "picture"},
            {HasPictureRole, "hasPicture"}};
}

QVariant StoryPageModel::data(const QModelIndex& index, int role) const {
    if (!index.isValid() || index.row() >= rowCount())
        return {};
    const Row& row = m_rows[static_cast<std::size_t>(index.row())];
    switch (role) {
    case KindRole:
        return row.kind;
    case LineRole:
        return row.line;
    case WhenRole:
        return row.when;
    case WordsRole:
    case Qt::DisplayRole:
        return row.words;
    case OldRole:
        return row.old;
    case WhyRole:
        return row.why;
    case GoneRole:
        return row.isGone;
    case PictureRole:
        return row.picture;
    case HasPictureRole:
        return !row.picture.isNull();
    default:
        return {};
    }
}

void StoryPageModel::read(const QString& butterfly) {
    m_id = butterfly.toStdString();
    m_failure.dismiss();
    refresh();
}

void StoryPageModel::addChanges(std::vector<Row>& rows, const Entry& entry, const QString& line) {
    auto corrections = m_phone.projections().linesOfSubject(journal::correctionsOf(entry.line->id));
    if (!corrections)
        return;
    StoryWords words(m_phone);
    // What each field said before the correction at hand.
    std::map<std::string, json::value> before;
    for (const Entry& correction : *corrections) {
        const auto* set = correction.line ? journal::objectIn(correction.line->body, "set") : nullptr;
        if (set == nullptr)
            continue;
        const auto amended = m_phone.projections().amendedLine(correction);
        for (const auto& member : *set) {
            const std::string field(member.key());
            const auto* original = entry.line->body.if_contains(field);
            if (!before.contains(field) && original != nullptr)
                before[field] = *original;
            if (!before.contains(field) && field == "at")
                before[field] = json::value(time::formatUtc(entry.line->at));
            Row row;
            row.kind = Change;
            row.line = line;
            row.when = clockOf(*correction.line);
            const auto known = before.find(field);
            row.old = words.ofValue(field, known == before.end() ? nullptr : &known->second);
            row.words = tr("%1: %2", "a field, its value now")
                            .arg(StoryWords::ofField(field), words.ofValue(field, &member.value()));
            row.why = StoryWords::ofWhy(journal::textIn(correction.line->body, "why").value_or(""));
            row.isGone = amended && amended->isWithdrawn;
            if (!row.isGone)
                before[field] = member.value();
            rows.push_back(std::move(row));
        }
    }
}

void StoryPageModel::refresh() {
    std::vector<Row> rows;
    std::set<std::string> doubts;
    StoryWords words(m_phone);
    if (const auto entries = m_phone.projections().linesOfSubject(m_id); entries && !m_id.empty()) {
        QString day;
        for (const Entry& entry : *entries) {
            if (!isOfLife(entry))
                continue;
            const auto amended = m_phone.projections().amendedLine(entry);
            if (!amended)
                continue;
            Row row;
            row.line = QString::fromStdString(entry.line->id.text());
            row.words = words.ofLine(*amended);
            row.isGone = amended->isWithdrawn;
            row.picture = m_phone.keptPicture(amended->line.body, "picture");
            const QString rowDay = dayOf(amended->line);
            row.when = day == rowDay ? clockOf(amended->line)
                                     : tr("%1\n%2", "day, time: in two lines").arg(rowDay, clockOf(amended->line));
            day = rowDay;
            const QString line = row.line;
            rows.push_back(std::move(row));
            addChanges(rows, entry, line);
            if (amended->isWithdrawn)
                continue;
            auto marks = m_phone.projections().marksOf(entry.line->id);
            for (const auto& key : marks ? *marks : std::vector<std::string>())
                if (doubts.insert(key).second) {
                    Row doubt;
                    doubt.kind = Doubt;
                    doubt.line = line;
                    doubt.words = FieldPhone::doubtText(key);
                    rows.push_back(std::move(doubt));
                }
        }
    }
    beginResetModel();
    m_rows = std::move(rows);
    endResetModel();

    m_letters.clear();
    m_digits.clear();
    m_summary.clear();
    m_isHeld = false;
    const auto b = m_phone.projections().butterfly(m_id);
    if (b && *b) {
        if (const auto code = tag::Code::fromText((*b)->currentCode().value_or(""))) {
            m_letters = QString::fromStdString(std::string(code->letters()));
            m_digits = QString::fromStdString(std::string(code->digits()));
        }
        QStringList parts{FieldPhone::sexText((*b)->sex)};
        if (!(*b)->origin.empty())
            parts << FieldPhone::originText((*b)->origin);
        parts << FieldPhone::fateText(**b);
        if ((*b)->needsNewer)
            parts << tr("needs a newer Discal");
        m_summary = parts.join(QStringLiteral(" · "));
        m_isHeld = (*b)->fate == butterfly::Fate::Held;
        m_isOnlyHere = (*b)->device == m_phone.journal().device().text();
    } else if (!m_rows.empty()) {
        m_summary = tr("all of it taken back");
    }
    emit refreshed();
    refreshLine();
}

void StoryPageModel::look(const QString& line) {
    m_line = line.toStdString();
    m_failure.dismiss();
    const auto id = Uuid::parse(m_line);
    const auto entries = id ? m_phone.projections().linesWithId(*id) : fail(Code::NotFound);
    if (entries && !entries->empty() && isOfLife(entries->front()) && !entries->front().line->about.empty())
        m_id = entries->front().line->about.front().text();
    refresh();
}

void StoryPageModel::refreshLine() {
    m_lineText.clear();
    m_lineWhen.clear();
    m_isLineTakenBack = false;
    m_canTakeBack = false;
    m_actButterflies = 0;
    const auto id = Uuid::parse(m_line);
    const auto entries = id ? m_phone.projections().linesWithId(*id) : fail(Code::NotFound);
    if (entries && !entries->empty()) {
        const Entry& entry = entries->front();
        if (const auto amended = m_phone.projections().amendedLine(entry)) {
            m_lineText = StoryWords(m_phone).ofLine(*amended);
            m_lineWhen = tr("%1, %2", "day, time").arg(dayOf(amended->line), clockOf(amended->line));
            m_isLineTakenBack = amended->isWithdrawn;
            const auto& device = m_phone.journal().device();
            m_canTakeBack = entry.device == device ||
                            m_phone.projections().roles().now(device) == station::Role::Office;
            std::set<std::string> others;
            if (const auto act = m_phone.projections().linesOfAct(entry.line->act))
                for (const Entry& line : *act)
                    if (isOfLife(line) && !line.line->about.empty())
                        others.insert(line.line->about.front().text());
            m_actButterflies = static_cast<int>(others.size());
        }
    }
    emit lineChanged();
}

std::optional<Uuid> StoryPageModel::withdrawalOf(const Uuid& act) {
    const auto withdrawals = m_phone.projections().linesOfSubject(journal::withdrawalsOf(act));
    if (!withdrawals)
        return std::nullopt;
    for (auto w = withdrawals->rbegin(); w != withdrawals->rend(); ++w) {
        if (!w->line)
            continue;
        const auto amended = m_phone.projections().amendedLine(*w);
        if (amended && !amended->isWithdrawn)
            return w->line->act;
    }
    return std::nullopt;
}

bool StoryPageModel::finish(Result<services::Saved> saved) {
    saved = m_phone.done(std::move(saved));
    if (!saved) {
        m_failure.set(saved.error());
        return false;
    }
    m_failure.dismiss();
    return true;
}

bool StoryPageModel::takeBack() {
    const auto id = Uuid::parse(m_line);
    const auto entries = id ? m_phone.projections().linesWithId(*id) : fail(Code::NotFound);
    if (!entries || entries->empty() || m_isLineTakenBack)
        return false;
    return finish(m_phone.takeBack(entries->front().line->act, "taken back"));
}

bool StoryPageModel::bringAgain() {
    const auto id = Uuid::parse(m_line);
    const auto entries = id ? m_phone.projections().linesWithId(*id) : fail(Code::NotFound);
    if (!entries || entries->empty())
        return false;
    const auto withdrawal = withdrawalOf(entries->front().line->act);
    return withdrawal && finish(m_phone.takeBack(*withdrawal, "brought again"));
}

bool StoryPageModel::letGo() { return m_isHeld && finish(m_phone.tagging.release(m_id)); }

bool StoryPageModel::letGoByVisitor() {
    if (!m_isHeld)
        return false;
    const auto number = m_phone.station.nextVisitor(m_phone.clock().now());
    const auto visitor = number ? m_phone.station.visitor(*number) : fail(number.error());
    return finish(visitor ? m_phone.tagging.release(m_id, visitor->id) : fail(visitor.error()));
}

bool StoryPageModel::died() { return m_isHeld && finish(m_phone.tagging.died(m_id, services::Tagging::TagOn::Wing)); }

} // namespace discal::viewmodels
