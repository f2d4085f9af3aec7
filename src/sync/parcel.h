#pragma once

#include "core/result.h"
#include "storage/journal.h"

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

/// Parcels: a piece of one device's chain, with its signature, as bytes that travel by card, mail or cable.
/// *Never change: this is the format of `.discal-parcel` files* (design section 6; known answer in
/// tests/sync/parcel_format_test.cpp). One zstd frame (RFC 8878), and in it, each line ended by one LF:
///
///   {"device":"...","public_key":"...","from":1,"prev":"...","count":2,"jws":"..."}
///   the `count` lines with seq `from`, from + 1 ..., byte for byte as stored
///   {"blob":"...","base64":"..."}    none, one or more
///
/// `public_key` is base64url (32 bytes), `prev` is h(from - 1) in lower-case hex, `jws` the detached JWS over
/// the head after the last line. A blob's line names it by SHA-256 in lower-case hex and holds its bytes in
/// base64url. No base64url is padded (RFC 4648, 5). `{` ... `}` are JSON objects (RFC 8259) of at most 16,384
/// bytes, a blob's excepted; further members are ignored; those of a blob's line are plain strings (ASCII, no
/// escapes).
namespace discal::sync {

/// Bytes of a file. Our choice: some years of a busy station without pictures, and no phone runs short.
inline constexpr std::size_t kLargestParcel = std::size_t{64} << 20U;
/// Bytes that come out of its frame.
inline constexpr std::size_t kLargestUnpacked = std::size_t{64} << 20U;
/// Lines of the chain in one parcel; at least one. Our choice: thirty years of a busy device.
inline constexpr std::size_t kMostLines = 200'000;

/// The delivery as a parcel. It is checked as decodeParcel does, so that what we write can be read: its
/// errors, with OutOfRange also for a parcel that would be too large, and BrokenChain for a head that is not
/// that of the lines.
[[nodiscard]] Result<std::string> encodeParcel(const storage::Delivery& delivery);

/// Reads bytes that may be hostile. Success means that the lines are a genuine piece of that device's chain:
/// the public key makes the device's id, and that key signed the head that we computed over `prev` and the
/// lines. Whether the piece fits to what we hold is for Journal::receive to say. What the lines say is not
/// looked at: they may be no JSON, hold NUL or ill-formed UTF-8. Blobs have the right hash; that a line cites
/// them is not asked.
///
/// Memory stays within a few times kLargestUnpacked, whatever the bytes promise. Errors:
/// - BadInput: ("zstd") not a parcel at all; ("device", "public_key", "prev", "blob", "base64") ill spelt
/// - Corrupt: ("zstd") damaged or cut short; ("line feed") the last LF, or lines, are missing; ("blob HEX")
///   bytes that don't have this hash
/// - OutOfRange: ("parcel", "unpacked", "window", "from", "count", "blob") beyond a bound
/// - LineTooShort, LineTooLong: number is the seq, or 0 for the header
/// - NotUtf8, NotJson, DuplicateKey, NumberNotWhole, MissingMember, WrongType: the header or a blob's line
/// - WrongDevice: the public key, or the signature's kid, is another device's
/// - BrokenChain: `prev` of line 1 is not h(0)
/// - BadSignature: not by this key over these lines
/// - OutOfMemory
[[nodiscard]] Result<storage::Delivery> decodeParcel(std::string_view bytes);

/// The two without zstd: the text inside the frame. For tests, fuzzing and whoever sends it packed otherwise.
/// Errors as above; sizes are bounded alike.
[[nodiscard]] Result<std::string> encodeUnpacked(const storage::Delivery& delivery);
[[nodiscard]] Result<storage::Delivery> decodeUnpacked(std::string_view text);

/// Size (16 to 256 KiB + 16: OutOfRange "blob") and hash (Corrupt, "blob HEX") of a blob on its way.
[[nodiscard]] Result<void> checkBlob(const storage::Blob& blob);

} // namespace discal::sync
