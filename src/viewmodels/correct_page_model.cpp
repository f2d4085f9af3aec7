#include "viewmodels/correct_page_model.h"

#include "viewmodels/story_words.h"

#include <QLocale>
#include <QTime>
#include <cmath>

namespace discal::viewmodels {

using butterfly::Carried;
using journal::Uuid;

CorrectPageModel::CorrectPageModel(FieldPhone& phone, QObject* parent) : QObject(parent), m_phone(phone) {}

void CorrectPageModel::begin(const QString& butterfly) {
    m_id = butterfly.toStdString();
    m_failure.dismiss();
    m_written = {};
    m_title.clear();
    m_why = QStringLiteral("seen again");
    const auto b = m_phone.projections().butterfly(m_id);
    if (b && *b) {
        m_written.sex = QString::fromStdString((*b)->sex);
        m_written.origin = QString::fromStdString((*b)->origin);
        m_written.code = QString::fromStdString((*b)->currentCode().value_or(""));
        if (const auto um = journal::numberIn((*b)->measures, "forewing_um"))
            m_written.forewing = QLocale().toString(static_cast<double>(*um) / 1000, 'g', 4);
        if (!(*b)->noteLine.empty())
            m_written.time = FieldPhone::clockText((*b)->notedAt, (*b)->offsetMin);
        m_written.note = m_phone.keptText((*b)->measures, "note");
        m_title = m_written.code.isEmpty() ? FieldPhone::sexText((*b)->sex) : m_written.code;
    }
    m_sex = m_written.sex;
    m_origin = m_written.origin;
    m_code = m_written.code;
    m_forewing = m_written.forewing;
    m_time = m_written.time;
    m_note.clear();
    emit refreshed();
}

QString CorrectPageModel::changes() const {
    QStringList parts;
    const auto add = [&](const QString& field, const QString& now, const QString& was) {
        if (now.trimmed() != was && !now.trimmed().isEmpty())
            parts << (was.isEmpty() ? tr("%1 %2", "a field, its value").arg(field, now.trimmed())
                                    : tr("%1 %2, was %3", "a field, its value now, before").arg(field, now.trimmed(), was));
    };
    if (m_sex != m_written.sex)
        parts << tr("%1, was %2", "now, before").arg(FieldPhone::sexText(m_sex.toStdString()),
                                                    FieldPhone::sexText(m_written.sex.toStdString()));
    if (m_origin != m_written.origin)
        add({}, FieldPhone::originText(m_origin.toStdString()), FieldPhone::originText(m_written.origin.toStdString()));
    add({}, m_code, m_written.code);
    add(StoryWords::ofField("forewing_um"), m_forewing, m_written.forewing);
    add(StoryWords::ofField("at"), m_time, m_written.time);
    if (!m_note.trimmed().isEmpty())
        parts << tr("a note");
    for (QString& part : parts)
        part = part.trimmed();
    return parts.join(QStringLiteral("; "));
}

std::optional<CorrectPageModel::Saying> CorrectPageModel::saying(const std::string& field) {
    const auto b = m_phone.projections().butterfly(m_id);
    if (!b || !*b)
        return std::nullopt;
    if (field == "at") {
        const auto line = Uuid::parse((*b)->noteLine);
        return line ? std::optional(Saying{*line, field}) : std::nullopt;
    }
    std::optional<Saying> last;
    for (const Uuid& line : (*b)->lines) {
        const auto entries = m_phone.projections().linesWithId(line);
        if (!entries || entries->empty())
            continue;
        const auto amended = m_phone.projections().amendedLine(entries->front());
        if (!amended || amended->isWithdrawn)
            continue;
        const bool isSpoiling = amended->kind == journal::Kind::TagSpoiled;
        const std::string member = field == "code" && isSpoiling ? "next" : field;
        if (amended->line.body.contains(member))
            last = Saying{line, member};
        // Sex and origin can be said of any first line, also where it left them out.
        else if (!last && (field == "sex" || field == "origin"))
            last = Saying{line, member};
    }
    return last;
}

Result<services::Saved> CorrectPageModel::write(const std::string& field, const std::string& value) {
    const auto at = saying(field);
    if (!at)
        return fail(Code::NotFound, field);
    return m_phone.amending.correct(at->line, at->field, value, m_why.trimmed().toStdString());
}

Result<std::string> CorrectPageModel::utcOf(const QString& clock) {
    QString plain = clock.trimmed();
    const QTime typed = QTime::fromString(plain.replace(QLatin1Char('.'), QLatin1Char(':')), QStringLiteral("H:m"));
    const auto b = m_phone.projections().butterfly(m_id);
    const auto noted = b && *b ? time::parseUtc((*b)->notedAt) : fail(Code::NotFound);
    if (!typed.isValid() || !noted)
        return fail(Code::BadInput, tr("time: such as 14:05").toStdString());
    // The same day, the same zone: only the time of day is said anew.
    const std::chrono::minutes offset((*b)->offsetMin);
    const auto day = std::chrono::floor<std::chrono::days>(*noted + offset);
    return time::formatUtc(day + std::chrono::minutes(typed.hour() * 60 + typed.minute()) - offset);
}

bool CorrectPageModel::accept() {
    const auto changed = [](const QString& now, const QString& was) {
        return now.trimmed() != was && !now.trimmed().isEmpty();
    };
    std::vector<std::function<Result<services::Saved>()>> acts;
    if (m_sex != m_written.sex)
        acts.emplace_back([this] { return write("sex", m_sex.toStdString()); });
    if (m_origin != m_written.origin)
        acts.emplace_back([this] { return write("origin", m_origin.toStdString()); });
    if (changed(m_code, m_written.code))
        acts.emplace_back([this] { return write("code", m_code.trimmed().toStdString()); });
    if (changed(m_time, m_written.time))
        acts.emplace_back([this]() -> Result<services::Saved> {
            const auto utc = utcOf(m_time);
            return utc ? write("at", *utc) : fail(utc.error());
        });
    if (changed(m_forewing, m_written.forewing))
        acts.emplace_back([this]() -> Result<services::Saved> {
            bool isNumber = false;
            // Comma and point alike, whatever the locale.
            QString plain = m_forewing.trimmed();
            const double mm = plain.replace(QLatin1Char(','), QLatin1Char('.')).toDouble(&isNumber);
            if (!isNumber || mm < 1 || mm > 200)
                return fail(Code::BadInput, tr("forewing: 1 to 200 mm").toStdString());
            const auto um = static_cast<std::int64_t>(std::llround(mm * 1000));
            if (saying("forewing_um"))
                return write("forewing_um", std::to_string(um));
            services::Measures measures;
            measures.forewingUm = um;
            return m_phone.tagging.measured(m_id, measures);
        });
    if (!m_note.trimmed().isEmpty())
        acts.emplace_back([this] {
            services::Measures measures;
            measures.note = m_note.trimmed().toStdString();
            return m_phone.tagging.measured(m_id, measures);
        });
    if (acts.empty()) {
        m_failure.set({Code::NothingToDo, ""});
        return false;
    }
    for (const auto& act : acts) {
        auto saved = act();
        if (!saved) {
            saved = m_phone.done(std::move(saved));
            m_failure.set(saved.error());
            return false;
        }
    }
    m_failure.dismiss();
    m_phone.done(Result<void>());
    return true;
}

} // namespace discal::viewmodels
