#pragma once

#include "services/ports/clock.h"
#include "storage/journal.h"

#include <chrono>
#include <filesystem>
#include <optional>
#include <vector>

namespace discal::services {

/// Copies of the journal that are made without being asked for, in a folder beside it (`FILE.copies`): against a file
/// that gets damaged or deleted. They are on the same disk, so they are no reason to say anything but "only on this
/// device".
///
/// A copy is a whole journal that was checked before it was made. Its name tells the time (UTC), the device and how
/// many lines that one had written: `2026-09-05T140320Z-DEVICE-150.discal`. One appears whole or not at all.
///
/// Call from the thread of the journal, when the lines are saved and nobody waits: a copy takes as long as reading all
/// lines. Any error leaves the journal and the copies that were there as they are, and the next call tries again.
class SafeCopies {
public:
    SafeCopies(storage::Journal& journal, Clock& clock) : m_journal(journal), m_clock(clock) {}

    /// Lines of our own between two copies within a session, and how long one is kept (design.md, 5).
    static constexpr std::int64_t kLinesACopy = 50;
    static constexpr std::chrono::days kKept{90};

    /// The copy that was made, if one was due.
    using Made = std::optional<std::filesystem::path>;

    /// After any commit, or a parcel that was read. Copies when kLinesACopy lines have come since the last copy; carries
    /// erasures into all copies when there are new ones.
    [[nodiscard]] Result<Made> afterCommit() { return keep(kLinesACopy); }
    /// Copies if a single line has come since the last copy.
    [[nodiscard]] Result<Made> atSessionEnd() { return keep(1); }

    [[nodiscard]] std::filesystem::path folder() const;
    /// When the newest copy of this device's journal was made, as its name tells.
    [[nodiscard]] std::optional<time::Instant> newest() const;

private:
    struct Copy;
    [[nodiscard]] std::vector<Copy> copies() const;
    [[nodiscard]] Result<Made> keep(std::int64_t linesDue);
    [[nodiscard]] Result<std::filesystem::path> make();
    [[nodiscard]] Result<void> forgetOld();
    [[nodiscard]] Result<void> carryErasures();

    storage::Journal& m_journal;
    Clock& m_clock;
};

} // namespace discal::services
