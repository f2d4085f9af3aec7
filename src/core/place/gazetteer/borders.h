#pragma once

#include "core/place/gazetteer/file.h"
#include "core/place/geodesy.h"

#include <limits>
#include <vector>

namespace discal::place {

/// Where we look from, in the file's units, with the lengths of a unit there. Distances are taken on the
/// plane that touches the ellipsoid: within 0.5 % up to 25 km below 80 degrees of latitude.
struct Outlook {
    explicit Outlook(const LatLon& at);
    double x;
    double y;
    double metresEast;  ///< a unit of longitude
    double metresNorth; ///< a unit of latitude
    [[nodiscard]] std::int32_t column() const;
    [[nodiscard]] std::int32_t row() const;
    /// Metres to a place in units; the short way round.
    [[nodiscard]] double metresTo(double toX, double toY) const;
};

/// Our source thinned the counties' borders out: the point whose triangle with its two neighbours was the smallest went
/// first, down to 10^-7 of a steradian (Visvalingam and Whyatt 1993; of the triangles that are left one in a hundred is
/// below 3.8 million square metres). So beside a stretch of some length the true line is mostly no farther than twice
/// this through the length: along rivers kilometres, along survey lines hardly anything.
inline constexpr double kThinnedSquareMetres = 4.06e6;
/// But not farther than this: our choice, else every bend would make half a county uncertain.
inline constexpr double kMostThinnedMetres = 2'000;

/// The polygons of the gazetteer, borders held as arcs that two areas share.
class Borders {
public:
    explicit Borders(const GazetteerFile& file) : m_file(file) {}

    struct Met {
        AreaIndex area{kNoArea};
        bool isWhole{false}; ///< the whole cell lies inside
    };
    /// Areas that meet the cell, counties first.
    template <class Visit>
    void areasIn(std::int32_t column, std::int32_t row, Visit visit) const {
        visitContent(contentAt(column, row), visit);
    }
    /// Areas that meet any cell within `metres`; each once, in no order.
    [[nodiscard]] std::vector<AreaIndex> areasAround(const Outlook& from, double metres) const;

    /// Even-odd.
    [[nodiscard]] bool contains(AreaIndex area, const Outlook& at) const;
    /// Metres to the area's border; infinity when it is farther than `within`.
    [[nodiscard]] double metresToBorder(AreaIndex area, const Outlook& from, double within) const;

    /// The same to the nearest stretch that may in truth run past here: nearer than `within`, or than its own error
    /// where counties are drawn (kThinnedSquareMetres). Infinity when there is none.
    [[nodiscard]] double metresToLine(AreaIndex area, const Outlook& from, double within) const;

    /// A piece of a border, for drawing: its box in units, and what lies on either side (kNoArea: sea, or
    /// unknown).
    struct Piece {
        std::uint32_t chunk{0};
        std::int32_t west{0}, south{0}, east{0}, north{0};
        AreaIndex one{kNoArea}, other{kNoArea};
    };
    [[nodiscard]] std::uint32_t arcCount() const;
    template <class Visit>
    void piecesOf(std::uint32_t arc, Visit visit) const {
        const auto& arcs = m_file.part(GazetteerFile::Arcs);
        Piece piece;
        piece.one = static_cast<AreaIndex>(arcs.number<2>(kArcBytes * arc + 3));
        piece.other = static_cast<AreaIndex>(arcs.number<2>(kArcBytes * arc + 5));
        for (piece.chunk = firstChunk(arc); piece.chunk < firstChunk(arc + 1); ++piece.chunk) {
            const Box box = boxOf(piece.chunk);
            piece.west = box.west;
            piece.south = box.south;
            piece.east = box.east;
            piece.north = box.north;
            visit(piece);
        }
    }
    /// visit(x, y) for each point of a piece, in units.
    template <class Visit>
    void pointsOf(std::uint32_t chunk, Visit visit) const {
        const auto bytes = m_file.part(GazetteerFile::Points).from(pointsAt(chunk));
        if (bytes.empty())
            return;
        const Box box = boxOf(chunk);
        Varints numbers(bytes.subspan(1));
        // Unsigned: bytes from outside may add up to anything.
        auto x = static_cast<std::uint32_t>(box.west) + numbers.next();
        auto y = static_cast<std::uint32_t>(box.south) + numbers.next();
        visit(static_cast<std::int32_t>(x), static_cast<std::int32_t>(y));
        for (auto left = static_cast<unsigned>(bytes[0]); left > 1; --left) {
            x += static_cast<std::uint32_t>(numbers.nextSigned());
            y += static_cast<std::uint32_t>(numbers.nextSigned());
            visit(static_cast<std::int32_t>(x), static_cast<std::int32_t>(y));
        }
    }

private:
    static constexpr std::size_t kArcBytes = 7;
    static constexpr std::size_t kChunkBytes = 13;
    static constexpr std::size_t kRunBytes = 5;
    static constexpr std::uint32_t kNothing = 0xFFFFFF;
    static constexpr std::uint32_t kWhole = 0x800000;
    static constexpr std::uint32_t kWholeInList = 0x8000;

    struct Box {
        std::int32_t west, south, east, north;
    };
    struct Runs {
        std::uint32_t begin;
        std::uint32_t end;
    };

    [[nodiscard]] Runs runsOf(std::int32_t row) const;
    /// The last run of the row that begins at or before the column.
    [[nodiscard]] std::uint32_t runAt(Runs runs, std::int32_t column) const;
    [[nodiscard]] std::int32_t columnOfRun(std::uint32_t run) const {
        return static_cast<std::int32_t>(m_file.part(GazetteerFile::GridRuns).number<2>(kRunBytes * run));
    }
    [[nodiscard]] std::uint32_t contentOfRun(std::uint32_t run) const {
        return m_file.part(GazetteerFile::GridRuns).number<3>(kRunBytes * run + 2);
    }
    [[nodiscard]] std::uint32_t contentAt(std::int32_t column, std::int32_t row) const;
    template <class Visit>
    void visitContent(std::uint32_t content, Visit visit) const {
        if (content == kNothing)
            return;
        if ((content & kWhole) != 0) {
            visit(Met{static_cast<AreaIndex>(content & 0xFFFFU), true});
            return;
        }
        const auto& lists = m_file.part(GazetteerFile::GridLists);
        const std::size_t at = 2 * std::size_t{content};
        const std::uint32_t count = lists.number<2>(at);
        for (std::uint32_t i = 1; i <= count && at + 2 * i + 2 <= lists.size(); ++i) {
            const std::uint32_t entry = lists.number<2>(at + 2 * i);
            visit(Met{static_cast<AreaIndex>(entry & ~kWholeInList), (entry & kWholeInList) != 0});
        }
    }

    [[nodiscard]] std::uint32_t firstChunk(std::uint32_t arc) const;
    [[nodiscard]] std::size_t pointsAt(std::uint32_t chunk) const {
        return m_file.part(GazetteerFile::Chunks).number<3>(kChunkBytes * chunk + 10);
    }
    [[nodiscard]] Box boxOf(std::uint32_t chunk) const;
    /// visit(chunk, box) for each piece of the area's border.
    template <class Visit>
    void chunksOf(AreaIndex area, Visit visit) const;

    /// Metres to the nearest of the area's stretches that count; infinity when none within `reach` does.
    /// counts(square of the distance, square of the length) in metres squared.
    template <class Counts>
    [[nodiscard]] double metresToStretch(AreaIndex area, const Outlook& from, double reach, Counts counts) const;

    const GazetteerFile& m_file;
};

} // namespace discal::place
