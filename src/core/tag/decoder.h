#pragma once

#include "core/tag/code.h"
#include "core/tag/glyph_columns.h"
#include "core/tag/scheme.h"

#include <cstdint>
#include <optional>
#include <set>
#include <string>
#include <unordered_map>
#include <vector>

namespace discal::tag {

/// A glyph as a reader of text sees it: what it may be, with how probable that is, 0 to 1, best first. Adding up to 1 or less.
struct SeenGlyph {
    std::vector<std::pair<char, float>> choices;
};

/// What one frame shows of one tag's print: two readings of the same ink, by readers that know nothing of each other.
struct Evidence {
    GlyphColumns columns;
    std::vector<SeenGlyph> glyphs; ///< of the second reader; it may have been left out
    bool hasGlyphs{false};
    /// The same print the other way up, where it might be a code too; else empty.
    GlyphColumns upsideDown{};
    /// Of each column, how much of a glyph's ink there may be lost, 0 to 1; empty: none.
    std::vector<float> lost{};
    /// There is room for a glyph that nobody saw: a gap, or a line that isn't in the middle.
    bool hasRoom{false};
};

/// What a tag's print most probably says, weighed against the codes that can be met.
struct Decision {
    std::string best;         ///< compact ("RKD014"); empty when nothing was spelt
    bool isListed{false};     ///< is `best` one of the codes given
    double score{0};          ///< of `best`: logarithm of how probable the ink is, a glyph; 0 is certain
    double ahead{0};          ///< by how much `best` is more probable than the next (logarithm)
    double aheadOfListed{0};  ///< the same against the best other code of the list
    double weakest{0};        ///< of the glyphs of `best`, the least probable one's share against any other glyph there
    bool isAgreed{false};     ///< the second reader spells the same, in most frames where it was asked
    /// How much may be lost, at most, of those glyphs of `best` that with more ink would make another code of the list (1 may be 4),
    /// in the frame that shows each best, 0 to 1; of an unlisted one, of all its glyphs.
    double lost{0};
    int frames{0};            ///< how many frames spell `best`, or nearly so
    /// A glyph may have gone lost: there is room for one in most frames, and a longer code can be met.
    bool mayBeLonger{false};
};

/// Weighs frames of one tag against a list, as a noisy channel: each code, listed or not, might have made this ink with some
/// probability. A code that isn't listed stays a hypothesis like any other, so that somebody else's tag is not taken for the one
/// of ours that comes nearest. Computes only; keeps the last kMostFrames frames.
class Decoder {
public:
    static constexpr std::size_t kMostFrames = 12;

    /// Codes of any order; schemes besides those of the codes. Neither: codes of any shape can be met.
    Decoder(const std::vector<Code>& codes, const std::vector<Scheme>& schemes);

    void take(Evidence evidence);
    void forget();
    /// Over all frames taken; nothing was spelt when none was.
    [[nodiscard]] Decision decide() const;

    /// The code whose compact form this is; none where no code has it.
    [[nodiscard]] static std::optional<Code> codeOf(const std::string& compact);
    /// How probable it is that one frame's strip spells something of a shape that can be met: the best spelling and its score a
    /// glyph. To choose between ways of cutting a strip.
    struct Spelling {
        std::string text;
        double score{0}; ///< logarithm, of the whole text
        bool isListed{false};
    };
    [[nodiscard]] std::vector<Spelling> spellings(const GlyphColumns& columns, std::size_t most) const;

private:
    struct Shape {
        std::size_t letters;
        std::size_t digits;
        friend auto operator<=>(const Shape&, const Shape&) = default;
    };
    [[nodiscard]] std::vector<Spelling> spelt(const GlyphColumns& columns, std::size_t most) const;
    [[nodiscard]] double aheadOfUpsideDown(const std::string& text, double best) const;
    [[nodiscard]] double rarityOf(const std::string& listed) const;
    [[nodiscard]] bool canGrow(const std::string& text) const;
    [[nodiscard]] bool isWhole(const std::string& text) const;
    [[nodiscard]] bool admits(const std::string& text) const;

    std::set<Shape> m_shapes; ///< empty: any
    std::vector<Scheme> m_schemes;
    std::unordered_map<std::string, std::uint8_t> m_listed;
    std::unordered_map<std::string, std::vector<std::string>> m_near; ///< a code with one glyph left out: the codes
    std::vector<Evidence> m_frames;
};

/// Natural logarithm of how probable it is that the columns spell this text, over all ways of stretching it (Graves and others
/// 2006, doi:10.1145/1143844.1143891). Minus infinity where it has more glyphs than there are columns, or one that no code has.
[[nodiscard]] double spellingProbability(const GlyphColumns& columns, const std::string& text);

} // namespace discal::tag
