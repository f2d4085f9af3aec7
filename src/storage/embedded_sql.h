#pragma once

#include <string_view>
#include <vector>

/// The SQL files of this folder, built into the program (embed_sql.cmake).
namespace discal::storage::embedded {

struct Migration {
    int number;  ///< NNNN of migrations/NNNN_what.sql, kept in PRAGMA user_version
    std::string_view sql;
};

/// In order, at least one.
[[nodiscard]] const std::vector<Migration>& migrations();
[[nodiscard]] std::string_view projections();

} // namespace discal::storage::embedded
