#include "viewmodels/sheets_model.h"

#include "core/tag/look_alike.h"

#include <QLocale>
#include <algorithm>
#include <array>

namespace discal::viewmodels {

namespace {

/// Readings offered at once: more are no help.
constexpr std::size_t kMostReadings = 4;
/// Marks drawn of a sheet in a list.
constexpr std::uint32_t kMostMarks = 25;
/// Tags whose fate is looked up for a list; of a longer roll the rest is not counted one by one.
constexpr std::uint32_t kMostCounted = 1000;

bool isBlank(char c) { return c == ' ' || c == '-' || c == '.' || c == '\t'; }

/// What a code of unknown shape may be when it can't be read as typed: the shape is where the blank stands, or one of
/// the usual ones.
std::vector<tag::Code> readingsOfAnyShape(const std::string& typed) {
    std::size_t glyphs = 0;
    std::optional<std::size_t> blankAfter;
    for (const char c : typed) {
        if (!isBlank(c))
            ++glyphs;
        else if (glyphs > 0 && !blankAfter)
            blankAfter = glyphs;
    }
    if (blankAfter && *blankAfter >= glyphs)
        blankAfter.reset();
    std::vector<std::size_t> letters;
    if (blankAfter)
        letters.push_back(*blankAfter);
    else
        for (const std::size_t count : std::array<std::size_t, 5>{3, 2, 4, 1, 0})
            letters.push_back(count);
    std::vector<tag::Code> out;
    for (const std::size_t count : letters) {
        if (count >= glyphs || count > tag::kMaxLetters || glyphs - count > tag::kMaxDigits)
            continue;
        const auto scheme = tag::Scheme::fromPattern(std::string(count, 'A') + std::string(glyphs - count, '0'));
        if (!scheme)
            continue;
        for (const tag::Code& code : scheme->readings(typed))
            if (out.size() < kMostReadings && std::find(out.begin(), out.end(), code) == out.end())
                out.push_back(code);
    }
    return out;
}

/// Written without a blank, the glyph where letters end may belong to either side: RKDO14.
std::vector<tag::Code> readingsAtTheBorder(const tag::Code& code, const std::string& typed) {
    std::vector<tag::Code> out;
    if (code.letters().size() < 2 || std::any_of(typed.begin(), typed.end(), isBlank))
        return out;
    const char last = code.letters().back();
    const bool isDoubtful = std::any_of(tag::lookAlikePairs().begin(), tag::lookAlikePairs().end(), [&](const auto& pair) {
        const auto isDigit = [](char c) { return c >= '0' && c <= '9'; };
        return pair.likeness == tag::Likeness::Strong &&
               ((pair.a == last && isDigit(pair.b)) || (pair.b == last && isDigit(pair.a)));
    });
    if (!isDoubtful || code.digits().size() >= tag::kMaxDigits)
        return out;
    const auto other = tag::Scheme::fromPattern(std::string(code.letters().size() - 1, 'A') +
                                                std::string(code.digits().size() + 1, '0'));
    if (!other)
        return out;
    const auto readings = other->readings(typed);
    if (!readings.empty()) {
        out.push_back(code);
        out.push_back(readings.front());
    }
    return out;
}

} // namespace

SheetsModel::SheetsModel(FieldPhone& phone, QObject* parent) : QAbstractListModel(parent), m_phone(phone) {
    connect(&m_phone, &FieldPhone::changed, this, &SheetsModel::refresh);
    connect(this, &SheetsModel::drafted, this, &SheetsModel::understand);
    understand();
    refresh();
}

int SheetsModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(m_rows.size());
}

QHash<int, QByteArray> SheetsModel::roleNames() const {
    return {{NameRole, "name"}, {HintRole, "about"}, {FreeRole, "free"}, {MarksRole, "marks"}, {IsHereRole, "isHere"}};
}

QVariant SheetsModel::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid))
        return {};
    const Row& row = m_rows[static_cast<std::size_t>(index.row())];
    switch (role) {
    case NameRole:
        return row.name;
    case HintRole:
        return row.hint;
    case FreeRole:
        return row.free;
    case MarksRole:
        return row.marks;
    case IsHereRole:
        return row.isHere;
    default:
        return {};
    }
}

void SheetsModel::refresh() {
    auto& projections = m_phone.projections();
    if (m_isFirstStart) {
        const auto hasSheets = projections.hasSheets();
        const auto butterflies = hasSheets && !*hasSheets ? projections.butterflyCount() : 1;
        m_isFirstStart = butterflies && *butterflies == 0;
    }
    m_isBeliefStale = true;
    emit refreshed();
}

/// After a few seasons there are many sheets: they are read when a page asks.
void SheetsModel::believe() {
    if (!m_isBeliefStale)
        return;
    m_isBeliefStale = false;
    auto& projections = m_phone.projections();
    QStringList runs;
    const auto held = projections.sheetsHeldBy(m_phone.journal().device());
    if (held)
        for (const tag::Sheet& sheet : *held) {
            const auto holding = sheet.holders.find(m_phone.journal().device().text());
            if (holding == sheet.holders.end())
                continue;
            for (const tag::Run& run : holding->second.runs())
                runs << QString::fromStdString(run.text());
        }
    constexpr qsizetype kMostNamed = 3;
    if (runs.isEmpty())
        m_belief.clear();
    else if (runs.size() == 1)
        m_belief = tr("This phone believes it holds %1. Is that sheet here?").arg(runs.front());
    else if (runs.size() <= kMostNamed)
        m_belief = tr("This phone believes it holds %1. Are those sheets here?").arg(runs.join(tr(", ", "between runs")));
    else
        m_belief = tr("This phone believes it holds %1 and %n more. Are those sheets here?", "",
                      static_cast<int>(runs.size() - kMostNamed))
                       .arg(runs.mid(0, kMostNamed).join(tr(", ", "between runs")));
    m_summary = runs.isEmpty() ? tr("none") : runs.size() == 1 ? runs.front() : tr("%n sheet(s)", "", static_cast<int>(runs.size()));
}

QString SheetsModel::belief() {
    believe();
    return m_belief;
}

QString SheetsModel::summary() {
    believe();
    return m_summary;
}

void SheetsModel::look() {
    beginResetModel();
    m_rows.clear();
    const std::string device = m_phone.journal().device().text();
    const auto sheets = m_phone.projections().sheets();
    if (sheets)
        for (const tag::Sheet& sheet : *sheets) {
            if (!sheet.run)
                continue;
            Row row;
            row.name = QString::fromStdString(sheet.run->text());
            int used = 0;
            int elsewhere = 0;
            int unclear = 0;
            for (std::uint32_t i = 0; i < std::min(sheet.run->count, kMostCounted); ++i) {
                const QString mark = m_phone.markOf(sheet.run->at(i), std::nullopt);
                if (i < kMostMarks)
                    row.marks << mark;
                if (mark == QLatin1String("free"))
                    ++row.free;
                else if (mark == QLatin1String("elsewhere"))
                    ++elsewhere;
                else if (mark == QLatin1String("unclear"))
                    ++unclear;
                else
                    ++used;
            }
            row.isHere = sheet.holders.contains(device) && !sheet.holders.at(device).isEmpty();
            row.hint = tr("%n free", "tags of a sheet", row.free) + tr(", ") + tr("%n used", "tags of a sheet", used);
            if (elsewhere > 0)
                row.hint += tr(", ") + tr("%n on another phone", "tags of a sheet", elsewhere);
            if (unclear > 0)
                row.hint += tr(", ") + tr("%n not offered", "tags of a sheet", unclear);
            if (sheet.needsNewer)
                row.hint += tr(", ") + tr("needs a newer Discal");
            if (!sheet.contested.isEmpty())
                row.hint += tr(", ") + tr("some claimed by two phones");
            m_rows.push_back(std::move(row));
        }
    std::stable_partition(m_rows.begin(), m_rows.end(), [](const Row& row) { return row.free > 0; });
    endResetModel();
}

void SheetsModel::choose(const QString& reading) {
    m_first = reading;
    emit drafted();
}

void SheetsModel::understand() {
    m_run.reset();
    m_readings.clear();
    m_advice.clear();
    const std::string typed = m_first.trimmed().toStdString();
    bool isCount = false;
    const uint count = m_countText.trimmed().toUInt(&isCount);
    // Changed by hand, it is no longer what the label says.
    if (m_label && (m_label->first.text() != typed || m_label->count != count))
        m_label.reset();
    if (typed.empty()) {
        m_advice = tr("Type the first code as it is printed. It looks like RKD 001.");
    } else if (const auto code = tag::parseAny(typed); !code) {
        for (const tag::Code& reading : readingsOfAnyShape(typed))
            m_readings << QString::fromStdString(reading.text());
        m_advice = m_readings.isEmpty() ? tr("That is not a tag code yet. It looks like RKD 001.")
                                        : tr("Which of these is printed? Look at the tag.");
    } else if (const auto border = readingsAtTheBorder(*code, typed); !border.empty()) {
        for (const tag::Code& reading : border)
            m_readings << QString::fromStdString(reading.text());
        m_advice = tr("Which of these is printed? Look at the tag.");
    } else if (m_countText.trimmed().isEmpty()) {
        m_advice = tr("How many tags are on the sheet?");
    } else if (!isCount || count == 0 || count > tag::kMaxRunLength) {
        m_advice = tr("A sheet has 1 to %1 tags.").arg(QLocale().toString(tag::kMaxRunLength));
    } else if (const auto run = m_label ? m_label->run() : tag::parseRun(typed, count); !run) {
        m_advice = tr("So many tags don’t fit behind %1: its digits run out.").arg(QString::fromStdString(code->text()));
    } else {
        m_run = *run;
        // A code of a sheet that is already here would be offered by nobody.
        for (const tag::Code& end : {run->at(0), run->last()})
            if (const auto known = m_phone.projections().sheetsWith(end); known && !known->empty() && known->front().run)
                m_advice = tr("%1 is already here. Take it in twice only if it was printed twice: neither phone then "
                              "offers those tags by itself.")
                               .arg(QString::fromStdString(known->front().run->text()));
    }
    emit judged();
}

void SheetsModel::takeLabel(const tag::SheetLabel& label) {
    tag::SheetLabel said = label;
    // One tag after another: the run between them.
    if (const auto before = tag::parseAny(m_first.trimmed().toStdString());
        label.count == 0 && before && tag::Scheme::of(*before) == label.scheme) {
        const std::uint64_t from = label.scheme.ordinal(*before);
        const std::uint64_t to = label.scheme.ordinal(label.first);
        if (to > from && to - from < tag::kMaxRunLength)
            said = {label.scheme, *before, static_cast<std::uint32_t>(to - from + 1), m_perRow};
    }
    m_first = QString::fromStdString(said.first.text());
    m_countText = said.count > 0 ? QString::number(said.count) : QString();
    if (said.perRow > 0)
        m_perRow = said.perRow;
    if (said.count > 0)
        m_label = said;
    emit drafted();
}

void SheetsModel::decline() {
    m_label.reset();
    m_first.clear();
    m_countText.clear();
    m_perRow = 0;
    emit drafted();
}

QString SheetsModel::understood() const { return m_run ? QString::fromStdString(m_run->text()) : QString(); }

QString SheetsModel::understoodCount() const {
    return m_run ? tr("%n tag(s)", "", static_cast<int>(m_run->count)) : QString();
}

bool SheetsModel::receive() {
    if (!m_run)
        return false;
    services::Stock::NewSheet sheet;
    sheet.first = m_run->at(0).text();
    sheet.count = m_run->count;
    sheet.perRow = m_perRow;
    if (m_label)
        sheet.scheme = m_label->scheme.pattern();
    if (const auto saved = m_phone.done(m_phone.stock.receive(sheet)); !saved) {
        m_failure.set(saved.error());
        return false;
    }
    decline();
    look();
    m_failure.dismiss();
    return true;
}

} // namespace discal::viewmodels
