#include "core/place/gazetteer/names.h"

#include <algorithm>

namespace discal::place {

namespace {

constexpr std::uint32_t kNamesPerBlock = 16;
constexpr std::size_t kBlockBytes = 3;
constexpr std::size_t kFoldBytes = 4;

/// The code point that begins at `at`, and how many bytes it has; bytes that are no UTF-8 stand for
/// themselves.
struct CodePoint {
    std::uint32_t code;
    std::size_t length;
};
CodePoint codePointAt(std::string_view s, std::size_t at) {
    const auto byte = [&](std::size_t i) {
        return static_cast<std::uint32_t>(static_cast<unsigned char>(s[i]));
    };
    const std::uint32_t first = byte(at);
    const std::size_t length = first >= 0xF0 ? 4 : first >= 0xE0 ? 3 : first >= 0xC0 ? 2 : 1;
    if (length == 1 || at + length > s.size())
        return {first, 1};
    std::uint32_t code = first & (0xFFU >> (length + 1));
    for (std::size_t i = 1; i < length; ++i)
        code = (code << 6U) | (byte(at + i) & 0x3FU);
    return {code, length};
}

bool isPlain(char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9');
}

} // namespace

void TownNames::appendFolded(std::string& out, std::uint32_t code, std::string_view bytes) const {
    const auto add = [&](char c) {
        if (c == '\'' || c == '.' || c == '`')
            return;
        if (isPlain(c) || static_cast<unsigned char>(c) >= 0x80)
            out += c;
        else if (!out.empty() && out.back() != ' ')
            out += ' ';
    };
    if (bytes.size() == 1) {
        const char c = bytes.front();
        add(c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c);
        return;
    }
    const auto& folds = m_file.part(GazetteerFile::Folds);
    std::size_t low = 0;
    for (std::size_t high = folds.size() / kFoldBytes; low < high;) {
        const std::size_t middle = low + (high - low) / 2;
        if (folds.number<2>(kFoldBytes * middle) < code)
            low = middle + 1;
        else
            high = middle;
    }
    if (folds.number<2>(kFoldBytes * low) == code && code < 0x10000) {
        for (const std::size_t i : {2U, 3U})
            if (const auto c = folds.number<1>(kFoldBytes * low + i); c != 0)
                add(static_cast<char>(c));
        return;
    }
    for (const char c : bytes)
        add(c);
}

std::string TownNames::folded(std::string_view name) const {
    std::string out;
    out.reserve(name.size());
    for (std::size_t at = 0; at < name.size();) {
        const auto [code, length] = codePointAt(name, at);
        appendFolded(out, code, name.substr(at, length));
        at += length;
    }
    if (out.ends_with(' '))
        out.pop_back();
    return out;
}

std::string TownNames::at(std::uint32_t index) const {
    if (index >= m_file.nameCount())
        return {};
    const auto& blocks = m_file.part(GazetteerFile::NameBlocks);
    const auto& names = m_file.part(GazetteerFile::Names);
    std::size_t at = blocks.number<3>(kBlockBytes * (index / kNamesPerBlock));
    std::string name;
    for (std::uint32_t i = 0; i <= index % kNamesPerBlock; ++i) {
        // The first of a block is whole; of the others what they share with the one before is only counted.
        const std::size_t shared = i == 0 ? 0 : names.number<1>(at++);
        const std::size_t length = names.number<1>(at++);
        name.resize(std::min(shared, name.size()));
        name += names.text(at, length);
        at += length;
    }
    return name;
}

std::uint32_t TownNames::boundOf(std::string_view key, bool isAfter) const {
    std::uint32_t low = 0;
    for (std::uint32_t high = m_file.nameCount(); low < high;) {
        const std::uint32_t middle = low + (high - low) / 2;
        const std::string name = folded(at(middle));
        if (name < key || (isAfter && name.starts_with(key)))
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

TownNames::Range TownNames::beginningWith(std::string_view prefix) const {
    return {boundOf(prefix, false), boundOf(prefix, true)};
}

} // namespace discal::place
