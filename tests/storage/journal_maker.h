#pragma once

#include "storage/journal.h"

#include <array>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <random>
#include <string>
#include <string_view>
#include <vector>

namespace discal::tests {

/// Choices from a seed, alike on every machine (the standard's distributions differ between libraries).
class Choices {
public:
    explicit Choices(std::uint64_t seed) : m_engine(seed) {}

    [[nodiscard]] std::uint64_t number() { return m_engine(); }
    /// 0 to n - 1; n must not be 0.
    [[nodiscard]] std::size_t below(std::size_t n) { return static_cast<std::size_t>(m_engine() % n); }
    /// True `part` times of `whole`.
    [[nodiscard]] bool chance(std::size_t part, std::size_t whole) { return below(whole) < part; }

    template <class T>
    [[nodiscard]] const T& of(const std::vector<T>& things) {
        return things[below(things.size())];
    }

    template <std::size_t N>
    [[nodiscard]] std::array<std::uint8_t, N> bytes() {
        std::array<std::uint8_t, N> out{};
        for (std::uint8_t& b : out)
            b = static_cast<std::uint8_t>(m_engine() >> 56U);
        return out;
    }

    template <class T>
    void shuffle(std::vector<T>& things) {
        for (std::size_t i = things.size(); i > 1; --i)
            std::swap(things[i - 1], things[below(i)]);
    }

private:
    std::mt19937_64 m_engine;
};

/// The value, or a std::runtime_error that says what failed (Catch reports it): for steps a test takes for
/// granted.
template <class T>
T good(Result<T> result);

/// One line of words for a failed check: code, detail, number.
[[nodiscard]] std::string wordsOf(const Error& error);
template <class T>
[[nodiscard]] std::string wordsOf(const Result<T>& result) {
    return result ? std::string("ok") : wordsOf(result.error());
}

/// A folder for key, mark and lock of journals on a SimulatedDisk: in memory where the system has /dev/shm,
/// since each new key waits for the disk several times. Removed at the end.
class SideFolder {
public:
    SideFolder();
    ~SideFolder();
    SideFolder(const SideFolder&) = delete;
    SideFolder& operator=(const SideFolder&) = delete;
    [[nodiscard]] const std::filesystem::path& path() const { return m_path; }

private:
    std::filesystem::path m_path;
};

/// How tests open journals: device keys come from `seed`, so that the same seed gives the same devices.
[[nodiscard]] storage::Journal::WriteOptions writeOptions(std::uint64_t seed, std::string program = "test");
[[nodiscard]] std::unique_ptr<storage::Journal> openWriter(const storage::Place& place, std::uint64_t seed);
[[nodiscard]] std::unique_ptr<storage::Journal> openReader(const storage::Place& place);

/// Makes well-formed lines and appends them, a commit a call. Ids and times come from the seed; no clock is
/// read.
///
/// `lamport` is 1 + the greatest that the projections know. Members of bodies are those that core/butterfly,
/// core/tag and core/station read. Failures are std::runtime_error; tests of failing disks use tryAppend.
class JournalMaker {
public:
    using Uuid = journal::Uuid;

    JournalMaker(storage::Journal& journal, std::uint64_t seed);

    /// Goes on with another Journal object: after a reopening.
    void use(storage::Journal& journal) { m_journal = &journal; }
    [[nodiscard]] storage::Journal& journal() { return *m_journal; }

    [[nodiscard]] Uuid newId();
    /// The phone's clock as lines will carry it. It goes on by some seconds with each line.
    time::Instant now;
    std::chrono::minutes offset{120};
    std::optional<std::string> zone{"Europe/Berlin"};
    std::string boot{"boot-1"};
    std::int64_t upMs{60'000};
    std::optional<Uuid> by;

    /// Id of the butterfly, sheet, person or station that the last line made anew.
    [[nodiscard]] const Uuid& subject() const { return m_subject; }

    // What a line would be, not yet appended
    // -------------------------------------------------------------------

    [[nodiscard]] journal::Line line(std::string kind, std::vector<Uuid> about, boost::json::object body,
                                     int version = 1);
    [[nodiscard]] journal::Line noteLine(const std::string& code, const std::string& sex = "female");
    [[nodiscard]] Result<Uuid> tryAppend(const journal::Line& line,
                                         const std::vector<storage::Blob>& blobs = {});
    Uuid append(const journal::Line& line, const std::vector<storage::Blob>& blobs = {});
    /// Several lines of one act: the first gives its id as their act, lamports count on.
    Uuid appendAct(std::vector<journal::Line> lines);

    // Lines of the trade; each returns the line's id
    // -------------------------------------------------------------

    Uuid started(const std::string& name = "phone");
    Uuid founded(const std::string& name = "Old Mill");
    Uuid enrolled(const journal::DeviceId& device, const std::string& role);

    Uuid sheetReceived(const std::string& first, int count);
    Uuid sheetReceivedAs(const Uuid& sheet, const std::string& first, int count);
    Uuid handed(const Uuid& sheet, const std::string& first, int count, const journal::DeviceId& to);
    Uuid taken(const Uuid& sheet, const std::string& first, int count);

    Uuid note(const std::string& code, const std::string& sex = "female");
    Uuid held(const Uuid& butterfly, const std::string& cage = "cage 1");
    Uuid released(const Uuid& butterfly);
    Uuid releasedTogether(const std::vector<Uuid>& butterflies);
    /// butterfly.escaped, .died, .untagged, .measured ... with any body.
    Uuid happened(const std::string& kind, const Uuid& butterfly, boost::json::object body = {});
    Uuid retagged(const Uuid& butterfly, const std::string& code);
    Uuid recaptured(const std::string& code, std::optional<Uuid> butterfly = {});
    Uuid spoiled(const Uuid& butterfly, const std::string& code, const std::string& next);
    /// tag.compared, about all of them.
    Uuid compared(const std::vector<Uuid>& butterflies, const std::string& offered, const std::string& says);
    /// tag.paper, tag.missing, tag.given or tag.spoiled, of a run of codes.
    Uuid tagLine(const std::string& kind, const std::string& first, int count = 1);

    Uuid correct(const Uuid& of, const std::string& field, boost::json::value value,
                 const std::vector<Uuid>& over = {});
    Uuid withdraw(const Uuid& act, const std::vector<Uuid>& over = {});
    Uuid settled(const std::string& doubtKey, const std::vector<Uuid>& evidence, const std::string& choice,
                 const std::vector<Uuid>& over = {});
    Uuid unknown(const std::string& kind, int version, const std::vector<Uuid>& about,
                 boost::json::object body = {});

    /// person.named whose initials are in a blob.
    Uuid named(const std::string& initials);
    [[nodiscard]] const storage::Blob& blob() const { return m_blob; } ///< the last one made
    Uuid eraseBlob(const journal::Hash& blob, const std::string& why = "asked");

private:
    storage::Journal* m_journal;
    Choices m_choices;
    Uuid m_subject;
    storage::Blob m_blob;
    std::int64_t m_lamport{0};
};

/// One device's chain as `from` holds it, its lines from `fromSeq` on, with a signed head: of its own chain
/// all lines, of others what their last signed head covers. For heads in between see LooseChain.
[[nodiscard]] storage::Delivery delivery(storage::Journal& from, const journal::DeviceId& device,
                                         std::int64_t fromSeq = 1);

/// A chain whose head can be signed at any line: of a journal, or of lines that no Journal would write.
class LooseChain {
public:
    /// Its key is the first that writeOptions(seed) makes.
    explicit LooseChain(std::uint64_t seed);
    /// The chain of a journal that was made with openWriter(..., seed).
    LooseChain(std::uint64_t seed, storage::Journal& journal);
    [[nodiscard]] const journal::KeyPair& key() const { return m_key; }
    [[nodiscard]] journal::DeviceId device() const { return m_key.device(); }
    void add(std::string line) { m_lines.push_back(std::move(line)); }
    [[nodiscard]] std::size_t size() const { return m_lines.size(); }
    [[nodiscard]] const std::string& line(std::size_t seq) const { return m_lines.at(seq - 1); }
    /// Lines fromSeq to toSeq, signed at toSeq.
    [[nodiscard]] storage::Delivery delivery(std::size_t fromSeq, std::size_t toSeq) const;

private:
    journal::KeyPair m_key;
    std::vector<std::string> m_lines;
};

/// All lines of all chains as "device seq line", and of the fork table, in order: equal for equal journals.
[[nodiscard]] std::vector<std::string> linesOf(storage::JournalFile& file);

/// Empty if both dumps are the same; else the first lines that only one of them has. Short enough to read.
[[nodiscard]] std::string difference(const std::string& one, const std::string& other);
[[nodiscard]] std::string difference(const std::vector<std::string>& one,
                                     const std::vector<std::string>& other);

template <class T>
T good(Result<T> result) {
    if (!result)
        throw std::runtime_error(wordsOf(result.error()));
    if constexpr (!std::is_void_v<T>)
        return std::move(*result);
}

} // namespace discal::tests
