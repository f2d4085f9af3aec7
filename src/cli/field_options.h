#pragma once

#include "cli/workbench.h"

#include <string>
#include <vector>

/// Options that several verbs about butterflies share.
namespace discal::cli {

/// Who writes, and where.
struct WhoAndWhere {
    std::string by;
    std::string site;
    std::string position;
};
enum class Where { Asked, NotAsked };
void addWhoAndWhere(CLI::App& verb, WhoAndWhere& to, Where where);
/// NotFound with the verb that makes one.
[[nodiscard]] Result<journal::Uuid> siteNamed(Workbench& bench, const std::string& name);
/// Sets recorder, site and typed position. NotFound for an unknown site; initials that are new are named.
[[nodiscard]] Result<void> apply(const WhoAndWhere& said, Workbench& bench);

struct SexAndOrigin {
    std::string sex{"unknown"};
    bool isReared{false};
    bool isWild{false};
    [[nodiscard]] std::string origin() const { return isReared ? "reared" : isWild ? "wild" : ""; }
};
enum class Sex { Required, Optional };
void addSexAndOrigin(CLI::App& verb, SexAndOrigin& to, Sex sex);

struct MeasuresTyped {
    std::string forewing;
    std::int64_t wear{0};
    std::string wearScale;
    std::string mated;
    std::string parasiteSample;
    std::string note;
};
void addMeasures(CLI::App& verb, MeasuresTyped& to);
[[nodiscard]] Result<services::Measures> measuresOf(const MeasuresTyped& typed);

/// The positional CODE, or CODE|ID, typed with or without quotes.
void addCode(CLI::App& verb, std::vector<std::string>& to, const std::string& what);
/// A run: FIRST..LAST, or FIRST COUNT.
CLI::Option& addRun(CLI::App& verb, std::vector<std::string>& to);

} // namespace discal::cli
