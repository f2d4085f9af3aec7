#pragma once

#include "core/result.h"

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

/// Bytes as text. Sources: RFC 4648 sections 5 (base64url), 6 (base32), 8 (base16); RFC 9285 (base45).
namespace discal::text {

using Bytes = std::vector<std::uint8_t>;
using ByteSpan = std::span<const std::uint8_t>;

[[nodiscard]] inline ByteSpan bytesOf(std::string_view s) {
    return {reinterpret_cast<const std::uint8_t*>(s.data()), s.size()};
}

/// Lower case, two digits a byte.
[[nodiscard]] std::string hex(ByteSpan bytes);
/// Accepts either case. BadInput on odd length or another character.
[[nodiscard]] Result<Bytes> fromHex(std::string_view s);

/// Lower case, no padding.
[[nodiscard]] std::string base32(ByteSpan bytes);

/// URL-safe alphabet, no padding (as RFC 7515 asks).
[[nodiscard]] std::string base64url(ByteSpan bytes);
/// Refuses padding, other alphabets and non-zero spare bits: one value has one spelling.
[[nodiscard]] Result<Bytes> fromBase64url(std::string_view s);

/// The alphabet of a QR code's alphanumeric mode: two bytes are three characters, a last one two.
[[nodiscard]] std::string base45(ByteSpan bytes);
/// BadInput for another character, a length that no bytes give, or a group beyond its bytes.
[[nodiscard]] Result<Bytes> fromBase45(std::string_view s);

} // namespace discal::text
