#pragma once

#include "core/place/gazetteer/file.h"

#include <string>

namespace discal::place {

/// Names of towns, in the order of their folded forms: accents off, lower case, apostrophes and points gone,
/// other signs to single blanks. The table of accents is in the file.
class TownNames {
public:
    explicit TownNames(const GazetteerFile& file) : m_file(file) {}

    [[nodiscard]] std::string at(std::uint32_t index) const;
    [[nodiscard]] std::string folded(std::string_view name) const;

    struct Range {
        std::uint32_t begin{0};
        std::uint32_t end{0};
    };
    /// Names that begin with `prefix`, which is folded.
    [[nodiscard]] Range beginningWith(std::string_view prefix) const;

private:
    /// The first name whose folded form is not less than `key`, or, with `isAfter`, that neither is less nor
    /// begins with it.
    [[nodiscard]] std::uint32_t boundOf(std::string_view key, bool isAfter) const;
    void appendFolded(std::string& out, std::uint32_t code, std::string_view bytes) const;

    const GazetteerFile& m_file;
};

} // namespace discal::place
