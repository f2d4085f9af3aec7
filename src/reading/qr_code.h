#pragma once

#include "core/result.h"

#include <cstdint>
#include <string>
#include <vector>

namespace discal::reading {

/// The squares of a QR code (ISO/IEC 18004) without its quiet zone: `side` rows of `side`, 1 where it is dark.
struct QrCode {
    int side{0};
    std::vector<std::uint8_t> dark;

    [[nodiscard]] bool isDark(int x, int y) const {
        return dark[static_cast<std::size_t>(y) * static_cast<std::size_t>(side) + static_cast<std::size_t>(x)] != 0;
    }
};

/// Characters of the alphanumeric alphabet that the largest code holds: version 40, level L (ISO/IEC 18004, table 7).
inline constexpr std::size_t kMostQrCharacters = 4296;

/// How much of a code may be lost: 7, 15, 25, 30 % of its codewords (ISO/IEC 18004).
enum class Spare : std::uint8_t { L, M, Q, H };

/// The smallest code of that level that holds the text (ASCII). L is for showing from screen to screen, where nothing
/// smears. OutOfRange when it holds too much, BadInput when it is empty. Everything that knows the library is in the .cpp.
[[nodiscard]] Result<QrCode> makeQrCode(const std::string& text, Spare spare = Spare::L);

/// What a drawn code says: every square `scale` pixels wide, with a quiet zone. NotFound when it can't be read.
[[nodiscard]] Result<std::string> readQrCode(const QrCode& code, int scale);

} // namespace discal::reading
