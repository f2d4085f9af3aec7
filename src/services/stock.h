#pragma once

#include "core/tag/run.h"
#include "services/line_writer.h"

#include <optional>
#include <string>
#include <vector>

namespace discal::services {

/// The tags that this phone holds: taking sheets in, handing them on, and saying which code comes next.
class Stock {
public:
    explicit Stock(LineWriter& writer) : m_writer(writer) {}

    /// A code as typed, against the schemes of all sheets; without any sheet as its own text says. NotACode with the
    /// legal form, AmbiguousCode with the readings. A code that is in no sheet is as good as any: it is kept.
    [[nodiscard]] Result<tag::Parsed> read(std::string_view typed);

    /// The next free code that this device may offer: first the one read off the paper (goOnAt), then one
    /// that came off a butterfly unused, then on from the last one used, then any; nothing if it holds none.
    [[nodiscard]] Result<std::optional<tag::Code>> nextFree();
    /// Free codes around it, in order: at most `count`.
    [[nodiscard]] Result<std::vector<tag::Code>> nextFree(std::size_t count);
    /// Where offering goes on; set by every use of a code.
    void wentOnFrom(const tag::Code& code) {
        m_last = code;
        m_at.reset();
    }
    /// The paper says that `code` is the next: it is offered next, until a code is used, while it is free and
    /// ours; and the ones behind it after that. One that may not be offered leaves everything as it was.
    void goOnAt(const tag::Code& code) { m_at = code; }
    /// Something was taken back or corrected: where to go on is looked up in the journal again.
    void lookAgain() {
        m_last.reset();
        m_at.reset();
    }

    struct NewSheet {
        std::string first;
        std::uint32_t count{25};
        std::optional<std::string> scheme;  ///< pattern; learnt from `first` where not given
        int perRow{0};
    };
    [[nodiscard]] Result<Saved> receive(const NewSheet& sheet);
    /// Hands a run to another device. NotAllowed when we don't hold all of it.
    [[nodiscard]] Result<Saved> hand(const tag::Run& run, const journal::DeviceId& to);
    /// Hands back what came from another device: everything free of the run, in one tap, each part to the
    /// device that handed it to us last (tag::Sheet::handings). NothingToDo when none of it did.
    [[nodiscard]] Result<Saved> giveBack(const tag::Run& run);
    /// The paper is in our hand, but no line says so.
    [[nodiscard]] Result<Saved> take(const tag::Run& run);
    /// The sticker is ruined before it was on a wing.
    [[nodiscard]] Result<Saved> spoil(const tag::Code& code);
    [[nodiscard]] Result<Saved> missing(const tag::Run& run);
    /// Used on a paper sheet; the lines are still to be typed.
    [[nodiscard]] Result<Saved> usedOnPaper(const tag::Run& run);
    [[nodiscard]] Result<Saved> giveAway(const tag::Run& run, const std::string& to);

private:
    [[nodiscard]] Result<Saved> handPieces(const tag::RunSet& codes, const journal::DeviceId* to);
    [[nodiscard]] Result<Saved> aboutRun(journal::Kind kind, const tag::Run& run, const std::string& note);
    [[nodiscard]] Result<void> lookUp();
    [[nodiscard]] Result<std::vector<tag::Code>> freeFrom(const tag::Sheet& sheet, const std::optional<tag::Code>& after,
                                                          std::size_t count);

    LineWriter& m_writer;
    std::optional<tag::Code> m_last; ///< used last
    std::optional<tag::Code> m_at;   ///< read off the paper since then
};

} // namespace discal::services
