#include "reading/barcodes.h"

#define ZX_USE_UTF8 1
#include <ZXing/ReadBarcode.h>

#include <exception>

namespace discal::reading {

using services::Barcode;
using services::Frame;
using services::Symbology;

std::vector<Barcode> findBarcodes(const Frame& frame) {
    if (frame.isEmpty() ||
        frame.rgb.size() != 3 * static_cast<std::size_t>(frame.width) * static_cast<std::size_t>(frame.height))
        return {};
    try {
        ZXing::DecodeHints hints;
        hints.setFormats(ZXing::BarcodeFormat::QRCode | ZXing::BarcodeFormat::DataMatrix | ZXing::BarcodeFormat::Code128);
        const auto result = ZXing::ReadBarcode(
            ZXing::ImageView(frame.rgb.data(), frame.width, frame.height, ZXing::ImageFormat::RGB), hints);
        if (!result.isValid())
            return {};
        const auto symbology = result.format() == ZXing::BarcodeFormat::QRCode       ? Symbology::QrCode
                               : result.format() == ZXing::BarcodeFormat::DataMatrix ? Symbology::DataMatrix
                                                                                     : Symbology::Code128;
        return {{symbology, result.text()}};
    } catch (const std::exception&) {
        return {};
    }
}

} // namespace discal::reading
