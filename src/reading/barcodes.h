#pragma once

#include "services/ports/code_reader.h"

#include <vector>

namespace discal::reading {

/// How long to look.
enum class Effort : std::uint8_t {
    Frame,   ///< a few milliseconds: a camera brings another frame soon
    Picture, ///< up to some seconds: several sizes, turned, smoothed, sharpened, inverted; there is only this one
};

/// QR codes, Data Matrix and Code 128 in the frame, upright or turned; no text twice. Several QR codes and Data Matrices,
/// one Code 128. Texts as UTF-8; where a symbol doesn't say what its bytes mean, the library guesses. Code 128 has only
/// one check character (ISO/IEC 15417), so it must be seen alike on many scan rows, or in two views, and holds at least 3
/// characters, as every tag code does. Empty when there is none, and for a frame whose pixels don't make up its size.
/// From any thread.
[[nodiscard]] std::vector<services::Barcode> findBarcodes(const services::Frame& frame, Effort effort = Effort::Frame);

} // namespace discal::reading
