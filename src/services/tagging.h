#pragma once

#include "core/butterfly/butterfly.h"
#include "services/field_session.h"
#include "services/stock.h"

#include <optional>
#include <string>
#include <vector>

/// What happens to one butterfly in hand. Each call is one tap: one commit, one undo.
namespace discal::services {

/// What may be measured besides code, sex and origin. Wear goes with the scale that it was judged on.
struct Measures {
    std::optional<std::int64_t> forewingUm;
    std::optional<std::int64_t> wear;
    std::string wearScale;  ///< "1-5" (Malcolm and others 1993) or "0-4" (Oberhauser and Calvert); required with wear
    std::optional<bool> mated;
    std::string parasiteSample;  ///< number of the tape sample
    std::string note;            ///< free text; kept beside the lines, can be erased
};

/// That a code was read by the camera, and a person kept it.
struct CodeRead {
    static constexpr std::size_t kMostPictureBytes = 64 * 1024;

    std::int64_t perMille{0};  ///< how probable the reading was, 0 to 1000
    std::string picture;       ///< the tag's disc, upright, as JPEG or PNG, at most kMostPictureBytes; empty: none is kept
};

class Tagging {
public:
    Tagging(LineWriter& writer, FieldSession& session, Stock& stock)
        : m_writer(writer), m_session(session), m_stock(stock) {}

    struct Note {
        std::optional<std::string> code;  ///< as typed; without it the next free one
        std::string sex{"unknown"};       ///< female, male, unknown
        std::string origin;               ///< wild, reared; empty: as before
        std::string tagger;               ///< person id; empty: as before
        std::string lot;                  ///< rearing lot, or empty
        Measures measures;
        std::optional<CodeRead> read{};   ///< where `code` is from the camera
    };
    struct Noted {
        Saved saved;
        journal::Uuid butterfly;
        tag::Code code;
        bool repaired{false};             ///< a look-alike was replaced: show the code
        std::vector<std::string> doubts;  ///< keys of doubts that this line is part of now
    };
    /// Writes a butterfly down before its tag goes on. An open one of this device is closed in the same tap, the way
    /// that the session says, as inferred. Refused only when the code can't be read, or none is free and none given.
    [[nodiscard]] Result<Noted> note(const Note& note);

    /// `which`: a code as typed, or an id; without it the open butterfly. NotFound when there is none; NotAllowed with
    /// the ids when several carry that code and none or several are here.
    [[nodiscard]] Result<butterfly::Butterfly> find(const std::optional<std::string>& which);

    [[nodiscard]] Result<Saved> hold(const std::optional<std::string>& which, const std::string& cage);
    /// `hand`: the person whose hand it left, where that was not the recorder's, such as a visitor's.
    [[nodiscard]] Result<Saved> release(const std::optional<std::string>& which,
                                        const std::optional<journal::Uuid>& hand = std::nullopt);
    enum class TagOn { Wing, Nothing };
    /// It flew: with its tag on it is released, without one the tag is free again.
    [[nodiscard]] Result<Saved> escaped(const std::optional<std::string>& which, TagOn tag);
    [[nodiscard]] Result<Saved> died(const std::optional<std::string>& which, TagOn tag);
    /// Hurt or worn: counted, no code. Without `which` and without an open one it is a butterfly never noted.
    struct Untagged {
        std::string why;  ///< hurt, worn
        std::string sex{"unknown"};
        std::string origin;
    };
    [[nodiscard]] Result<Saved> untagged(const std::optional<std::string>& which, const Untagged& what);
    /// The tag is ruined (or lies loose in the cage): the same butterfly gets the next code, or `next`.
    [[nodiscard]] Result<Saved> spoiled(const std::optional<std::string>& which, const std::optional<std::string>& next);
    /// A second tag beside the first; both codes stay with it.
    [[nodiscard]] Result<Saved> retagged(const std::optional<std::string>& which, const std::optional<std::string>& next);
    [[nodiscard]] Result<Saved> measured(const std::optional<std::string>& which, const Measures& measures);

    /// The next tag on the paper says another code than the one offered, also after looking again: each of
    /// `butterflies`, those noted since offer and paper last agreed, may carry another code than was written,
    /// a doubt. Offering goes on at `says` while that is free and ours. BadInput for no butterflies or for
    /// equal codes.
    [[nodiscard]] Result<Saved> comparedApart(const tag::Code& offered, const tag::Code& says,
                                              const std::vector<journal::Uuid>& butterflies);

    struct Recapture {
        std::optional<std::string> code;  ///< as typed, as far as it could be read
        std::string mark{"readable"};     ///< readable, worn, unreadable, gone
        std::string sex{"unknown"};
        std::string origin;
        Measures measures;
        std::optional<CodeRead> read{};   ///< where `code` is from the camera
    };
    struct Recaptured {
        Saved saved;
        journal::Uuid butterfly;
        std::optional<butterfly::Butterfly> known;  ///< its story before this, when we hold it
    };
    [[nodiscard]] Result<Recaptured> recaptured(const Recapture& what);

    /// Lets all go that are in `cage` (empty: in any), one act, except those named; those named in `dead` lay dead in
    /// it, their tags on. Exceptions can be said afterwards.
    [[nodiscard]] Result<Saved> releaseCage(const std::string& cage, const std::vector<std::string>& except,
                                            const std::vector<std::string>& dead = {});
    enum class Except { Stayed, Died };
    /// After a cage was let go: this one stayed, or lay dead.
    [[nodiscard]] Result<Saved> exceptAfterwards(const std::string& which, Except how);

private:
    /// The one way by which a tap about a butterfly begins: no typed position outlives it.
    [[nodiscard]] LineWriter::Commit begin();
    [[nodiscard]] Result<Saved> addFate(journal::Kind kind, const std::optional<std::string>& which,
                                        boost::json::object body, bool withPlace);
    [[nodiscard]] Result<void> closeOpen(LineWriter::Commit& commit, const std::optional<journal::Uuid>& unless);
    [[nodiscard]] Result<tag::Parsed> nextOr(const std::optional<std::string>& typed);
    [[nodiscard]] Result<void> addMeasures(LineWriter::Commit& commit, boost::json::object& body, const Measures& m);
    [[nodiscard]] static Result<void> addRead(LineWriter::Commit& commit, boost::json::object& body,
                                              const std::optional<CodeRead>& read);
    [[nodiscard]] Result<void> addPlace(LineWriter::Commit& commit, boost::json::object& body, std::string_view member);

    LineWriter& m_writer;
    FieldSession& m_session;
    Stock& m_stock;
};

} // namespace discal::services
