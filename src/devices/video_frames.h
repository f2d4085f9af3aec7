#pragma once

#include "services/ports/frame_source.h"

#include <QSize>
#include <QVideoFrame>
#include <cstddef>
#include <filesystem>
#include <optional>
#include <vector>

namespace discal::devices {

/// The middle of a camera's frame: a square of its short side, at most `mostSide` pixels, turned as it is to be seen. Only
/// that is converted, so that a stream of 4K costs no more memory than the square. Empty when the frame can't be read.
/// Any thread.
[[nodiscard]] services::Frame middleOf(QVideoFrame frame, int mostSide);

/// A picture from a file, in any format that Qt reads here, as if a camera had seen it. BadInput, with the path, for what
/// is none or has more than 64 million pixels. Any thread.
[[nodiscard]] Result<services::Frame> loadFrame(const std::filesystem::path& file);

/// What a camera can stream.
struct Stream {
    QSize size;
    float mostPerSecond{0};
    bool isPacked{false};  ///< as JPEG, which takes the processor to unpack
};
/// The one to read small print from: the largest up to 4096 pixels wide that gives ten frames a second; of equal ones the
/// quickest up to 30, and one that isn't packed. Where none is so quick, the quickest. Nothing for none.
[[nodiscard]] std::optional<std::size_t> bestOf(const std::vector<Stream>& streams);

} // namespace discal::devices
