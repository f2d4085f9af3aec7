#pragma once

#include "core/journal/id.h"

#include <string_view>

/// The hash chain that makes a device's lines one unbroken journal. *Never change: this is the format on disk and
/// on the wire* (design section 5; known answers in tests/core/journal/chain.cpp).
namespace discal::journal {

/// h(0) = SHA-256("discal journal 1\n" + the 32 bytes of the public key).
[[nodiscard]] Hash chainStart(const PublicKey& key);

/// h(n) = SHA-256(h(n-1) + line n). `line` are the stored bytes, without the line feed of the wire.
[[nodiscard]] Hash chainNext(const Hash& previous, std::string_view line);

} // namespace discal::journal
