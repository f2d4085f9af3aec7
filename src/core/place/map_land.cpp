#include "core/place/map_land.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <unordered_map>
#include <utility>

namespace discal::place {

namespace {

/// In the file's units, moved by whole turns into the box.
struct Corner {
    double x{0};
    double y{0};
    bool operator==(const Corner&) const = default;
};
struct CornerHash {
    std::size_t operator()(const Corner& c) const {
        return std::hash<double>{}(c.x) * 31 + std::hash<double>{}(c.y);
    }
};
using Line = std::vector<Corner>;

/// The box with its edges between whole units, so that no corner of a shore lies on one.
struct Window {
    explicit Window(const MapBox& box)
        : west(between(box.west)), south(std::max(between(box.south), -kQuarterTurn + 0.5)), east(between(box.east)),
          north(std::min(between(box.north), kQuarterTurn - 0.5)) {}
    [[nodiscard]] bool isEmpty() const { return !(west < east && south < north); }
    double west, south, east, north;

    /// How far around the edge a point on it lies, from the south-west against the clock: 0 to 4.
    [[nodiscard]] double around(const Corner& c) const {
        if (c.y == south)
            return (c.x - west) / (east - west);
        if (c.x == east)
            return 1 + (c.y - south) / (north - south);
        if (c.y == north)
            return 2 + (east - c.x) / (east - west);
        return 3 + (north - c.y) / (north - south);
    }
    [[nodiscard]] Corner cornerAt(int which) const {
        return which == 1 ? Corner{east, south} : which == 2 ? Corner{east, north} : which == 3 ? Corner{west, north}
                                                                                            : Corner{west, south};
    }

private:
    static double between(double degrees) { return std::floor(degrees * kUnitsPerDegree) + 0.5; }
};

/// The part of a segment inside the window; nothing when it passes by. Ends on an edge lie on it exactly.
struct Inside {
    Corner from, to;
    bool entersHere{false};
    bool leavesHere{false};
};
std::optional<Inside> insideOf(const Window& window, const Corner& a, const Corner& b) {
    // Liang and Barsky 1984
    double from = 0;
    double to = 1;
    int fromEdge = -1;
    int toEdge = -1;
    const double dx = b.x - a.x;
    const double dy = b.y - a.y;
    const std::array<std::pair<double, double>, 4> edges{{{-dy, a.y - window.south},
                                                          {dx, window.east - a.x},
                                                          {dy, window.north - a.y},
                                                          {-dx, a.x - window.west}}};
    for (int edge = 0; edge < 4; ++edge) {
        const auto [p, q] = edges[static_cast<std::size_t>(edge)];
        if (p == 0) {
            if (q < 0)
                return std::nullopt;
        } else if (p < 0) {
            if (q / p > from) {
                from = q / p;
                fromEdge = edge;
            }
        } else if (q / p < to) {
            to = q / p;
            toEdge = edge;
        }
    }
    if (from >= to)
        return std::nullopt;
    const auto at = [&](double t, int edge) {
        Corner c{a.x + t * dx, a.y + t * dy};
        c.x = std::clamp(c.x, window.west, window.east);
        c.y = std::clamp(c.y, window.south, window.north);
        (edge == 0 ? c.y : edge == 1 ? c.x : edge == 2 ? c.y : c.x) = edge == 0   ? window.south
                                                                      : edge == 1 ? window.east
                                                                      : edge == 2 ? window.north
                                                                                  : window.west;
        return c;
    };
    return Inside{fromEdge < 0 ? a : at(from, fromEdge), toEdge < 0 ? b : at(to, toEdge), fromEdge >= 0, toEdge >= 0};
}

/// One sheet of land while it is put together.
class Sheet {
public:
    explicit Sheet(const Window& window) : m_window(window) {}

    /// A stretch of its shore, of any length.
    void add(const Line& shore) {
        Line line;
        for (std::size_t i = 1; i < shore.size(); ++i) {
            const auto inside = insideOf(m_window, shore[i - 1], shore[i]);
            if (!inside) {
                keep(line);
                continue;
            }
            if (inside->entersHere || line.empty()) {
                keep(line);
                line.push_back(inside->from);
                if (inside->entersHere)
                    m_crossings.push_back(inside->from);
            }
            line.push_back(inside->to);
            if (inside->leavesHere) {
                m_crossings.push_back(inside->to);
                keep(line);
            }
        }
        keep(line);
    }

    /// `isLand`: of the south-west corner of the window. Empty where the shore can't be closed.
    [[nodiscard]] std::vector<Ring> rings(bool isLand, double finest) {
        if (!addEdges(isLand))
            return {};
        std::unordered_map<Corner, std::vector<std::size_t>, CornerHash> ends;
        for (std::size_t i = 0; i < m_lines.size(); ++i) {
            ends[m_lines[i].front()].push_back(i);
            ends[m_lines[i].back()].push_back(i);
        }
        std::vector<bool> isUsed(m_lines.size(), false);
        std::vector<Ring> out;
        for (std::size_t first = 0; first < m_lines.size(); ++first) {
            if (isUsed[first])
                continue;
            isUsed[first] = true;
            Line ring = m_lines[first];
            while (ring.front() != ring.back()) {
                auto& here = ends[ring.back()];
                const auto next = std::find_if(here.begin(), here.end(), [&](std::size_t i) { return !isUsed[i]; });
                if (next == here.end())
                    return {};
                isUsed[*next] = true;
                const Line& line = m_lines[*next];
                if (line.front() == ring.back())
                    ring.insert(ring.end(), line.begin() + 1, line.end());
                else
                    ring.insert(ring.end(), line.rbegin() + 1, line.rend());
            }
            if (Ring thin = thinned(ring, finest); thin.size() >= 3)
                out.push_back(std::move(thin));
        }
        return out;
    }

private:
    void keep(Line& line) {
        if (line.size() >= 2)
            m_lines.push_back(std::move(line));
        line.clear();
    }

    /// Where the window's own edge bounds the land: between each crossing and the next land and water take turns.
    bool addEdges(bool isLand) {
        if (m_crossings.size() % 2 != 0)
            return false;
        std::vector<std::pair<double, Corner>> stops;
        for (const Corner& c : m_crossings)
            stops.emplace_back(m_window.around(c), c);
        for (int which = 0; which < 4; ++which)
            stops.emplace_back(which, m_window.cornerAt(which));
        std::sort(stops.begin(), stops.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
        stops.emplace_back(4.0, m_window.cornerAt(0));
        for (std::size_t i = 1; i < stops.size(); ++i) {
            if (isLand && stops[i - 1].second != stops[i].second)
                m_lines.push_back({stops[i - 1].second, stops[i].second});
            const double at = stops[i].first;
            if (at != std::floor(at))
                isLand = !isLand;
        }
        return true;
    }

    static Ring thinned(const Line& ring, double finest) {
        Ring out;
        const double least = finest * kUnitsPerDegree;
        Corner last{};
        for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
            const Corner& c = ring[i];
            if (!out.empty() && std::abs(c.x - last.x) + std::abs(c.y - last.y) < least)
                continue;
            out.push_back({c.y / kUnitsPerDegree, c.x / kUnitsPerDegree});
            last = c;
        }
        return out;
    }

    const Window& m_window;
    std::vector<Line> m_lines;
    std::vector<Corner> m_crossings;
};

bool isCounty(const AreaRecord& area) { return area.kind == AreaRecord::Kind::County; }

/// Whether the place is in a polygon of the sheet.
bool isIn(const Gazetteer& gazetteer, const LatLon& at, bool ofCounties) {
    const Outlook from({at.lat, std::remainder(at.lon, 360.0)});
    const Borders borders = gazetteer.borders();
    bool isInside = false;
    borders.areasIn(from.column(), from.row(), [&](const Borders::Met& met) {
        const AreaRecord area = gazetteer.file().area(met.area);
        if (!area.isCoarse && isCounty(area) == ofCounties)
            isInside = isInside || met.isWhole || borders.contains(met.area, from);
    });
    return isInside;
}

} // namespace

Land landIn(const Gazetteer& gazetteer, const MapBox& box, double finest) {
    const Window window(box);
    if (window.isEmpty())
        return {};
    Sheet counties(window);
    Sheet rest(window);
    const Borders borders = gazetteer.borders();
    const auto isLand = [&](AreaIndex area) { return area != kNoArea && !gazetteer.file().area(area).isCoarse; };
    // A damaged file may give each arc all pieces; a whole one has fewer than bytes of them.
    std::size_t left = 3 * gazetteer.file().part(GazetteerFile::Chunks).size();
    for (std::uint32_t arc = 0; arc < borders.arcCount() && left > 0; ++arc) {
        // By the turn that moves a piece into the window; its neighbours go on in the same line.
        std::optional<bool> isShore;
        bool isOfCounties = false;
        for (const double shift : {0.0, 2.0 * kHalfTurn, -2.0 * kHalfTurn}) {
            if (shift > 0 ? window.east < kHalfTurn : shift < 0 && window.west > -kHalfTurn)
                continue;
            Line line;
            const auto finish = [&] {
                if (line.size() >= 2)
                    (isOfCounties ? counties : rest).add(line);
                line.clear();
            };
            borders.piecesOf(arc, [&](const Borders::Piece& piece) {
                if (left == 0)
                    return;
                --left;
                if (piece.west + shift > window.east || piece.east + shift < window.west ||
                    piece.south > window.north || piece.north < window.south) {
                    finish();
                    return;
                }
                if (!isShore) {
                    isShore = isLand(piece.one) != isLand(piece.other);
                    isOfCounties = isCounty(gazetteer.file().area(piece.one));
                }
                if (!*isShore)
                    return;
                bool isFirst = !line.empty();
                borders.pointsOf(piece.chunk, [&](std::int32_t x, std::int32_t y) {
                    // A piece begins where the one before it ends.
                    if (!std::exchange(isFirst, false))
                        line.push_back({x + shift, static_cast<double>(y)});
                });
            });
            finish();
        }
    }
    const LatLon corner{window.south / kUnitsPerDegree, window.west / kUnitsPerDegree};
    return {counties.rings(isIn(gazetteer, corner, true), finest), rest.rings(isIn(gazetteer, corner, false), finest)};
}

} // namespace discal::place
