#pragma once

#include "core/exchange/csv.h"
#include "core/result.h"

#include <functional>
#include <string>
#include <vector>

/// A CSV file in, the same rows with further columns out: for verbs with --table.
namespace discal::cli {

struct TableWork {
    std::string file;                ///< RFC 4180 with a header
    std::vector<std::string> needed; ///< columns without which the table is refused
    std::vector<std::string> added; ///< columns that are put behind those of the file, and after them `error`
    /// The added fields of one row, by its fields in the order of `needed` and then of `wished`; or why there
    /// are none.
    std::vector<std::string> wished{}; ///< columns that may be missing: their fields are empty then
    std::function<Result<std::vector<std::string>>(const std::vector<std::string>&)> row;
    std::function<std::string(const Error&)> why; ///< the sentence for a refused row
};

/// To stdout as CSV, or as JSON with an object of texts a line. A row that is refused is told on stderr with
/// its line number and comes out with `error` filled and the other added columns empty. Returns the exit
/// code: 1 when any was.
[[nodiscard]] int runTable(const TableWork& work, bool isJson);

} // namespace discal::cli
