#pragma once

#include "core/place/gazetteer/borders.h"

#include <optional>
#include <string>

namespace discal::place {

/// A town, village or, where only they tell the county, a part of one.
struct TownRecord {
    std::int32_t x{0}; ///< units of 10^-4 degree
    std::int32_t y{0};
    std::uint32_t name{0};
    AreaIndex area{kNoArea}; ///< the smallest that we know it to stand in
    double people{0};        ///< to about 7 %; 0: not known
    bool isPart{false};      ///< of a larger place: tells the county, is no town
    std::optional<int> elevationMetres{};
};

/// Towns by cell.
class Towns {
public:
    explicit Towns(const GazetteerFile& file) : m_file(file) {}

    [[nodiscard]] std::uint32_t count() const;
    [[nodiscard]] TownRecord at(std::uint32_t index, std::int32_t column, std::int32_t row) const;

    /// How much a town counts against one twice as far away: `factor(area)` times 1 for a village, 1.3 for
    /// 10,000 people, 1.9 for a million. Without it a city's neighbours would answer in its midst. Our
    /// choice.
    [[nodiscard]] static double weightOf(double people);

    /// Calls visit(town, cell's metres) ... for every town in rows that may hold one within `metres`, from
    /// the nearest row on. `visit` returns how far it is still worth looking, in metres.
    template <class Visit>
    void around(const Outlook& from, double metres, Visit visit) const {
        const std::int32_t middle = from.row();
        const double height = kCellUnits * from.metresNorth;
        double reach = metres;
        for (std::int32_t step = 0; step < kRows; ++step) {
            // Nothing in a row `step` away is nearer than the rows between are high.
            if (step > 0 && (step - 1) * height > reach)
                break;
            for (const std::int32_t row : {middle - step, middle + step}) {
                if (row >= 0 && row < kRows)
                    reach = std::min(reach, visitRow(from, row, reach, visit));
                if (step == 0)
                    break;
            }
        }
    }
    /// visit(town) for every town of the whole file whose number of a name `accept` takes, in the order of
    /// cells. Each cell and town once at most, whatever the bytes say.
    template <class Accept, class Visit>
    void named(Accept accept, Visit visit) const {
        std::uint32_t cell = 0;
        std::uint32_t town = 0;
        for (std::int32_t row = 0; row < kRows; ++row)
            for (const std::uint32_t end = cellsOf(row).end; cell < end; ++cell)
                for (const std::uint32_t last = firstTown(cell + 1); town < last; ++town)
                    if (accept(nameOf(town)))
                        visit(at(town, columnOf(cell), row));
    }
    template <class Visit>
    void all(Visit visit) const {
        named([](std::uint32_t) { return true; }, visit);
    }
    /// visit(town) for those between the columns of a row, both included.
    template <class Visit>
    void in(std::int32_t row, std::int32_t first, std::int32_t last, Visit visit) const {
        visitCells(row, cellsOf(row), first, last, visit);
    }

private:
    static constexpr std::size_t kCellBytes = 6;
    static constexpr std::size_t kTownBytes = 11;

    [[nodiscard]] std::uint32_t nameOf(std::uint32_t town) const {
        return m_file.part(GazetteerFile::Towns).number<3>(kTownBytes * town + 3);
    }

    struct Cells {
        std::uint32_t begin;
        std::uint32_t end;
    };
    [[nodiscard]] Cells cellsOf(std::int32_t row) const;
    [[nodiscard]] std::int32_t columnOf(std::uint32_t cell) const {
        return static_cast<std::int32_t>(m_file.part(GazetteerFile::TownCells).number<2>(kCellBytes * cell));
    }
    [[nodiscard]] std::uint32_t firstTown(std::uint32_t cell) const;
    [[nodiscard]] std::uint32_t cellFrom(Cells cells, std::int32_t column) const;

    template <class Visit>
    void visitCells(std::int32_t row, Cells cells, std::int32_t first, std::int32_t last, Visit visit) const {
        for (std::uint32_t cell = cellFrom(cells, first); cell < cells.end; ++cell) {
            const std::int32_t column = columnOf(cell);
            if (column > last)
                break;
            const std::uint32_t end = firstTown(cell + 1);
            for (std::uint32_t town = firstTown(cell); town < end; ++town)
                visit(at(town, column, row));
        }
    }
    template <class Visit>
    double visitRow(const Outlook& from, std::int32_t row, double reach, Visit& visit) const {
        const Cells cells = cellsOf(row);
        const double reachX = std::min(reach / from.metresEast, static_cast<double>(kHalfTurn));
        const auto west =
            static_cast<std::int32_t>((from.x - reachX + kHalfTurn + kColumns * kCellUnits) / kCellUnits) -
            kColumns;
        const auto east = static_cast<std::int32_t>((from.x + reachX + kHalfTurn) / kCellUnits);
        const auto take = [&](const TownRecord& town) { reach = std::min(reach, visit(town)); };
        visitCells(row, cells, std::max(west, 0), std::min(east, kColumns - 1), take);
        if (west < 0)
            visitCells(row, cells, west + kColumns, kColumns - 1, take);
        if (east >= kColumns)
            visitCells(row, cells, 0, east - kColumns, take);
        return reach;
    }

    const GazetteerFile& m_file;
};

} // namespace discal::place
