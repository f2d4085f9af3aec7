#pragma once

#include "core/journal/kind.h"
#include "services/ports/clock.h"
#include "services/ports/randomness.h"
#include "storage/journal.h"

#include <boost/json.hpp>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace discal::services {

/// A line that is on stable storage.
struct SavedLine {
    std::int64_t seq{0};
    journal::Uuid id;
    journal::Uuid act;
    std::string kind;
    std::string words{}; ///< of its place, where it has one that is put into words
};

struct Saved {
    std::vector<SavedLine> lines;
    /// The first line of the last act: what one undo takes back.
    [[nodiscard]] journal::Uuid act() const { return lines.empty() ? journal::Uuid{} : lines.back().act; }
};

/// Writes lines of this device: gives them ids, times and their place in the order, and makes each tap one commit.
/// The one way by which anything gets into the journal here.
class LineWriter {
public:
    LineWriter(storage::Journal& journal, Clock& clock, Randomness& randomness);

    /// Called once for each line, in order, after the commit that made it durable has returned.
    std::function<void(const SavedLine&)> onSaved;

    /// Who judges and writes; stays until it is changed.
    void setRecorder(std::optional<journal::Uuid> person) { m_recorder = person; }
    [[nodiscard]] const std::optional<journal::Uuid>& recorder() const { return m_recorder; }

    /// Writes device.started as line 1 where a chain has just begun; otherwise does nothing. `sample` marks a journal
    /// of a replay for good.
    struct Start {
        std::string name;  ///< of the device, for people
        std::string app;   ///< program and version
        std::optional<std::string> sample;
    };
    [[nodiscard]] Result<Saved> ensureStarted(const Start& start);

    /// Lines that are saved together or not at all.
    class Commit {
    public:
        /// The following lines belong to a tap of their own, that can be undone alone.
        void newAct() { m_act.reset(); }
        /// Adds a line; returns its id.
        journal::Uuid add(journal::Kind kind, std::vector<journal::Uuid> about, boost::json::object body);
        /// Keeps a text or picture beside the lines; returns what a body cites it by. OutOfRange over 256 KiB.
        [[nodiscard]] Result<boost::json::object> keep(std::string_view content);
        /// Notes something for this copy of the file alone, when the lines are saved.
        void keepLocal(std::string name, std::string value) {
            m_locals.push_back({std::move(name), std::move(value)});
        }
        [[nodiscard]] journal::Uuid newId() { return m_writer.newId(m_moment); }
        [[nodiscard]] const Moment& moment() const { return m_moment; }
        [[nodiscard]] bool isEmpty() const { return m_lines.empty(); }
        /// Returns when it is on stable storage. On an error nothing was saved.
        [[nodiscard]] Result<Saved> save();
        /// Done once the lines are saved, before onSaved; never if they are not. For what the program remembers.
        void whenSaved(std::function<void()> remember) { m_whenSaved.push_back(std::move(remember)); }

    private:
        friend class LineWriter;
        Commit(LineWriter& writer, Moment moment) : m_writer(writer), m_moment(std::move(moment)) {}
        LineWriter& m_writer;
        Moment m_moment;
        std::optional<journal::Uuid> m_act;
        std::vector<journal::Line> m_lines;
        std::vector<storage::Blob> m_blobs;
        std::vector<storage::Local> m_locals;
        std::vector<std::function<void()>> m_whenSaved;
    };
    [[nodiscard]] Commit begin() { return {*this, m_clock.now()}; }

    [[nodiscard]] storage::Journal& journal() { return m_journal; }
    [[nodiscard]] Clock& clock() { return m_clock; }
    [[nodiscard]] Randomness& randomness() { return m_randomness; }

private:
    [[nodiscard]] journal::Uuid newId(const Moment& moment);

    storage::Journal& m_journal;
    Clock& m_clock;
    Randomness& m_randomness;
    std::optional<journal::Uuid> m_recorder;
};

} // namespace discal::services
