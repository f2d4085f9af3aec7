#include "core/place/gazetteer/borders.h"

#include "core/place/uncertainty.h"

#include <algorithm>
#include <cmath>

namespace discal::place {

namespace {

/// What a chunk's points make of a point's distance to them, in metres squared; of the stretches that count.
template <class Counts>
class Nearest {
public:
    Nearest(const Outlook& from, double shift, Counts counts)
        : m_from(from), m_counts(counts), m_x(from.x - shift) {}
    void add(std::int32_t x, std::int32_t y) {
        const double px = (x - m_x) * m_from.metresEast;
        const double py = (y - m_from.y) * m_from.metresNorth;
        if (m_hasPoint)
            addStretch(m_px, m_py, px, py);
        m_px = px;
        m_py = py;
        m_hasPoint = true;
    }
    [[nodiscard]] double least() const { return m_least; }

private:
    void addStretch(double ax, double ay, double bx, double by) {
        const double dx = bx - ax;
        const double dy = by - ay;
        const double length = dx * dx + dy * dy;
        const double t = length > 0 ? std::clamp(-(ax * dx + ay * dy) / length, 0.0, 1.0) : 0.0;
        const double x = ax + t * dx;
        const double y = ay + t * dy;
        if (const double square = x * x + y * y; square < m_least && m_counts(square, length))
            m_least = square;
    }
    const Outlook& m_from;
    Counts m_counts;
    double m_x;
    bool m_hasPoint{false};
    double m_px{0};
    double m_py{0};
    double m_least{std::numeric_limits<double>::infinity()};
};

std::int32_t cellOf(double units, std::int32_t count) {
    return std::clamp(static_cast<std::int32_t>(std::floor(units / kCellUnits)), 0, count - 1);
}

} // namespace

Outlook::Outlook(const LatLon& at) : x(at.lon * kUnitsPerDegree), y(at.lat * kUnitsPerDegree) {
    const DegreeMetres degree = degreeMetres(std::clamp(at.lat, -90.0, 90.0));
    // Never quite 0: at a pole every longitude is near.
    metresEast = std::max(degree.east, 1.0) / kUnitsPerDegree;
    metresNorth = degree.north / kUnitsPerDegree;
}

std::int32_t Outlook::column() const {
    return cellOf(x + kHalfTurn, kColumns);
}

std::int32_t Outlook::row() const {
    return cellOf(y + kQuarterTurn, kRows);
}

double Outlook::metresTo(double toX, double toY) const {
    double dx = std::abs(toX - x);
    if (dx > kHalfTurn)
        dx = 2.0 * kHalfTurn - dx;
    // No std::hypot: nothing here is near the ends of what a double holds, and this is asked a thousand times
    // a place.
    const double east = dx * metresEast;
    const double north = (toY - y) * metresNorth;
    return std::sqrt(east * east + north * north);
}

Borders::Runs Borders::runsOf(std::int32_t row) const {
    const auto& rows = m_file.part(GazetteerFile::GridRows);
    const auto count = static_cast<std::uint32_t>(m_file.part(GazetteerFile::GridRuns).size() / kRunBytes);
    const auto at = 4 * static_cast<std::size_t>(row);
    const std::uint32_t end = std::min(rows.number<4>(at + 4), count);
    return {std::min(rows.number<4>(at), end), end};
}

std::uint32_t Borders::runAt(Runs runs, std::int32_t column) const {
    std::uint32_t low = runs.begin;
    for (std::uint32_t high = runs.end; high - low > 1;) {
        const std::uint32_t middle = low + (high - low) / 2;
        (columnOfRun(middle) <= column ? low : high) = middle;
    }
    return low;
}

std::uint32_t Borders::contentAt(std::int32_t column, std::int32_t row) const {
    const Runs runs = runsOf(row);
    return runs.begin == runs.end ? kNothing : contentOfRun(runAt(runs, column));
}

std::vector<AreaIndex> Borders::areasAround(const Outlook& from, double metres) const {
    std::vector<AreaIndex> found;
    const double reachY = metres / from.metresNorth;
    const double reachX = std::min(metres / from.metresEast, static_cast<double>(kHalfTurn));
    const auto south = cellOf(from.y - reachY + kQuarterTurn, kRows);
    const auto north = cellOf(from.y + reachY + kQuarterTurn, kRows);
    // Columns may run over either end: -3 is the third from the east.
    const auto west = static_cast<std::int32_t>(std::floor((from.x - reachX + kHalfTurn) / kCellUnits));
    const auto east = static_cast<std::int32_t>(std::floor((from.x + reachX + kHalfTurn) / kCellUnits));
    const auto add = [&](const Met& met) {
        if (std::find(found.begin(), found.end(), met.area) == found.end())
            found.push_back(met.area);
    };
    const auto addRuns = [&](Runs runs, std::int32_t first, std::int32_t last) {
        if (runs.begin == runs.end)
            return;
        for (std::uint32_t run = runAt(runs, first); run < runs.end && columnOfRun(run) <= last; ++run)
            visitContent(contentOfRun(run), add);
    };
    for (std::int32_t row = south; row <= north; ++row) {
        const Runs runs = runsOf(row);
        addRuns(runs, std::clamp(west, 0, kColumns - 1), std::clamp(east, 0, kColumns - 1));
        if (west < 0)
            addRuns(runs, std::max(west + kColumns, 0), kColumns - 1);
        if (east >= kColumns)
            addRuns(runs, 0, std::min(east - kColumns, kColumns - 1));
    }
    return found;
}

std::uint32_t Borders::arcCount() const {
    return static_cast<std::uint32_t>(m_file.part(GazetteerFile::Arcs).size() / kArcBytes);
}

std::uint32_t Borders::firstChunk(std::uint32_t arc) const {
    const auto count = static_cast<std::uint32_t>(m_file.part(GazetteerFile::Chunks).size() / kChunkBytes);
    return arc < arcCount() ? std::min(m_file.part(GazetteerFile::Arcs).number<3>(kArcBytes * arc), count)
                            : count;
}

Borders::Box Borders::boxOf(std::uint32_t chunk) const {
    const auto& chunks = m_file.part(GazetteerFile::Chunks);
    const std::size_t at = kChunkBytes * chunk;
    Box box{};
    box.west = static_cast<std::int32_t>(chunks.number<3>(at)) - kHalfTurn;
    box.south = static_cast<std::int32_t>(chunks.number<3>(at + 3)) - kQuarterTurn;
    box.east = box.west + static_cast<std::int32_t>(chunks.number<2>(at + 6));
    box.north = box.south + static_cast<std::int32_t>(chunks.number<2>(at + 8));
    return box;
}

template <class Visit>
void Borders::chunksOf(AreaIndex area, Visit visit) const {
    constexpr std::size_t kAreaBytes = 16;
    const auto& areas = m_file.part(GazetteerFile::Areas);
    const auto& arcs = m_file.part(GazetteerFile::AreaArcs);
    const std::size_t begin = areas.number<4>(kAreaBytes * area + 12);
    const bool isLast = area + 1U >= m_file.areaCount();
    const std::size_t end = isLast ? arcs.size() : areas.number<4>(kAreaBytes * (area + 1U) + 12);
    if (begin >= end || end > arcs.size())
        return;
    Varints steps(arcs.from(begin).first(end - begin));
    for (std::uint32_t arc = 0; !steps.isAtEnd();) {
        arc += steps.next();
        const std::uint32_t last = arc < arcCount() ? firstChunk(arc + 1) : 0;
        for (std::uint32_t chunk = firstChunk(arc); chunk < last; ++chunk)
            visit(chunk, boxOf(chunk));
    }
}

bool Borders::contains(AreaIndex area, const Outlook& at) const {
    // A ray to the east, up to the first cell that is wholly inside or wholly outside: borders beyond it say
    // nothing new. Of coarse areas cells are left out where a county fills them, so that there the ray goes
    // all the way.
    bool isInside = false;
    double stop = std::numeric_limits<double>::infinity();
    if (!m_file.area(area).isCoarse) {
        const Runs runs = runsOf(at.row());
        for (std::uint32_t run = runs.begin == runs.end ? runs.end : runAt(runs, at.column()); run < runs.end;
             ++run) {
            bool isMet = false;
            bool isWhole = false;
            visitContent(contentOfRun(run), [&](const Met& met) {
                isMet = isMet || met.area == area;
                isWhole = isWhole || (met.area == area && met.isWhole);
            });
            if (isMet && !isWhole)
                continue;
            if (columnOfRun(run) <= at.column())
                return isWhole;
            isInside = isWhole;
            stop = columnOfRun(run) * kCellUnits - kHalfTurn + 0.5;
            break;
        }
    }
    chunksOf(area, [&](std::uint32_t chunk, const Box& box) {
        if (box.south > at.y || box.north < at.y || box.east < at.x || box.west > stop)
            return;
        double x1 = 0;
        double y1 = 0;
        bool hasPoint = false;
        pointsOf(chunk, [&](std::int32_t x2, std::int32_t y2) {
            if (hasPoint && (y1 <= at.y) != (y2 <= at.y)) {
                const double x = x1 + (x2 - x1) * (at.y - y1) / (y2 - y1);
                if (x > at.x && x < stop)
                    isInside = !isInside;
            }
            x1 = x2;
            y1 = y2;
            hasPoint = true;
        });
    });
    return isInside;
}

template <class Counts>
double Borders::metresToStretch(AreaIndex area, const Outlook& from, double reach, Counts counts) const {
    double least = reach * reach;
    bool isFound = false;
    chunksOf(area, [&](std::uint32_t chunk, const Box& box) {
        // Across the date line the area's coordinates are a turn away.
        double shift = 0;
        if (box.west - from.x > kHalfTurn)
            shift = -2.0 * kHalfTurn;
        else if (from.x - box.east > kHalfTurn)
            shift = 2.0 * kHalfTurn;
        const double x = from.x - shift;
        const double dx = std::max({box.west - x, x - box.east, 0.0}) * from.metresEast;
        const double dy = std::max({box.south - from.y, from.y - box.north, 0.0}) * from.metresNorth;
        if (dx * dx + dy * dy > least)
            return;
        Nearest nearest(from, shift, counts);
        pointsOf(chunk, [&](std::int32_t px, std::int32_t py) { nearest.add(px, py); });
        if (nearest.least() <= least) {
            least = nearest.least();
            isFound = true;
        }
    });
    return isFound ? std::sqrt(least) : std::numeric_limits<double>::infinity();
}

double Borders::metresToBorder(AreaIndex area, const Outlook& from, double within) const {
    return metresToStretch(area, from, within, [](double, double) { return true; });
}

double Borders::metresToLine(AreaIndex area, const Outlook& from, double within) const {
    if (m_file.area(area).kind != AreaRecord::Kind::County || within >= kMostThinnedMetres)
        return metresToBorder(area, from, within);
    constexpr double kMost = 4 * kThinnedSquareMetres * kThinnedSquareMetres;
    return metresToStretch(area, from, kMostThinnedMetres, [within](double square, double length) {
        return square <= within * within || square * length <= kMost;
    });
}

} // namespace discal::place
