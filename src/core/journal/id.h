#pragma once

#include "core/result.h"
#include "core/time/instant.h"

#include <array>
#include <compare>
#include <cstdint>
#include <string>
#include <string_view>

namespace discal::journal {

/// SHA-256.
using Hash = std::array<std::uint8_t, 32>;
/// Ed25519 public key, 32 bytes (RFC 8032).
using PublicKey = std::array<std::uint8_t, 32>;

/// An identifier of 128 bits, RFC 9562. Every subject of the journal (butterfly, sheet, session, person ...) and
/// every line has one. Those we make are version 7; any version is accepted from others.
struct Uuid {
    std::array<std::uint8_t, 16> bytes{};

    /// Lower case, 8-4-4-4-12.
    [[nodiscard]] std::string text() const;
    /// Accepts either case. BadInput otherwise.
    [[nodiscard]] static Result<Uuid> parse(std::string_view s);
    /// Version 7 (RFC 9562, 5.7): 48 bits of milliseconds, then `random` with version and variant put in.
    /// Times before 1970 count as 1970, so that a clock that is wrong still gives a legal id.
    [[nodiscard]] static Uuid v7(time::Instant at, const std::array<std::uint8_t, 10>& random);

    /// When it was made, where it is of version 7: to the millisecond, by the clock of whoever made it.
    [[nodiscard]] time::Instant madeAt() const;

    auto operator<=>(const Uuid&) const = default;
};

/// A device: lower-case base32 of the first 16 bytes of SHA-256(public key). Never changes.
class DeviceId {
public:
    DeviceId() = default;
    [[nodiscard]] static DeviceId of(const PublicKey& key);
    /// 26 characters of the base32 alphabet; BadInput otherwise.
    [[nodiscard]] static Result<DeviceId> parse(std::string_view s);

    [[nodiscard]] const std::string& text() const { return m_text; }
    [[nodiscard]] bool isEmpty() const { return m_text.empty(); }
    auto operator<=>(const DeviceId&) const = default;

private:
    std::string m_text;
};

[[nodiscard]] Hash sha256(std::string_view bytes);
[[nodiscard]] std::string hexOf(const Hash& hash);
[[nodiscard]] Result<Hash> hashFromHex(std::string_view s);

} // namespace discal::journal
