#pragma once

#include "reading/qr_code.h"

#include <fstream>
#include <string>

namespace discal::tests {

/// A PNM picture with this text as a QR code, 4 pixels a module.
inline std::string qrPicture(const std::string& text) {
    const auto qr = reading::makeQrCode(text, reading::Spare::M).value();
    constexpr int kScale = 4;
    constexpr int kQuietZone = 4;
    const int side = (qr.side + 2 * kQuietZone) * kScale;
    std::string out = "P5 " + std::to_string(side) + " " + std::to_string(side) + " 255\n";
    for (int y = 0; y < side; ++y)
        for (int x = 0; x < side; ++x) {
            const int column = x / kScale - kQuietZone;
            const int row = y / kScale - kQuietZone;
            const bool isInside = column >= 0 && row >= 0 && column < qr.side && row < qr.side;
            out += isInside && qr.isDark(column, row) ? '\0' : '\xFF';
        }
    return out;
}

/// An even grey: no tag, no barcode.
inline std::string emptyPicture() {
    return "P5 80 60 255\n" + std::string(std::size_t{80} * 60, '\x99');
}

inline void writeFile(const std::string& path, const std::string& bytes) {
    std::ofstream(path, std::ios::binary) << bytes;
}

} // namespace discal::tests
