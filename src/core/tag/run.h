#pragma once

#include "core/result.h"
#include "core/tag/code.h"
#include "core/tag/scheme.h"

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace discal::tag {

/// The longest run that can be entered. Our choice: far above any box of sheets, low enough that a slip in
/// the last code
/// ("RKE 025" for "RKD 025") is noticed and that a run can be listed on a page.
inline constexpr std::uint32_t kMaxRunLength = 10'000;

/// Consecutive codes of one scheme: a sheet, or part of one. Make it with makeRun or parseRun, which check
/// that it holds 1 to kMaxRunLength codes and does not go over the scheme's last code. All else here assumes
/// that and keeps it.
struct Run {
    Scheme scheme;
    std::uint64_t first; ///< ordinal within the scheme
    std::uint32_t count;

    [[nodiscard]] bool isValid() const noexcept;
    [[nodiscard]] bool contains(const Code& code) const noexcept;
    /// The i-th code, from 0; i must be below count.
    [[nodiscard]] Code at(std::uint32_t i) const;
    [[nodiscard]] Code last() const;

    /// The codes in both. Where the schemes differ only in their excluded letters the result's scheme
    /// excludes both sets. Absent if there are none, or the shapes differ.
    [[nodiscard]] std::optional<Run> intersect(const Run& other) const;
    /// The codes in this run but not in the other, in order, in this run's scheme.
    [[nodiscard]] std::vector<Run> subtract(const Run& other) const;

    /// "RKD 001-025"; "RKD 990-RKE 014" where the letters change; "RKD 001" for one code.
    [[nodiscard]] std::string text() const;

    friend bool operator==(const Run&, const Run&) = default;
};

/// OutOfRange with `detail` "count" unless 1 to kMaxRunLength, "first" unless below the scheme's capacity,
/// "last" if the run would go over the scheme's last code.
[[nodiscard]] Result<Run> makeRun(const Scheme& scheme, std::uint64_t first, std::uint32_t count);

/// From the first code as typed, and how many. Errors of Scheme::parse and makeRun.
[[nodiscard]] Result<Run> parseRun(const Scheme& scheme, std::string_view first, std::uint32_t count);
/// From the first and last code as typed. `last` may be the digits alone, all of them, as labels have it
/// ("RKD 001", "025"): the letters are then those of `first`. Errors of Scheme::parse and makeRun; OutOfRange
/// "last" if it comes before the first, "count" if the run is too long.
[[nodiscard]] Result<Run> parseRun(const Scheme& scheme, std::string_view first, std::string_view last);
/// As above, with the scheme learnt from `first` (see Scheme::learn): so nothing in it is repaired.
[[nodiscard]] Result<Run> parseRun(std::string_view first, std::uint32_t count);
[[nodiscard]] Result<Run> parseRun(std::string_view first, std::string_view last);

/// A set of codes, of any schemes, kept as runs: who holds what. A code counts once, whichever scheme brought
/// it in: schemes of one shape that differ in their excluded letters meet here (our choice: two descriptions
/// of one maker must not let a code be offered twice). Equal sets compare equal, however they were made.
/// Adding and removing cost in proportion to the runs held of that shape.
class RunSet {
public:
    RunSet() = default;

    void add(const Run& run);
    void add(const Code& code);
    void add(const RunSet& other);
    void remove(const Run& run);
    void remove(const Code& code);
    void remove(const RunSet& other);

    [[nodiscard]] bool contains(const Code& code) const;
    [[nodiscard]] RunSet intersect(const RunSet& other) const;
    [[nodiscard]] std::uint64_t count() const noexcept;
    [[nodiscard]] bool isEmpty() const noexcept { return m_spans.empty(); }

    /// In order: by shape, then code. Disjoint, and as few as kMaxRunLength permits. Their schemes have every
    /// letter A-Z possible; a run over an excluded letter therefore comes back in pieces.
    [[nodiscard]] std::vector<Run> runs() const;

    friend bool operator==(const RunSet&, const RunSet&) = default;

    /// Ordinals `first` to `last`, both included, in a scheme with all letters.
    struct Span {
        std::uint64_t first;
        std::uint64_t last;
        friend bool operator==(const Span&, const Span&) = default;
    };

private:
    /// By shape (all letters allowed): sorted, disjoint, never touching, never an empty vector.
    std::map<Scheme, std::vector<Span>> m_spans;
};

} // namespace discal::tag
