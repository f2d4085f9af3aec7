#pragma once

#include "core/result.h"
#include "services/ports/frame_source.h"

#include <cstdint>
#include <filesystem>
#include <span>
#include <string>

namespace discal::reading {

/// A file of more bytes is not read.
inline constexpr std::size_t kMostPictureBytes = std::size_t{64} << 20U;
/// A picture of more pixels is not unpacked: what the head of the file says is checked before. Our choice: what phones
/// take as a rule, at three bytes each 120 MB.
inline constexpr std::size_t kMostPixels = 40'000'000;

/// The picture in a file: PNG, JPEG, or PNM of 8 bits (P5, P6). Other forms (WebP, TIFF, GIF, HEIC) are refused. 16 bits
/// become 8, palettes and greys become colours, transparent pixels lie on white, the first frame counts of an animation,
/// and a JPEG is turned upright as its EXIF orientation says (CIPA DC-008, tag 274). At its full size.
/// NotFound when there is no file of that name; Io when it can't be read; OutOfRange with "bytes" or "pixels" and their
/// number when there are more than above; BadInput with "a picture (PNG, JPEG, PNM)" when it is none of them; Corrupt
/// with the reason when it is damaged or cut short; OutOfMemory. Prints nothing. From any thread; takes four bytes a
/// pixel, a progressive JPEG nine.
[[nodiscard]] Result<services::Frame> loadPicture(const std::filesystem::path& file);
/// As above, from the file's bytes.
[[nodiscard]] Result<services::Frame> pictureFrom(std::span<const std::uint8_t> bytes);

/// The frame as a JPEG of at most `mostBytes`: first of lower quality (90 down to 30), then of half the size, until it
/// fits. BadInput for a frame that is empty or whose pixels don't make up its size; OutOfRange "bytes" when nothing of it
/// fits; OutOfMemory.
[[nodiscard]] Result<std::string> encodePicture(const services::Frame& frame, std::size_t mostBytes);

} // namespace discal::reading
