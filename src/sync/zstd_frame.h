#pragma once

#include "core/result.h"

#include <cstddef>
#include <string>
#include <string_view>

/// Bytes as one zstd frame. Source: RFC 8878. Everything that knows zstd is in here.
namespace discal::sync {

/// The furthest that a frame may look back, as a power of two: 8 MiB, which RFC 8878 (3.1.1.1.2) asks every
/// reader to support and every writer not to exceed. It bounds memory before a byte is out.
inline constexpr int kLargestWindowLog = 23;

/// One frame with a checksum, its window within kLargestWindowLog. OutOfMemory.
///
/// Another version of zstd may write other bytes for the same text; any version reads them.
[[nodiscard]] Result<std::string> packFrame(std::string_view text);

/// What the frame holds, for bytes that may be hostile. Exactly one frame: nothing before, between or after.
/// Never holds more than `limit` bytes of what comes out, however much the frame promises; `limit` itself is
/// allowed. BadInput (detail "zstd"): it does not begin like a frame. Corrupt (detail "zstd"): damaged, cut
/// short or followed by something. OutOfRange (detail "unpacked" or "window"): too large. OutOfMemory.
[[nodiscard]] Result<std::string> unpackFrame(std::string_view frame, std::size_t limit);

} // namespace discal::sync
