#pragma once

#include "services/ports/randomness.h"

#include <array>
#include <cstdint>
#include <string_view>

namespace discal::services::sample {

/// Random bytes that follow from a seed: the same on every machine, so that a replay gives the same ids and
/// keys. SHA-256 in counter mode: block n is SHA-256(key + n as 8 bytes, big end first), the key
/// SHA-256("discal sample 1\n" + `purpose` + "\n" + the seed in decimal). Anybody who knows the seed knows
/// the keys: for samples only.
class SeededRandomness final : public Randomness {
public:
    /// `purpose` keeps streams of one seed apart: a phone's lines, its device key.
    SeededRandomness(std::uint64_t seed, std::string_view purpose);

    void fill(std::span<std::uint8_t> bytes) override;

    /// 0 to below - 1, each as likely; `below` must not be 0.
    [[nodiscard]] std::uint64_t below(std::uint64_t below);
    /// True in `perMille` of 1000 cases.
    [[nodiscard]] bool chance(std::uint64_t perMille) { return below(1000) < perMille; }
    /// About a normal distribution with mean 0 and deviation `deviation`: the sum of twelve even ones, so
    /// without any library's own logarithm, which need not agree between machines.
    [[nodiscard]] std::int64_t about0(std::int64_t deviation);

private:
    void nextBlock();

    std::array<std::uint8_t, 32> m_key{};
    std::array<std::uint8_t, 32> m_block{};
    std::uint64_t m_counter{0};
    std::size_t m_used{32};
};

} // namespace discal::services::sample
