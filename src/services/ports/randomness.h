#pragma once

#include <array>
#include <cstdint>
#include <span>

namespace discal::services {

/// Random bytes for ids, keys and the salt of blobs. Fit for keys, except in a replay.
class Randomness {
public:
    virtual ~Randomness() = default;
    virtual void fill(std::span<std::uint8_t> bytes) = 0;

    template <std::size_t N>
    [[nodiscard]] std::array<std::uint8_t, N> bytes() {
        std::array<std::uint8_t, N> out{};
        fill(out);
        return out;
    }
};

} // namespace discal::services
