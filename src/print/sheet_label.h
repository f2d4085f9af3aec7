#pragma once

#include "core/tag/label.h"

#include <filesystem>
#include <string>

class QImage;

/// What is printed, as PDF or picture. Needs a QGuiApplication (offscreen.h); one thread at a time.
namespace discal::print {

/// A label for a sheet of tags: a QR code with tag::labelText at level M, the first and last code, how many, which letters
/// never occur, and whose they are.
struct SheetLabelPrint {
    tag::SheetLabel label; ///< with a known count
    std::string station;   ///< its name, UTF-8; may be empty
};

/// The label is 62 x 29 mm in any case: alone, as label printers have it, or at the top left of a page, with lines to cut.
enum class Paper { Label, A4, Letter };

/// Dots in an inch of a picture: what label printers have.
inline constexpr int kDotsPerInch = 300;

/// As a picture, which says how many dots a metre has. A module of the code is at least 0.5 mm, with a quiet zone of 4
/// modules (ISO/IEC 18004). OutOfRange "count" when the label doesn't say how many.
[[nodiscard]] Result<QImage> labelImage(const SheetLabelPrint& label, Paper paper = Paper::Label,
                                        int dotsPerInch = kDotsPerInch);
/// As a PDF of one page with its fonts in it, or as a PNG. Before it is written, a picture of it is read back: Corrupt
/// when our own reader doesn't find the same label in it. Exists when there is a file of that name; Io.
[[nodiscard]] Result<void> writeLabelPdf(const SheetLabelPrint& label, const std::filesystem::path& file,
                                         Paper paper = Paper::Label);
[[nodiscard]] Result<void> writeLabelPng(const SheetLabelPrint& label, const std::filesystem::path& file,
                                         Paper paper = Paper::Label);

} // namespace discal::print
