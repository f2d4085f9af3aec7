#include "viewmodels/sheet_page_model.h"

#include <algorithm>

namespace discal::viewmodels {

namespace {

/// Most codes that are offered for the same last digits: as many as fit beside the pad.
constexpr std::size_t kMostCandidates = 3;
/// Most tags that are looked through for them: some dozens of sheets.
constexpr std::uint32_t kMostLookedAt = 2000;
/// Our sheets as makers print them when nobody said how many stand in a row.
constexpr int kUsualRow = 5;

QString qstring(std::string_view text) { return QString::fromUtf8(text.data(), static_cast<qsizetype>(text.size())); }

} // namespace

SheetPageModel::SheetPageModel(FieldPhone& phone, QObject* parent) : QAbstractListModel(parent), m_phone(phone) {
    connect(&m_phone, &FieldPhone::changed, this, &SheetPageModel::refresh);
}

int SheetPageModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(m_cells.size());
}

QHash<int, QByteArray> SheetPageModel::roleNames() const {
    return {{CodeRole, "code"}, {LettersRole, "letters"}, {DigitsRole, "digits"},
            {MarkRole, "mark"}, {FateRole, "fate"},       {IsPickableRole, "isPickable"}};
}

QVariant SheetPageModel::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid))
        return {};
    const Cell& cell = m_cells[static_cast<std::size_t>(index.row())];
    const bool lettersChange = m_run && m_run->at(0).letters() != m_run->last().letters();
    switch (role) {
    case CodeRole:
        return QString::fromStdString(cell.code.text());
    case LettersRole:
        return lettersChange ? qstring(cell.code.letters()) : QString();
    case DigitsRole: {
        // The sheet's name has the rest; a cell has room for what tells its neighbours apart.
        const QString digits = qstring(cell.code.digits());
        return digits.size() > 4 ? digits.right(3) : digits;
    }
    case MarkRole:
        // Where the paper is asked, nothing but the paper may tell which one is next.
        return m_marksNext ? cell.mark : QStringLiteral("free");
    case FateRole:
        return m_marksNext ? fateText(cell.mark) : QString();
    case IsPickableRole:
        return cell.mark == QLatin1String("free") || cell.mark == QLatin1String("next");
    default:
        return {};
    }
}

QString SheetPageModel::fateText(const QString& mark) {
    if (mark == QLatin1String("next"))
        return tr("next");
    if (mark == QLatin1String("free"))
        return tr("free");
    if (mark == QLatin1String("on"))
        return tr("on a butterfly");
    if (mark == QLatin1String("held"))
        return tr("in the cage");
    if (mark == QLatin1String("spoiled"))
        return tr("spoiled");
    if (mark == QLatin1String("paper"))
        return tr("used on paper");
    if (mark == QLatin1String("given"))
        return tr("given away");
    if (mark == QLatin1String("elsewhere"))
        return tr("on another phone");
    if (mark == QLatin1String("unclear"))
        return tr("not offered: unclear who has it");
    return tr("missing");
}

QString SheetPageModel::name() const { return m_run ? QString::fromStdString(m_run->text()) : QString(); }

QString SheetPageModel::note() const { return m_run ? tr("%n free", "tags of a sheet", m_free) : QString(); }

int SheetPageModel::nextRow() const {
    for (std::size_t i = 0; i < m_cells.size(); ++i)
        if (m_cells[i].mark == QLatin1String("next"))
            return static_cast<int>(i);
    return -1;
}

int SheetPageModel::mostDigits() const {
    return m_run ? static_cast<int>(m_run->scheme.digitCount()) : static_cast<int>(tag::kMaxDigits);
}

int SheetPageModel::columns(int fit) const {
    const int row = m_perRow > 0 ? m_perRow : kUsualRow;
    if (fit >= row)
        return row;
    for (int columns = fit; columns > 2; --columns)
        if (row % columns == 0)
            return columns;
    return std::max(1, std::min(fit, kUsualRow));
}

void SheetPageModel::show(const QString& code, bool marksNext) {
    const auto next = tag::Code::fromText(code.trimmed().toStdString());
    m_next = next ? std::optional(*next) : std::nullopt;
    m_marksNext = marksNext;
    m_isShown = true;
    m_run.reset();
    setLastDigits({});
    refresh();
}

void SheetPageModel::refresh() {
    if (!m_isShown)
        return;
    m_sheets.clear();
    m_names.clear();
    if (auto held = m_phone.projections().sheetsHeldBy(m_phone.journal().device()))
        m_sheets = std::move(*held);
    m_sheets.erase(std::remove_if(m_sheets.begin(), m_sheets.end(), [](const tag::Sheet& s) { return !s.run; }),
                   m_sheets.end());
    if (m_next) {
        const bool isThere = std::any_of(m_sheets.begin(), m_sheets.end(),
                                         [&](const tag::Sheet& s) { return s.contains(*m_next); });
        if (const auto own = m_phone.projections().sheetsWith(*m_next); own && !isThere)
            for (const tag::Sheet& sheet : *own)
                if (sheet.run)
                    m_sheets.insert(m_sheets.begin(), sheet);
    }
    if (m_sheets.size() > 1)
        for (const tag::Sheet& sheet : m_sheets)
            m_names << QString::fromStdString(sheet.run->text());
    const tag::Sheet* chosen = nullptr;
    for (const tag::Sheet& sheet : m_sheets)
        if (m_run ? sheet.run == m_run : m_next && sheet.contains(*m_next)) {
            chosen = &sheet;
            break;
        }
    if (chosen == nullptr && !m_sheets.empty())
        chosen = &m_sheets.front();
    if (chosen != nullptr) {
        fill(*chosen);
    } else {
        beginResetModel();
        m_cells.clear();
        m_run.reset();
        endResetModel();
    }
    lookForDigits();
    emit shown();
}

void SheetPageModel::turnTo(int which) {
    if (which < 0 || which >= static_cast<int>(m_sheets.size()))
        return;
    fill(m_sheets[static_cast<std::size_t>(which)]);
    emit shown();
}

void SheetPageModel::fill(const tag::Sheet& sheet) {
    beginResetModel();
    m_cells.clear();
    m_run = sheet.run;
    m_perRow = sheet.perRow;
    m_free = 0;
    const auto next = m_marksNext ? m_next : std::nullopt;
    for (std::uint32_t i = 0; i < m_run->count; ++i) {
        const tag::Code code = m_run->at(i);
        m_cells.push_back({code, m_phone.markOf(code, next)});
        const QString& mark = m_cells.back().mark;
        if (mark == QLatin1String("free") || mark == QLatin1String("next"))
            ++m_free;
    }
    endResetModel();
}

void SheetPageModel::setLastDigits(const QString& digits) {
    if (digits == m_lastDigits)
        return;
    m_lastDigits = digits;
    lookForDigits();
}

void SheetPageModel::lookForDigits() {
    m_candidates.clear();
    const std::string end = m_lastDigits.toStdString();
    if (!end.empty()) {
        std::vector<tag::Code> free;
        std::vector<tag::Code> used;
        std::uint32_t looked = 0;
        for (const tag::Sheet& sheet : m_sheets)
            for (std::uint32_t i = 0; i < sheet.run->count && looked < kMostLookedAt; ++i, ++looked) {
                const tag::Code code = sheet.run->at(i);
                if (!code.digits().ends_with(end))
                    continue;
                const auto offered = m_phone.projections().isOfferedBy(code, m_phone.journal().device());
                (offered && *offered ? free : used).push_back(code);
            }
        // Where the paper is, the tag is near the one that is next.
        if (m_next && m_marksNext)
            std::stable_partition(free.begin(), free.end(), [&](const tag::Code& code) { return code >= *m_next; });
        free.insert(free.end(), used.begin(), used.end());
        for (const tag::Code& code : free)
            if (static_cast<std::size_t>(m_candidates.size()) < kMostCandidates)
                m_candidates << QString::fromStdString(code.text());
        // All digits typed, and on no sheet of ours: kept all the same.
        if (m_candidates.isEmpty() && m_next && end.size() == m_next->digits().size())
            m_candidates << (qstring(m_next->letters()) + QLatin1Char(' ') + m_lastDigits).trimmed();
    } else if (m_isShown && m_marksNext) {
        // Where the question is what the paper says, nothing may suggest an answer.
        if (const auto free = m_phone.stock.nextFree(kMostCandidates))
            for (const tag::Code& code : *free)
                m_candidates << QString::fromStdString(code.text());
    }
    emit typed();
}

QString SheetPageModel::advice() const {
    if (m_lastDigits.isEmpty())
        return m_candidates.isEmpty() ? tr("Type the last digit, or as many as you like.")
                                      : tr("Type the last digits, or take one of the next free tags.");
    if (m_candidates.isEmpty())
        return tr("No tag of your sheets ends so. Type all digits of it.");
    return tr("%n tag(s) end so.", "", static_cast<int>(m_candidates.size()));
}

} // namespace discal::viewmodels
