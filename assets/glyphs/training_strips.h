#pragma once

#include "reading/strip.h"

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

/// Strips to learn from: codes in many typefaces, spoilt as a camera, light and glue would spoil them.
namespace discal::training {

/// splitmix64 (Steele, Lea and Flood 2014, doi:10.1145/2714064.2660195): the same numbers everywhere.
class Dice {
public:
    explicit Dice(std::uint64_t seed) : m_state(seed) {}
    std::uint64_t next();
    double between(double low, double high);
    int whole(int low, int high); ///< both included
    bool chance(double share) { return between(0, 1) < share; }
    double normal();

private:
    std::uint64_t m_state;
};

struct Example {
    reading::Strip strip;
    std::string text;        ///< glyphs from left to right, without blanks
    std::vector<int> labels; ///< of each column: the glyph at its middle, "between" where none is near, -1 not said
};

/// Draws with FreeType and Cairo; each thread needs one of its own.
class StripMaker {
public:
    /// `fonts`: files. Ends the program with a message when one can't be opened.
    explicit StripMaker(const std::vector<std::string>& fonts);
    StripMaker(StripMaker&&) noexcept;
    ~StripMaker();
    [[nodiscard]] Example make(std::uint64_t seed);

private:
    struct Faces;
    std::unique_ptr<Faces> m_faces;
};

} // namespace discal::training
