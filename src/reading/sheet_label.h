#pragma once

#include "core/tag/label.h"
#include "reading/barcodes.h"

namespace discal::reading {

/// The sheet's label in a picture, from whichever barcode says one (core/tag/label.h). NotFound when there is no barcode;
/// NotAllowed when two say different things; else the error of tag::readLabel for the first. From any thread.
[[nodiscard]] Result<tag::SheetLabel> sheetLabelIn(const services::Frame& frame, Effort effort = Effort::Picture);

} // namespace discal::reading
