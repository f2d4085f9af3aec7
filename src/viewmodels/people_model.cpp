#include "viewmodels/people_model.h"

#include "core/time/instant.h"

#include <algorithm>

namespace discal::viewmodels {

using journal::RecordType;
using journal::Uuid;

namespace {

/// Initials may be a few letters; a whole name does not belong in a journal that is handed on.
constexpr qsizetype kMostInitials = 6;

} // namespace

PeopleModel::PeopleModel(FieldPhone& phone, QObject* parent) : QAbstractListModel(parent), m_phone(phone) {
    connect(&m_phone, &FieldPhone::changed, this, &PeopleModel::refresh);
    refresh();
}

void PeopleModel::begin() {
    m_failure.dismiss();
    read();
    refresh();
}

int PeopleModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(m_rows.size());
}

QHash<int, QByteArray> PeopleModel::roleNames() const {
    return {{IdRole, "person"}, {NameRole, "name"}, {IsTaggerRole, "isTagger"}, {IsRecorderRole, "isRecorder"}};
}

QVariant PeopleModel::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid))
        return {};
    const Row& row = m_rows[static_cast<std::size_t>(index.row())];
    const auto& recorder = m_phone.writer.recorder();
    const std::string& tagger = m_phone.session.persisting().tagger;
    switch (role) {
    case IdRole:
        return QString::fromStdString(row.id);
    case NameRole:
        return row.name;
    case IsRecorderRole:
        return recorder && recorder->text() == row.id;
    case IsTaggerRole:
        return tagger.empty() ? recorder && recorder->text() == row.id : tagger == row.id;
    default:
        return {};
    }
}

void PeopleModel::read() {
    beginResetModel();
    m_rows.clear();
    const auto now = m_phone.clock().now();
    m_nextVisitor = m_phone.station.nextVisitor(now).value_or(1);
    const std::string today = time::localDate(now.wall, now.offset);
    if (const auto people = m_phone.projections().records(RecordType::Person))
        for (const auto& person : *people) {
            const auto number = journal::numberIn(person.members, "visitor");
            if (number) {
                const auto id = Uuid::parse(person.key);
                if (!id || time::localDate(id->madeAt(), now.offset) != today)
                    continue;
            }
            const QString name = m_phone.personName(person.key);
            // Erased: the person stays in the lines, without a name to tap.
            if (!number && name == FieldPhone::tr("somebody"))
                continue;
            m_rows.push_back({person.key, name, number.has_value()});
        }
    std::sort(m_rows.begin(), m_rows.end(), [](const Row& a, const Row& b) {
        return a.isVisitor != b.isVisitor ? b.isVisitor : QString::localeAwareCompare(a.name, b.name) < 0;
    });
    endResetModel();
}

void PeopleModel::refresh() {
    const auto& recorder = m_phone.writer.recorder();
    m_recorder = recorder ? m_phone.personName(recorder->text()) : QString();
    m_tagger = m_phone.personName(m_phone.session.persisting().tagger);
    emit refreshed();
}

bool PeopleModel::canAdd() const {
    const QString trimmed = m_initials.trimmed();
    return !trimmed.isEmpty() && trimmed.size() <= kMostInitials;
}

void PeopleModel::pickTagger(const QString& person) {
    m_phone.carryOver([&](auto& persisting) { persisting.tagger = person.toStdString(); });
}

void PeopleModel::pickRecorder(const QString& person) {
    if (const auto id = Uuid::parse(person.toStdString())) {
        m_phone.writer.setRecorder(*id);
        emit m_phone.changed();
    }
}

std::optional<Uuid> PeopleModel::add() {
    if (!canAdd())
        return std::nullopt;
    const auto person = m_phone.done(m_phone.station.person(m_initials.trimmed().toUpper().toStdString()));
    if (!person) {
        m_failure.set(person.error());
        return std::nullopt;
    }
    m_initials.clear();
    emit drafted();
    m_failure.dismiss();
    return person->id;
}

bool PeopleModel::addAsTagger() {
    const auto person = add();
    if (person)
        pickTagger(QString::fromStdString(person->text()));
    return person.has_value();
}

bool PeopleModel::addAsRecorder() {
    const auto person = add();
    if (person)
        pickRecorder(QString::fromStdString(person->text()));
    return person.has_value();
}

bool PeopleModel::nextVisitor() {
    // The day may have changed since the page was opened.
    m_nextVisitor = m_phone.station.nextVisitor(m_phone.clock().now()).value_or(m_nextVisitor);
    const auto visitor = m_phone.done(m_phone.station.visitor(m_nextVisitor));
    if (!visitor) {
        m_failure.set(visitor.error());
        return false;
    }
    m_failure.dismiss();
    pickTagger(QString::fromStdString(visitor->id.text()));
    return true;
}

} // namespace discal::viewmodels
