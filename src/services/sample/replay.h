#pragma once

#include "core/place/gazetteer.h"
#include "core/result.h"
#include "services/line_writer.h"
#include "services/sample/replay_look.h"
#include "storage/journal.h"

#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

/// Sample sessions: invented field days that go through the same services as the app.
/// sample-sessions/README.md has the format of their folders.
namespace discal::services::sample {

struct ReplayOptions {
    std::filesystem::path folder; ///< with session.jsonl
    std::filesystem::path
        journal; ///< of the first phone; a further phone B writes meadow-B.discal beside meadow.discal
    /// Puts the places of lines into words; nullptr: they have none. Must outlive the replay.
    const place::Gazetteer* names{nullptr};
    /// Each line after its commit returned, in the order of the script.
    std::function<void(const std::string& phone, const SavedLine&)> onSaved;
    /// How chains travel, since sync is not seen from here: all chains that `from` holds go to `to`. Needed
    /// only by scripts with a parcel; without it they stop there with NotAllowed.
    std::function<Result<void>(storage::Journal& from, storage::Journal& to)> exchange;
    /// Reads the frames of looks; without it they are passed over.
    Eyes eyes;
    /// Each look, before it is compared with what is expected of it; also one that is passed over.
    std::function<void(const Sight&)> onSight;
    /// Each phone's journal when the script is over, before it is closed; in the order of the script's
    /// header.
    std::function<void(const std::string& phone, storage::Journal&)> onFinished;
};

struct ReplayReport {
    std::string session;         ///< its name
    std::int64_t acts{0};        ///< of the script
    std::int64_t lines{0};       ///< written, on all phones together
    std::int64_t passedOver{0};  ///< looks that nobody could take
    std::int64_t butterflies{0}; ///< that these lines speak of, each once
    struct Phone {
        std::string name;
        std::filesystem::path journal;
        std::int64_t lines{0}; ///< written by this phone
    };
    std::vector<Phone> phones;
};

/// Runs a folder into new journals. Clock, randomness and device keys come from the session alone, so two
/// replays give the same bytes; device.started carries the session's name as `sample`.
///
/// Exists (detail: the path) before anything is written when a journal, or anything beside it that belongs to
/// one, is there. NotFound without session.jsonl. An act that a service refuses, that states "refused" and is
/// not refused, or whose "expect" is not met stops the replay: the error's `number` is the act's line, its
/// `detail` begins with "session.jsonl:LINE: ". What was saved before stays in the journals.
[[nodiscard]] Result<ReplayReport> replay(const ReplayOptions& options);

/// The journal of a further phone: "-PHONE" before the extension.
[[nodiscard]] std::filesystem::path journalOf(const std::filesystem::path& first, const std::string& phone);

/// All lines of the file, of every device, by (lamport, device, seq): the bytes as they are, LF after each.
/// Two equal histories give the same text.
[[nodiscard]] Result<std::string> journalAsNdjson(storage::Journal& journal);

} // namespace discal::services::sample
