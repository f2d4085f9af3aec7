#pragma once

#include "core/place/position.h"
#include "core/result.h"

#include <array>
#include <chrono>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

/// What a satellite receiver says, read from NMEA 0183 sentences: for replaying logs and for receivers on a
/// cable. Sources: the standard itself is sold, so field meanings are those of the freely published
/// descriptions of IEC 61162-1 / NMEA 0183 up to version 4.11 (GGA quality 0 to 8, FAA mode letters, GST),
/// checked against the five receiver logs that the tests replay.
namespace discal::place {

/// Longest sentence we read, in bytes, without the line end. The standard's 82 is often exceeded by receivers
/// with many decimals; 256 is our choice, three times as much.
inline constexpr std::size_t kMaxSentence = 256;

/// One-sigma error of a range to a satellite, in mm; HDOP times this is the root mean square of the distance
/// from the true place, a radius for 63 to 68 % of fixes. Formula: National Research Council 1995, The Global
/// Positioning System: A Shared National Asset, appendix on accuracy. The value, 5 m, is our choice and
/// common practice for a single-frequency receiver (gpsd assumes 15 m at 95 %, for older ones); it is no
/// measurement of the receiver at hand. GST, where a receiver sends it, is.
inline constexpr std::int64_t kRangeErrorMm = 5'000;

/// Accuracy of a fix whose receiver states neither HDOP nor GST, in mm: doubled it is the 30 m that Chapman
/// and Wieczorek 2020 give an unknown receiver after 1 May 2000.
inline constexpr std::int64_t kUnknownAccuracyMm = 15'000;

/// How old a GST may be to speak for a fix, in receiver milliseconds. Most receivers send it after the GGA of
/// the same second, so for a live fix the one of the second before is the newest there is. Our choice.
inline constexpr std::int64_t kGstHeldMs = 2'000;

/// How long a date heard once (RMC, ZDA) dates fixes that come without, in uptime milliseconds. Our choice:
/// long enough for receivers that send RMC seldom, short against the half day within which a time of day is
/// unique.
inline constexpr std::int64_t kDateHeldMs = 600'000;

/// A sentence whose checksum holds. Views into the bytes it was read from: valid as long as those are.
struct NmeaSentence {
    std::string_view address; ///< before the first comma, like "GPGGA" or "PFST"
    std::string_view fields;  ///< after it, without the checksum

    /// Field n, the first being 1 as in the descriptions; empty if there are fewer.
    [[nodiscard]] std::string_view field(int n) const;
    /// "GGA" of "GPGGA", whoever talks; empty for proprietary sentences and queries.
    [[nodiscard]] std::string_view type() const;
};

/// Reads one line, with or without its line end. BadInput: no sentence at all (doesn't begin with "$", holds
/// a byte that isn't printable ASCII); LineTooLong: over kMaxSentence; MissingMember: no checksum;
/// BadChecksum: a wrong one, or something after it.
[[nodiscard]] Result<NmeaSentence> readNmeaSentence(std::string_view line);

/// Reads a receiver's sentences one by one and gives each usable fix once. Not for two threads at once.
/// Memory is constant; nothing is kept of the bytes.
///
/// A fix is a GGA of quality 1 to 5 whose RMC of the same time of day, before or after it, is active ("A")
/// and in no mode of guessing. GGA has no date and RMC no accuracy, so each needs the other. A GGA that is
/// left alone when the next second begins takes the date heard last, at most kDateHeldMs ago, with the day
/// that brings it nearest to it: so a second before midnight and one after it get their own days. Without any
/// date the fix is dropped, and so is one whose RMC denies it. Without GGA there is no fix. After a silence
/// of more than kDateHeldMs nothing that came before it counts.
///
/// Never a position: quality 0 or RMC status V (no fix), 6 or mode E (estimated), 7 or mode M (typed in), 8
/// or mode S (simulator). RMC's last field, the navigational status of version 4.1, is left alone: receivers
/// write V there for "not approved for ships".
///
/// Degrees and minutes become 10^-7 degree in whole numbers, rounded to the nearest. Thousandths of a second
/// are kept, further digits dropped; a leap second (:60) is refused, since an Instant can't hold it.
class NmeaReader {
public:
    /// What became of a sentence.
    enum class Verdict : std::uint8_t {
        Understood,   ///< taken in
        Skipped,      ///< well formed, of a type we don't read
        NoFix,        ///< the receiver says it has none
        NotMeasured,  ///< estimated or typed in
        Simulated,    ///< a simulator's; as an Error this is Code::Simulated
        Malformed,    ///< the checksum holds, the contents make no sense: 99 minutes, a field missing
        NotASentence, ///< comment, empty line, noise, or too long
        ChecksumMissing,
        ChecksumWrong,
    };
    static constexpr std::size_t kVerdicts = 9;

    struct Heard {
        Verdict verdict;          ///< on this sentence
        std::optional<Fix> fix{}; ///< complete by now; it may stem from the sentence before
    };

    /// What has been seen so far.
    struct Tally {
        std::array<std::int64_t, kVerdicts> sentences{}; ///< by Verdict, see count()
        std::int64_t fixes{0};
        std::int64_t undated{0};  ///< good fixes dropped because no date was known
        std::int64_t denied{0};   ///< GGA claimed a fix, RMC of the same time denied it
        std::int64_t repeated{0}; ///< the same instant once more, say from a second talker

        [[nodiscard]] std::int64_t count(Verdict v) const { return sentences[static_cast<std::size_t>(v)]; }
    };

    /// Takes one sentence that arrived at uptime `upMs`. The Fix carries the uptime of its GGA and legal
    /// coordinates. Any bytes may be given.
    [[nodiscard]] Heard feed(std::string_view sentence, std::int64_t upMs);

    /// The fix that still waits for its RMC when a log ends, if it can be dated.
    [[nodiscard]] std::optional<Fix> flush();

    [[nodiscard]] const Tally& tally() const { return m_tally; }

private:
    using Millis = std::chrono::milliseconds; // of the day, UTC
    using Day = std::chrono::sys_days;

    struct Waiting { // a GGA
        Millis timeOfDay;
        Fix fix; // without its UTC
    };
    struct Standing { // an RMC
        Millis timeOfDay;
        Verdict verdict;
        std::optional<Day> day;
    };
    struct Dated {
        time::Instant utc;
        std::int64_t upMs;
    };
    struct Spread { // a GST
        Millis timeOfDay;
        std::int64_t accuracyMm;
    };

    void startAfresh();
    Heard hear(std::string_view line, std::int64_t upMs);
    Heard hearGga(const NmeaSentence& s, std::int64_t upMs);
    Heard hearRmc(const NmeaSentence& s, std::int64_t upMs);
    Heard hearZda(const NmeaSentence& s, std::int64_t upMs);
    Heard hearGst(const NmeaSentence& s);

    std::optional<Fix> settle();
    std::optional<Fix> settleUnless(Millis timeOfDay);
    std::optional<time::Instant> datedNear(Millis timeOfDay, std::int64_t upMs) const;

    std::optional<std::int64_t> m_lastUpMs;
    std::optional<Waiting> m_waiting;
    std::optional<Standing> m_standing;
    std::optional<Dated> m_dated;
    std::optional<Spread> m_spread;
    std::optional<time::Instant> m_given; // UTC of the last fix given out
    Tally m_tally;
};

} // namespace discal::place
