#pragma once

#include "core/journal/id.h"

#include <optional>
#include <string>

/// Signed heads: anybody can check anybody's chain without trusting who delivered it.
/// Sources: RFC 8032 (Ed25519), RFC 7515 appendix F (detached JWS), RFC 8037 (EdDSA in JOSE).
namespace discal::journal {

/// Ed25519 key pair, held by one device and never copied. `seed` is the 32 secret bytes of RFC 8032.
struct KeyPair {
    std::array<std::uint8_t, 32> seed{};
    PublicKey publicKey{};

    [[nodiscard]] static KeyPair fromSeed(const std::array<std::uint8_t, 32>& seed);
    [[nodiscard]] DeviceId device() const { return DeviceId::of(publicKey); }
};

using Signature = std::array<std::uint8_t, 64>;

[[nodiscard]] Signature sign(const KeyPair& key, std::string_view message);
/// Strict: refuses non-canonical S, small-order points and any length other than 64.
[[nodiscard]] bool verify(const PublicKey& key, std::string_view message, std::string_view signature);

/// A compact JWS (RFC 7515, 7.1) with the header {"alg":"EdDSA"} and no kid, as in RFC 8037 A.4.
[[nodiscard]] std::string signCompact(const KeyPair& key, std::string_view payload);

/// Where a chain stands: its last seq and hash. Seq 0 with h(0) is an empty chain.
struct Head {
    std::int64_t seq{0};
    Hash hash{};
    bool operator==(const Head&) const = default;
};

/// "discal head 1\n" + device + " " + seq + " " + hash in hex + "\n". *Never change.*
[[nodiscard]] std::string headMessage(const DeviceId& device, const Head& head);

/// Detached JWS over headMessage: base64url(header) + ".." + base64url(signature); the header is
/// {"alg":"EdDSA","kid":DEVICE}.
[[nodiscard]] std::string signHead(const KeyPair& key, const Head& head);

/// Checks that `jws` is a detached JWS by `key` over this head, its alg EdDSA, its kid the device that the key makes,
/// and that it asks for nothing further ("crit"). BadSignature otherwise; WrongDevice when only the kid is off.
[[nodiscard]] Result<void> verifyHead(const PublicKey& key, const Head& head, std::string_view jws);

} // namespace discal::journal
