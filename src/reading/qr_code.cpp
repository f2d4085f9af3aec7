#include "reading/qr_code.h"

#define ZX_USE_UTF8 1
#include <ZXing/BitMatrix.h>
#include <ZXing/MultiFormatWriter.h>
#include <ZXing/ReadBarcode.h>

#include <exception>

namespace discal::reading {

namespace {

/// Squares of white around, as the standard asks.
constexpr int kQuietZone = 4;

} // namespace

Result<QrCode> makeQrCode(const std::string& text, Spare spare) {
    if (text.empty())
        return fail(Code::BadInput, "text");
    if (text.size() > kMostQrCharacters)
        return fail(Code::OutOfRange, "text");
    try {
        // Levels 0 to 8 are spread over L, M, Q, H. No size asked for: a square a pixel.
        const auto matrix = ZXing::MultiFormatWriter(ZXing::BarcodeFormat::QRCode)
                                .setEccLevel(1 + 2 * static_cast<int>(spare))
                                .setMargin(0)
                                .encode(text, 0, 0);
        QrCode code;
        code.side = matrix.width();
        for (int y = 0; y < code.side; ++y)
            for (int x = 0; x < code.side; ++x)
                code.dark.push_back(matrix.get(x, y) ? 1 : 0);
        return code;
    } catch (const std::exception&) {
        return fail(Code::OutOfRange, "text");
    }
}

Result<std::string> readQrCode(const QrCode& code, int scale) {
    const int side = (code.side + 2 * kQuietZone) * scale;
    std::vector<std::uint8_t> pixels(static_cast<std::size_t>(side) * static_cast<std::size_t>(side), 255);
    for (int y = 0; y < code.side * scale; ++y)
        for (int x = 0; x < code.side * scale; ++x)
            if (code.isDark(x / scale, y / scale))
                pixels[static_cast<std::size_t>(y + kQuietZone * scale) * static_cast<std::size_t>(side) +
                       static_cast<std::size_t>(x + kQuietZone * scale)] = 0;
    try {
        ZXing::DecodeHints hints;
        hints.setFormats(ZXing::BarcodeFormat::QRCode);
        const auto result =
            ZXing::ReadBarcode(ZXing::ImageView(pixels.data(), side, side, ZXing::ImageFormat::Lum), hints);
        if (!result.isValid())
            return fail(Code::NotFound, "a QR code");
        return result.text();
    } catch (const std::exception& e) {
        return fail(Code::Io, e.what());
    }
}

} // namespace discal::reading
