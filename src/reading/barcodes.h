#pragma once

#include "services/ports/code_reader.h"

#include <vector>

namespace discal::reading {

/// QR codes, Data Matrix and Code 128 in the frame, upright or turned; no text twice. Empty when there is none, and for a
/// frame whose pixels don't make up its size. From any thread.
[[nodiscard]] std::vector<services::Barcode> findBarcodes(const services::Frame& frame);

} // namespace discal::reading
