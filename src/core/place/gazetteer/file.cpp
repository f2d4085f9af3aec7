#include "core/place/gazetteer/file.h"

#include <algorithm>
#include <sodium.h>

namespace discal::place {

namespace {

constexpr std::string_view kMagic = "DISCALGZ";
constexpr std::uint32_t kVersion = 1;
constexpr std::size_t kSumAt = 24;
constexpr std::size_t kSumBytes = 64; // BLAKE2b-512
constexpr std::size_t kTableAt = kSumAt + kSumBytes;
constexpr std::size_t kTableRow = 8;
constexpr std::size_t kAreaBytes = 16;

} // namespace

std::string_view Section::text(std::size_t at, std::size_t length) const {
    if (at > m_bytes.size() || m_bytes.size() - at < length)
        return {};
    return {reinterpret_cast<const char*>(m_bytes.data()) + at, length};
}

Result<GazetteerFile> GazetteerFile::open(std::span<const std::byte> bytes) {
    const Section whole(bytes);
    if (whole.text(0, kMagic.size()) != kMagic)
        return fail(Code::Corrupt, "the gazetteer: no file of place names");
    const std::uint32_t version = whole.number<4>(8);
    if (version > kVersion)
        return fail(Code::NewerFile, "the gazetteer", version);
    if (version != kVersion || whole.number<4>(12) != kParts)
        return fail(Code::Corrupt, "the gazetteer: its head");
    if (whole.number<4>(16) != bytes.size())
        return fail(Code::Corrupt, "the gazetteer: cut off, or longer than it says");
    GazetteerFile file;
    file.m_bytes = bytes;
    file.m_nameCount = whole.number<4>(20);
    for (std::size_t i = 0; i < kParts; ++i) {
        const std::size_t begin = whole.number<4>(kTableAt + kTableRow * i);
        const std::size_t length = whole.number<4>(kTableAt + kTableRow * i + 4);
        if (begin > bytes.size() || bytes.size() - begin < length)
            return fail(Code::Corrupt, "the gazetteer: its table of sections");
        file.m_parts[i] = Section(bytes.subspan(begin, length));
    }
    return file;
}

Result<void> GazetteerFile::verify() const {
    const auto* begin = reinterpret_cast<const unsigned char*>(m_bytes.data());
    crypto_generichash_state state;
    std::array<unsigned char, kSumBytes> sum{};
    crypto_generichash_init(&state, nullptr, 0, kSumBytes);
    crypto_generichash_update(&state, begin, kSumAt);
    crypto_generichash_update(&state, begin + kTableAt, m_bytes.size() - kTableAt);
    crypto_generichash_final(&state, sum.data(), sum.size());
    if (!std::equal(sum.begin(), sum.end(), begin + kSumAt))
        return fail(Code::BadChecksum, "the gazetteer");
    return {};
}

std::uint32_t GazetteerFile::areaCount() const {
    return static_cast<std::uint32_t>(m_parts[Areas].size() / kAreaBytes);
}

AreaRecord GazetteerFile::area(AreaIndex index) const {
    const Section& areas = m_parts[Areas];
    const std::size_t at = kAreaBytes * index;
    const std::size_t nameAt = areas.number<4>(at);
    const std::size_t nameLength = areas.number<1>(at + 4);
    AreaRecord record;
    record.name = m_parts[Strings].text(nameAt, nameLength);
    record.code = m_parts[Strings].text(nameAt + nameLength, areas.number<1>(at + 5));
    record.kind = static_cast<AreaRecord::Kind>(std::min(areas.number<1>(at + 6), 2U));
    record.isCoarse = areas.number<1>(at + 7) != 0;
    // A country has no parent; nor has what is beyond the table.
    record.parent =
        record.kind == AreaRecord::Kind::Country ? kNoArea : static_cast<AreaIndex>(areas.number<2>(at + 8));
    return record;
}

} // namespace discal::place
