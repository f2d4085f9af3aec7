#pragma once

#include "core/result.h"

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// Tables of other programs (RFC 4180), row by row.
namespace discal::exchange {

/// Reads rows one after the other; the text must outlive it. Fields may stand in quotes, then they may hold
/// commas, line ends, and quotes doubled. Lines end with CR LF or LF; the last may lack its end. A byte order
/// mark before the first row is passed over. Rows need not have equally many fields.
class CsvReader {
public:
    explicit CsvReader(std::string_view text);

    /// The next row into `fields`; false after the last. BadInput, with the line (`number`, from 1), when a
    /// quote isn't closed or something follows one: then reading ends.
    [[nodiscard]] Result<bool> next(std::vector<std::string>& fields);
    /// The line in which the row last read began, from 1.
    [[nodiscard]] std::size_t line() const { return m_rowLine; }

private:
    [[nodiscard]] Result<std::string> quotedField();

    std::string_view m_text;
    std::size_t m_at{0};
    std::size_t m_line{1};
    std::size_t m_rowLine{0};
};

/// Where a column stands in a header; blanks around a name and upper case don't count.
[[nodiscard]] std::optional<std::size_t> columnOf(const std::vector<std::string>& header,
                                                  std::string_view name);

/// A row as RFC 4180 text with its line end.
[[nodiscard]] std::string csvRow(const std::vector<std::string>& fields);

} // namespace discal::exchange
