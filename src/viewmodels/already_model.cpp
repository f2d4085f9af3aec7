#include "viewmodels/already_model.h"

#include "core/place/geodesy.h"

#include <QLocale>
#include <algorithm>
#include <array>
#include <cmath>

namespace discal::viewmodels {

namespace {

// In the order in which the page shows them.
constexpr std::array<const char*, 4> kMarks{"readable", "worn", "unreadable", "gone"};
constexpr std::array<const char*, 3> kSexes{"male", "female", "unknown"};
constexpr qsizetype kMostOwnLetters = 4;

template <std::size_t N>
QString wordAt(const std::array<const char*, N>& words, int which) {
    return which >= 0 && which < static_cast<int>(N) ? QString::fromLatin1(words[static_cast<std::size_t>(which)])
                                                     : QString();
}

QString qstring(std::string_view text) { return QString::fromUtf8(text.data(), static_cast<qsizetype>(text.size())); }

} // namespace

AlreadyModel::AlreadyModel(FieldPhone& phone, QObject* parent) : QObject(parent), m_phone(phone) {}

QString AlreadyModel::mark() const { return m_mark < 0 ? QString() : wordAt(kMarks, m_firstMark + m_mark); }

QStringList AlreadyModel::marks() const {
    const QStringList words{tr("readable", "the tag"), tr("worn", "the tag"), tr("unreadable", "the tag"),
                            tr("gone", "the tag")};
    return words.mid(m_firstMark, 2);
}

QString AlreadyModel::sex() const { return wordAt(kSexes, m_sex); }

void AlreadyModel::begin() {
    m_digits.clear();
    m_mark = -1;
    m_sex = -1;
    m_isCodeDone = false;
    m_ownLetters.clear();
    const auto add = [this](const tag::Sheet& sheet) {
        if (!sheet.run)
            return;
        const QString letters = qstring(sheet.run->at(0).letters());
        if (!letters.isEmpty() && !m_ownLetters.contains(letters) && m_ownLetters.size() < kMostOwnLetters)
            m_ownLetters << letters;
    };
    if (const auto held = m_phone.projections().sheetsHeldBy(m_phone.journal().device()))
        for (auto sheet = held->rbegin(); sheet != held->rend(); ++sheet)
            add(*sheet);
    if (const auto all = m_phone.projections().sheets())
        for (const tag::Sheet& sheet : *all)
            add(sheet);
    m_letters = m_ownLetters.isEmpty() ? QString() : m_ownLetters.front();
    read();
}

void AlreadyModel::setLetters(const QString& letters) {
    if (letters == m_letters)
        return;
    m_letters = letters;
    read();
}

void AlreadyModel::setDigits(const QString& digits) {
    if (digits == m_digits)
        return;
    m_digits = digits;
    read();
}

void AlreadyModel::setMarkIndex(int mark) {
    m_mark = mark;
    emit changed();
}

void AlreadyModel::setSexIndex(int sex) {
    m_sex = sex;
    emit changed();
}

void AlreadyModel::read() {
    m_code.clear();
    m_readings.clear();
    m_advice.clear();
    m_history.clear();
    m_reading.reset();
    const QString typed = (m_letters + QLatin1Char(' ') + m_digits).trimmed();
    if (m_digits.isEmpty()) {
        m_advice = tr("Read it twice: it can’t be looked up later.");
    } else if (const auto code = m_phone.stock.read(typed.toStdString())) {
        m_code = QString::fromStdString(code->code.text());
    } else if (code.error().code == discal::Code::AmbiguousCode) {
        for (const QString& reading : QString::fromStdString(code.error().detail).split(QLatin1Char(' ')))
            if (const auto parsed = tag::parseAny(reading.toStdString()); parsed && m_readings.size() < 3)
                m_readings << QString::fromStdString(parsed->text());
        m_code = typed;
        m_advice = tr("Which of these does it say? Or type on.");
    } else {
        m_advice = tr("Type on: it looks like %1.").arg(QString::fromStdString(code.error().detail));
    }
    emit changed();
}

void AlreadyModel::choose(const QString& reading) {
    const auto code = tag::Code::fromText(reading.toStdString());
    if (!code)
        return;
    m_letters = qstring(code->letters());
    m_digits = qstring(code->digits());
    read();
    confirmCode();
}

void AlreadyModel::confirmCode() {
    if (!canConfirm())
        return;
    m_firstMark = 0;
    m_mark = -1;
    m_isCodeDone = true;
    lookUp();
    emit changed();
}

void AlreadyModel::takeReading(const TagReading& reading) {
    if (reading.code) {
        m_letters = qstring(reading.code->letters());
        m_digits = qstring(reading.code->digits());
    }
    read();
    m_readings.clear();
    m_code = reading.text;
    m_reading = reading;
    m_firstMark = reading.code ? 0 : 1;
    m_mark = -1;
    m_isCodeDone = true;
    lookUp();
    emit changed();
}

int AlreadyModel::mostDigits() const {
    // Of ours all have as many; of others' tags nobody knows.
    int most = 0;
    if (m_ownLetters.contains(m_letters))
        if (const auto sheets = m_phone.projections().sheets())
            for (const tag::Sheet& sheet : *sheets)
                if (sheet.run && qstring(sheet.run->at(0).letters()) == m_letters)
                    most = std::max(most, static_cast<int>(sheet.run->scheme.digitCount()));
    return most > 0 ? most : static_cast<int>(tag::kMaxDigits);
}

void AlreadyModel::lookUp() {
    m_history.clear();
    const auto code = tag::Code::fromText(m_code.toStdString());
    const auto b = code ? m_phone.tagging.find(code->text()) : fail(discal::Code::NotFound);
    if (!b)
        return;
    QStringList parts;
    if (!b->notedAt.empty())
        parts << tr("noted %1", "a butterfly, on a day").arg(FieldPhone::dateText(b->notedAt, b->offsetMin));
    parts << FieldPhone::sexText(b->sex) << FieldPhone::fateText(*b);
    // Where it was let go, else where it was taken.
    const auto& place = b->released.empty() ? b->taken : b->released;
    if (const QString where = m_phone.placeText(place); !where.isEmpty())
        parts << where;
    const auto* position = journal::objectIn(place, "position");
    const auto lat = position != nullptr ? journal::numberIn(*position, "lat_e7") : std::nullopt;
    const auto lon = position != nullptr ? journal::numberIn(*position, "lon_e7") : std::nullopt;
    if (const auto here = m_phone.session.positionNow(m_phone.clock().now()); here && lat && lon) {
        const double metres = place::flightBetween({static_cast<double>(*lat) / 1e7, static_cast<double>(*lon) / 1e7},
                                                   place::latLonOf(*here)).metres;
        parts << (metres < 1000 ? tr("%1 m from here").arg(QLocale().toString(std::round(metres), 'f', 0))
                                : tr("%1 km from here").arg(QLocale().toString(metres / 1000, 'f', 1)));
    }
    m_history = parts.join(tr(", ", "in a list"));
}

void AlreadyModel::confirmAsFar() {
    m_readings.clear();
    m_code = m_digits.isEmpty() ? QString() : (m_letters + QLatin1Char(' ') + m_digits).trimmed();
    m_firstMark = m_code.isEmpty() ? 2 : 1;
    m_mark = -1;
    m_isCodeDone = true;
    emit changed();
}

void AlreadyModel::backToCode() {
    m_isCodeDone = false;
    m_mark = -1;
    read();
}

} // namespace discal::viewmodels
