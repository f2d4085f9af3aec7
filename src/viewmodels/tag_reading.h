#pragma once

#include "core/tag/code.h"
#include "services/ports/code_reader.h"
#include "services/tagging.h"

#include <QImage>
#include <QString>
#include <optional>
#include <string>

namespace discal::viewmodels {

/// What the camera read of a tag, with the picture that it was read from. A value.
struct TagReading {
    std::optional<tag::Code> code; ///< absent where the text has no form of a code
    QString text;                  ///< as read
    bool isListed{false};          ///< one of the codes that this phone knows
    std::int64_t perMille{0};      ///< how sure, 0 to 1000
    QImage picture;                ///< for the screen
    std::string kept;              ///< JPEG to be kept with the line; empty where none is wished

    /// As it goes into the line of a code that somebody kept.
    [[nodiscard]] services::CodeRead asRead() const { return {perMille, kept}; }
};

/// Any thread. `isKept`: whether the picture shall go into the journal.
enum class Keeping { Picture, Nothing };
[[nodiscard]] TagReading readingOf(const services::Reading& reading, Keeping keeping);

/// A frame as Qt has it; null for none.
[[nodiscard]] QImage imageOf(const services::Frame& frame);
/// At most `mostSide` pixels either way, for the screen.
[[nodiscard]] QImage shownOf(const services::Frame& frame, int mostSide);
/// As JPEG in at most 64 KiB: smaller and coarser until it fits. Empty for no picture.
[[nodiscard]] std::string keptPicture(const QImage& picture);

} // namespace discal::viewmodels
