#pragma once

#include "viewmodels/field_phone.h"

#include <QCoreApplication>

namespace discal::viewmodels {

/// Lines of a butterfly's life in the words of the trade, for the screen.
class StoryWords {
    Q_DECLARE_TR_FUNCTIONS(StoryWords)

public:
    explicit StoryWords(FieldPhone& phone) : m_phone(phone) {}

    /// "noted: female, wild, Ridge meadow  ±6 m"
    [[nodiscard]] QString ofLine(const journal::Amended& line);
    /// "sex", "forewing" ...; the field's own name when there is no word for it
    [[nodiscard]] static QString ofField(std::string_view field);
    /// A value of that field; "not said" when there is none
    [[nodiscard]] QString ofValue(std::string_view field, const boost::json::value* value);
    /// Why something was corrected, as we or people put it
    [[nodiscard]] static QString ofWhy(std::string_view why);

private:
    void addMeasures(QStringList& parts, const boost::json::object& body);
    void addRead(QStringList& parts, const boost::json::object& body);

    FieldPhone& m_phone;
};

} // namespace discal::viewmodels
