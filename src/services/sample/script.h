#pragma once

#include "core/result.h"
#include "core/time/instant.h"
#include "services/ports/code_reader.h"

#include <boost/json.hpp>
#include <chrono>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

/// What happens in a sample session, as a person writes it: session.jsonl. The format, with every act and
/// member, is described for people in sample-sessions/README.md; the table there is checked against
/// actForms() by a test.
namespace discal::services::sample {

inline constexpr std::size_t kLargestScript = 8 * 1024 * 1024;

/// One verb for each thing that a person can do, or that can happen to a phone.
enum class Do : std::uint8_t {
    // The station and its people
    Name,
    Found,
    Enrol,
    Person,
    Recorder,
    Visitor,
    Site,
    ChooseSite,
    Lot,
    CountLot,
    // Tags
    Sheet,
    Hand,
    Take,
    Return,
    Paper,
    Missing,
    GiveAway,
    // Butterflies
    Note,
    Hold,
    Release,
    Cage,
    ReleaseCage,
    ExceptAfterwards,
    Escaped,
    Died,
    Untagged,
    Spoiled,
    Retagged,
    Compared,
    Recaptured,
    Measured,
    // The spell of work
    Weather,
    Close,
    // Changing one's mind
    Correct,
    Undo,
    Withdraw,
    ErasePerson,
    Settle,
    // The phone
    Clock,
    Reboot,
    Zone,
    Parcel,
    Read,
    Idle,
};

/// What must hold after an act.
struct Expect {
    std::optional<std::string> butterfly; ///< which one is meant; else the one that the act is about
    std::optional<std::string> code;      ///< its current code
    std::optional<std::string> fate;      ///< noted, held, released ...
    std::optional<std::string> next;      ///< the code that this phone offers next; empty: none
    std::optional<std::int64_t> doubts;   ///< open ones in this phone's file
    std::optional<std::int64_t> held;     ///< butterflies in cages
    std::optional<std::int64_t> lines;    ///< written by this act
    // Of a look at frames; `code` is what was read then
    std::optional<Verdict> verdict;
    std::optional<Refusal> why;           ///< of one that is refused
    std::optional<std::string> first;     ///< the first code on a sheet's label
    std::optional<std::int64_t> count;    ///< the tags that the label names
};

struct Act {
    std::int64_t line{0}; ///< of session.jsonl, from 1
    Do what{Do::Idle};
    time::Instant at{}; ///< true time
    std::string phone;
    /// What belongs to the verb, each of the type and range that actForms() states.
    boost::json::object members;
    std::string as;        ///< later acts name it by "@" and this; may be empty
    bool isRefused{false}; ///< it must be refused, and the replay goes on
    std::optional<Expect> expect;
};

struct Script {
    std::string session;
    std::uint64_t seed{0};
    time::Instant start{};
    std::chrono::minutes offset{0}; ///< of local time, as `start` has it
    std::optional<std::string> zone;
    std::string about;
    std::vector<std::string> phones; ///< at least one; the first is meant where an act names none
    std::vector<Act> acts;           ///< in order of time
};

/// Any bytes may be given. On an error `number` is the line (0: the whole text) and `detail` what is expected
/// there; code BadInput, or that of journal::parseObject for a line that can't be read as an object.
[[nodiscard]] Result<Script> parseScript(std::string_view text);

/// "note", "choose-site" ...
[[nodiscard]] std::string_view wordOf(Do what);
/// "accepted", "unlisted", "refused"
[[nodiscard]] std::string_view wordOf(Verdict verdict);
/// "no-tag", "too-far" ...
[[nodiscard]] std::string_view wordOf(Refusal why);

/// Frames of one look. Our choice: a second of what a phone's camera reads.
inline constexpr std::size_t kMostFrames = 10;

/// A member of an act and what it may hold.
struct MemberForm {
    enum class Shape : std::uint8_t {
        Text,       ///< 1 to 200 bytes
        AnyText,    ///< 0 to 200 bytes
        LongText,   ///< 1 to 4000 bytes
        Count,      ///< 1 to 10000
        Number,     ///< 0 to 10^9
        Skew,       ///< seconds, either way, at most 100 years
        Claim,      ///< true or false
        Decimal,    ///< a whole number, or a decimal in quotes
        Position,   ///< "LAT LON" in decimal degrees
        Offset,     ///< "+HH:MM" or "-HH:MM"
        Zone,       ///< text or null
        Phone,      ///< one of the header's
        OtherPhone, ///< one of the header's, and not the act's own
        Butterfly,  ///< a code, or "@" and an earlier act's `as`
        Butterflies,
        Frames, ///< 1 to kMostFrames names of files in the folder's `frames/`
        Label,  ///< "@" and an earlier act's `as`
        Tagger, ///< initials, a visitor's number, or null for the recorder
        Word,   ///< one of `words`
    };
    std::string_view name;
    Shape shape;
    bool isRequired;
    std::string_view words{}; ///< space separated
};

struct ActForm {
    Do what;
    std::string_view word;
    std::span<const MemberForm> members;
    bool hasButterfly; ///< it is about one, so that "expect" can say its code and fate
};
[[nodiscard]] std::span<const ActForm> actForms();

} // namespace discal::services::sample
