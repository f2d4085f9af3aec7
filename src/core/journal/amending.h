#pragma once

#include "core/journal/kind.h"
#include "core/journal/line.h"

#include <string>
#include <string_view>
#include <vector>

/// Corrections and withdrawals. Nothing is erased: a line is read together with the lines that amend it.
namespace discal::journal {

/// Where amending lines come from. Implemented by the projections (storage) and by tests.
class Amendments {
public:
    virtual ~Amendments() = default;
    /// All entry.corrected with `of` = line, any order.
    [[nodiscard]] virtual std::vector<Entry> correctionsOf(const Uuid& line) = 0;
    /// All entry.withdrawn with `act` = act, any order.
    [[nodiscard]] virtual std::vector<Entry> withdrawalsOf(const Uuid& act) = 0;
    /// Whether `device` was an office where `at` stands in the order.
    [[nodiscard]] virtual bool isOffice(const DeviceId& device, const Order& at) = 0;
};

/// A line as it is to be read now.
struct Amended {
    Kind kind{Kind::Unknown};
    bool isNewer{false};  ///< unknown kind or body version: kept, not interpreted
    bool isWithdrawn{false};
    /// An amendment in words of a newer Discal bears on it. That one is left out, since we can't know what it
    /// means, so this reading may be wrong: its subjects are marked.
    bool needsNewer{false};
    Order order;
    DeviceId device;
    Line line;  ///< body, at and offset as corrected
    std::vector<Uuid> appliedCorrections;
    std::vector<std::string> correctedFields;  ///< what they say anew
    [[nodiscard]] bool isCorrected(std::string_view field) const;

    /// Fields whose corrections don't name each other and differ; the first in order is shown.
    struct AtOdds {
        std::string field;
        std::vector<Uuid> corrections;
    };
    std::vector<AtOdds> atOdds;
    /// Amending lines by devices that may not amend this one: kept, without effect, a doubt.
    std::vector<Uuid> withoutAuthority;
};

/// Reads `entry` (whose line must be readable) with its amendments.
///
/// Only an amendment that stands later in the order than its target counts, so a chain of withdrawals of
/// withdrawals ends. A device amends its own lines; an office those of any device. A correction is replaced,
/// field by field, by a later one that names it in `over`. `at` and `offset_min` can be corrected like
/// members of the body. Amendments of a version that we don't know have no effect but `needsNewer`.
[[nodiscard]] Amended amended(const Entry& entry, Amendments& source);

/// Whether an amendment in words of a newer Discal names the line or its act, or names another amendment that
/// does; also one that counts for nothing. Once true it stays so, whatever lines arrive.
[[nodiscard]] bool isNamedByNewer(const Entry& entry, Amendments& source);

/// `line` with kind and version read, no amendments: for lines that nothing amends.
[[nodiscard]] Amended unamended(Entry entry);

} // namespace discal::journal
