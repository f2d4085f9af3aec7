#include "reading/sheet_label.h"

namespace discal::reading {

Result<tag::SheetLabel> sheetLabelIn(const services::Frame& frame, Effort effort) {
    Result<tag::SheetLabel> found = fail(Code::NotFound, "a barcode with a sheet's label");
    bool isFirst = true;
    for (const services::Barcode& barcode : findBarcodes(frame, effort)) {
        auto label = tag::readLabel(barcode.text);
        if (found && label && *found != *label)
            return fail(Code::NotAllowed, "there must be one label in the picture, not two that differ");
        if (isFirst || (label && !found))
            found = std::move(label);
        isFirst = false;
    }
    return found;
}

} // namespace discal::reading
