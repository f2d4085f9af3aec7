#pragma once

#include "services/ports/randomness.h"

#include <sodium.h>

namespace discal::services {

/// The system's generator, by libsodium: fit for keys.
class SystemRandomness final : public Randomness {
public:
    void fill(std::span<std::uint8_t> bytes) override { randombytes_buf(bytes.data(), bytes.size()); }
};

} // namespace discal::services
