#pragma once

#include "core/result.h"

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>

/// The gazetteer's bytes as records. Its form is on one page in DEVELOPERS.md. Nothing here trusts the bytes:
/// what lies beyond the end of a section reads as 0, an index beyond the last record as a record of zeros.
namespace discal::place {

/// Bytes of one section; numbers are little-endian.
class Section {
public:
    Section() = default;
    explicit Section(std::span<const std::byte> bytes) : m_bytes(bytes) {}
    [[nodiscard]] std::size_t size() const { return m_bytes.size(); }

    /// The `width` bytes (1 to 4) at `at`; 0 when any of them is beyond the end.
    template <std::size_t width>
    [[nodiscard]] std::uint32_t number(std::size_t at) const {
        if (at > m_bytes.size() || m_bytes.size() - at < width)
            return 0;
        std::uint32_t value = 0;
        for (std::size_t i = 0; i < width; ++i)
            value |= static_cast<std::uint32_t>(m_bytes[at + i]) << (8 * i);
        return value;
    }
    [[nodiscard]] std::string_view text(std::size_t at, std::size_t length) const;
    [[nodiscard]] std::span<const std::byte> from(std::size_t at) const {
        return at < m_bytes.size() ? m_bytes.subspan(at) : std::span<const std::byte>{};
    }

private:
    std::span<const std::byte> m_bytes{};
};

/// Walks over variable-length numbers (seven bits a byte, least first). After the end all are 0.
class Varints {
public:
    explicit Varints(std::span<const std::byte> bytes)
        : m_at(bytes.data()), m_end(bytes.data() + bytes.size()) {}
    [[nodiscard]] bool isAtEnd() const { return m_at == m_end; }
    std::uint32_t next() {
        std::uint32_t value = 0;
        for (unsigned shift = 0; m_at != m_end && shift < 32; shift += 7) {
            const auto byte = static_cast<std::uint32_t>(*m_at++);
            value |= (byte & 0x7FU) << shift;
            if (byte < 0x80U)
                break;
        }
        return value;
    }
    /// Small magnitudes of either sign: 0, -1, 1, -2 ...
    std::int32_t nextSigned() {
        const std::uint32_t value = next();
        return static_cast<std::int32_t>(value >> 1U) ^ -static_cast<std::int32_t>(value & 1U);
    }

private:
    const std::byte* m_at;
    const std::byte* m_end;
};

using AreaIndex = std::uint16_t;
inline constexpr AreaIndex kNoArea = 0xFFFF;

/// A country, a first-level region (state, province) or a county.
struct AreaRecord {
    enum class Kind : std::uint8_t { Country, Region, County };
    std::string_view name;
    std::string_view
        code; ///< ISO 3166-1, ISO 3166-2, or the country's own number of the county; may be empty
    Kind kind{Kind::Country};
    bool isCoarse{false}; ///< has a polygon that only tells whose the water is: its counties' are better
    AreaIndex parent{kNoArea};
};

/// Coordinates of the file are whole units of 10^-4 degree.
inline constexpr std::int32_t kUnitsPerDegree = 10'000;
inline constexpr std::int32_t kHalfTurn = 180 * kUnitsPerDegree;
inline constexpr std::int32_t kQuarterTurn = 90 * kUnitsPerDegree;
/// The grid's cells, a quarter of a degree; row 0 is the most southern, column 0 begins at 180 degrees west.
inline constexpr std::int32_t kCellUnits = 2'500;
inline constexpr std::int32_t kColumns = 1'440;
inline constexpr std::int32_t kRows = 720;

class GazetteerFile {
public:
    enum Part : std::uint8_t {
        Edition,
        Strings,
        Areas,
        AreaArcs,
        Arcs,
        Chunks,
        Points,
        GridRows,
        GridRuns,
        GridLists,
        TownRows,
        TownCells,
        Towns,
        NameBlocks,
        Names,
        Folds,
        kParts
    };

    /// Checks head and section bounds, no more: constant time. NewerFile (number: its version), Corrupt
    /// (detail says where).
    [[nodiscard]] static Result<GazetteerFile> open(std::span<const std::byte> bytes);
    /// Compares all bytes with the checksum in the head: some milliseconds. BadChecksum.
    [[nodiscard]] Result<void> verify() const;

    [[nodiscard]] const Section& part(Part p) const { return m_parts[p]; }
    [[nodiscard]] std::string_view edition() const {
        return m_parts[Edition].text(0, m_parts[Edition].size());
    }
    [[nodiscard]] std::uint32_t areaCount() const;
    [[nodiscard]] AreaRecord area(AreaIndex index) const;
    [[nodiscard]] std::uint32_t nameCount() const { return m_nameCount; }

private:
    std::span<const std::byte> m_bytes{};
    std::array<Section, kParts> m_parts{};
    std::uint32_t m_nameCount{0};
};

} // namespace discal::place
