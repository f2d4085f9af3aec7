#include "services/sample/seeded_randomness.h"

#include <limits>
#include <sodium.h>
#include <string>

namespace discal::services::sample {

SeededRandomness::SeededRandomness(std::uint64_t seed, std::string_view purpose) {
    const std::string text = "discal sample 1\n" + std::string(purpose) + "\n" + std::to_string(seed);
    crypto_hash_sha256(m_key.data(), reinterpret_cast<const unsigned char*>(text.data()), text.size());
}

void SeededRandomness::nextBlock() {
    std::array<std::uint8_t, 40> input{};
    std::copy(m_key.begin(), m_key.end(), input.begin());
    for (std::size_t i = 0; i < 8; ++i)
        input[32 + i] = static_cast<std::uint8_t>(m_counter >> (56 - 8 * i));
    crypto_hash_sha256(m_block.data(), input.data(), input.size());
    ++m_counter;
    m_used = 0;
}

void SeededRandomness::fill(std::span<std::uint8_t> bytes) {
    for (auto& byte : bytes) {
        if (m_used == m_block.size())
            nextBlock();
        byte = m_block[m_used++];
    }
}

std::uint64_t SeededRandomness::below(std::uint64_t below) {
    // Draws again in the last, incomplete round, or small numbers would be favoured.
    const std::uint64_t limit = std::numeric_limits<std::uint64_t>::max() / below * below;
    for (;;) {
        std::uint64_t number = 0;
        for (const std::uint8_t byte : bytes<8>())
            number = number << 8U | byte;
        if (number < limit)
            return number % below;
    }
}

std::int64_t SeededRandomness::about0(std::int64_t deviation) {
    // Twelve even numbers from 0 to 1 have variance 1 together.
    std::int64_t sum = 0;
    for (int i = 0; i < 12; ++i)
        sum += static_cast<std::int64_t>(below(10'001)) - 5'000;
    return deviation * sum / 10'000;
}

} // namespace discal::services::sample
