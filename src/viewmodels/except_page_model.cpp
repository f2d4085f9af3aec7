#include "viewmodels/except_page_model.h"

#include <algorithm>

namespace discal::viewmodels {

using butterfly::Fate;

ExceptPageModel::ExceptPageModel(FieldPhone& phone, HeldPageModel& held, QObject* parent)
    : KeyedListModel(parent), m_phone(phone), m_held(held) {}

QHash<int, QByteArray> ExceptPageModel::roleNames() const {
    return {{ButterflyRole, "butterfly"}, {LettersRole, "letters"}, {DigitsRole, "digits"},
            {SexRole, "sex"},             {ChoiceRole, "choice"},   {ChoiceTextRole, "choiceText"}};
}

QVariant ExceptPageModel::data(const QModelIndex& index, int role) const {
    if (!has(index))
        return {};
    const QString& key = keyAt(index.row());
    const Row row = m_rows.value(key);
    switch (role) {
    case ButterflyRole:
        return key;
    case Qt::DisplayRole:
        return row.letters + QLatin1Char(' ') + row.digits;
    case LettersRole:
        return row.letters;
    case DigitsRole:
        return row.digits;
    case SexRole:
        return row.sex;
    case ChoiceRole:
        return row.choice;
    case ChoiceTextRole:
        return choiceText(row.choice);
    default:
        return {};
    }
}

QString ExceptPageModel::choiceText(Choice choice) const {
    switch (choice) {
    case Goes:
        return m_isAfterwards ? tr("gone", "a butterfly from its cage") : tr("goes", "a butterfly from its cage");
    case Stays:
        return m_isAfterwards ? tr("stayed", "a butterfly in its cage") : tr("stays", "a butterfly in its cage");
    case Died:
        break;
    }
    return tr("died", "a butterfly in its cage");
}

int ExceptPageModel::countOf(Choice choice) const {
    return static_cast<int>(
        std::count_if(keys().begin(), keys().end(), [&](const QString& k) { return m_rows.value(k).choice == choice; }));
}

QString ExceptPageModel::exceptText() const {
    QStringList parts;
    if (const int staying = countOf(Stays))
        parts << (m_isAfterwards ? tr("%n stayed", "", staying) : tr("%n stay", "", staying));
    if (const int dead = countOf(Died))
        parts << tr("%n died", "", dead);
    return parts.join(tr(", ", "between parts of a list"));
}

bool ExceptPageModel::canAccept() const {
    if (!m_isAfterwards)
        return rowCount() > 0 && countOf(Stays) < rowCount();
    return std::any_of(keys().begin(), keys().end(), [&](const QString& k) {
        const Row row = m_rows.value(k);
        return row.choice != row.written;
    });
}

void ExceptPageModel::begin(const QString& when) {
    m_isAfterwards = when == QLatin1String("afterwards");
    m_failure.dismiss();
    std::vector<std::string> ids = m_held.shownIds();
    if (m_isAfterwards) {
        auto gone = m_held.lastGone();
        ids = gone ? std::move(gone->ids) : std::vector<std::string>();
    }
    std::vector<QString> fresh;
    for (const std::string& id : ids) {
        const auto b = m_phone.projections().butterfly(id);
        if (!b || !*b)
            continue;
        Row row;
        if (const auto code = tag::Code::fromText((*b)->currentCode().value_or(""))) {
            row.letters = QString::fromStdString(std::string(code->letters()));
            row.digits = QString::fromStdString(std::string(code->digits()));
        }
        row.sex = FieldPhone::sexText((*b)->sex);
        if (m_isAfterwards)
            row.written = (*b)->fate == Fate::Held ? Stays : (*b)->fate == Fate::Died ? Died : Goes;
        row.choice = row.written;
        fresh.push_back(QString::fromStdString(id));
        m_rows.insert(fresh.back(), row);
    }
    takeOver(fresh);
    emit refreshed();
}

void ExceptPageModel::next(const QString& butterfly) {
    const auto at = std::find(keys().begin(), keys().end(), butterfly);
    if (at == keys().end())
        return;
    Row& row = m_rows[butterfly];
    row.choice = row.choice == Goes ? Stays : row.choice == Stays ? Died : row.written == Goes ? Goes : Stays;
    const QModelIndex cell = index(static_cast<int>(at - keys().begin()));
    emit dataChanged(cell, cell, {ChoiceRole, ChoiceTextRole});
    emit refreshed();
}

bool ExceptPageModel::accept() {
    m_failure.dismiss();
    if (!m_isAfterwards) {
        std::vector<std::string> staying;
        std::vector<std::string> dead;
        for (const QString& key : keys()) {
            const Choice choice = m_rows.value(key).choice;
            if (choice == Stays)
                staying.push_back(key.toStdString());
            else if (choice == Died)
                dead.push_back(key.toStdString());
        }
        // What went wrong is said on the page that it goes back to, with a way to try again.
        (void)m_held.letGo(staying, dead);
        return true;
    }
    const QString said = exceptText();
    for (const QString& key : keys()) {
        Row& row = m_rows[key];
        if (row.choice == row.written)
            continue;
        const auto how = row.choice == Died ? services::Tagging::Except::Died : services::Tagging::Except::Stayed;
        auto saved = m_phone.done(m_phone.tagging.exceptAfterwards(key.toStdString(), how));
        if (!saved) {
            m_failure.set(saved.error());
            return false;
        }
        row.written = row.choice;
    }
    m_held.say(tr("Written down: %1.", "2 stayed, 1 died").arg(said));
    return true;
}

} // namespace discal::viewmodels
