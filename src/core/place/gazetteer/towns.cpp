#include "core/place/gazetteer/towns.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace discal::place {

namespace {

/// People by class: 10^(class / 16).
const std::array<double, 128>& peopleByClass() {
    static const std::array<double, 128> table = [] {
        std::array<double, 128> t{};
        for (std::size_t i = 1; i < t.size(); ++i)
            t[i] = std::pow(10.0, static_cast<double>(i) / 16.0);
        return t;
    }();
    return table;
}

} // namespace

std::uint32_t Towns::count() const {
    return static_cast<std::uint32_t>(m_file.part(GazetteerFile::Towns).size() / kTownBytes);
}

TownRecord Towns::at(std::uint32_t index, std::int32_t column, std::int32_t row) const {
    constexpr std::int16_t kNoElevation = -32'768;
    const auto& towns = m_file.part(GazetteerFile::Towns);
    const std::size_t at = kTownBytes * index;
    const std::uint32_t offset = towns.number<3>(at);
    TownRecord town;
    // A damaged offset stays in its cell, and so on Earth.
    town.x =
        column * kCellUnits - kHalfTurn + std::min(static_cast<std::int32_t>(offset & 0xFFFU), kCellUnits);
    town.y = row * kCellUnits - kQuarterTurn + std::min(static_cast<std::int32_t>(offset >> 12U), kCellUnits);
    town.name = nameOf(index);
    town.area = static_cast<AreaIndex>(towns.number<2>(at + 6));
    const std::uint32_t size = towns.number<1>(at + 8);
    town.people = peopleByClass()[size & 0x7FU];
    town.isPart = (size & 0x80U) != 0;
    const auto elevation = static_cast<std::int16_t>(towns.number<2>(at + 9));
    if (elevation != kNoElevation)
        town.elevationMetres = elevation;
    return town;
}

double Towns::weightOf(double people) {
    return people <= 1000 ? 1.0 : 1.0 + 0.3 * std::log10(people / 1000.0);
}

Towns::Cells Towns::cellsOf(std::int32_t row) const {
    const auto& rows = m_file.part(GazetteerFile::TownRows);
    const auto count = static_cast<std::uint32_t>(m_file.part(GazetteerFile::TownCells).size() / kCellBytes);
    const auto at = 4 * static_cast<std::size_t>(row);
    const std::uint32_t end = std::min(rows.number<4>(at + 4), count);
    return {std::min(rows.number<4>(at), end), end};
}

std::uint32_t Towns::firstTown(std::uint32_t cell) const {
    const auto& cells = m_file.part(GazetteerFile::TownCells);
    const bool isBeyond = kCellBytes * (std::size_t{cell} + 1) > cells.size();
    return isBeyond ? count() : std::min(cells.number<4>(kCellBytes * cell + 2), count());
}

std::uint32_t Towns::cellFrom(Cells cells, std::int32_t column) const {
    std::uint32_t low = cells.begin;
    for (std::uint32_t high = cells.end; low < high;) {
        const std::uint32_t middle = low + (high - low) / 2;
        if (columnOf(middle) < column)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

} // namespace discal::place
