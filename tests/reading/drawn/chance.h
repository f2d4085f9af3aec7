#pragma once

#include <cstdint>

namespace discal::drawn {

/// Numbers by chance, the same on every machine for the same seed. splitmix64 (Steele, Lea, Flood 2014,
/// doi:10.1145/2660193.2660195); no std:: distribution, as each library computes those in its own way.
class Chance {
public:
    explicit Chance(std::uint64_t seed) noexcept : m_state(seed) {}

    [[nodiscard]] std::uint64_t bits() noexcept {
        m_state += 0x9e3779b97f4a7c15U;
        std::uint64_t z = m_state;
        z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9U;
        z = (z ^ (z >> 27)) * 0x94d049bb133111ebU;
        return z ^ (z >> 31);
    }
    /// 0 to 1, without 1.
    [[nodiscard]] double unit() noexcept { return static_cast<double>(bits() >> 11) * 0x1p-53; }
    [[nodiscard]] double between(double low, double high) noexcept { return low + (high - low) * unit(); }
    /// 0 to count - 1; count at least 1.
    [[nodiscard]] int below(int count) noexcept { return static_cast<int>(bits() % static_cast<std::uint64_t>(count)); }
    [[nodiscard]] bool happens(double share) noexcept { return unit() < share; }
    /// About normal, mean 0, deviation 1, never beyond 6: the sum of twelve units, which needs no library.
    [[nodiscard]] double normal() noexcept {
        double sum = -6;
        for (int i = 0; i < 12; ++i)
            sum += unit();
        return sum;
    }
    /// A source of its own for one purpose, so that more draws there don't change what is drawn here.
    [[nodiscard]] static Chance of(std::uint64_t seed, std::uint64_t purpose) noexcept {
        Chance mixed(seed ^ (purpose * 0xd1342543de82ef95U + 0x632be59bd9b4e019U));
        return Chance(mixed.bits());
    }

private:
    std::uint64_t m_state;
};

} // namespace discal::drawn
