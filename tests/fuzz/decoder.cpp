#include "core/tag/decoder.h"
#include "core/tag/judgement.h"

#include <cmath>
#include <cstdlib>
#include <cstring>

// Any columns, any second reader's glyphs, any list: what a reader of pictures hands on. The first byte says how many codes of a
// small list there are; the others are columns (a glyph, a share), then the second reader's glyphs.

using namespace discal::tag;

namespace {

void require(bool holds) {
    if (!holds)
        std::abort();
}

GlyphColumns columnsOf(const std::uint8_t* data, std::size_t size) {
    GlyphColumns columns;
    for (std::size_t i = 0; i + 1 < size && columns.size() < 48; i += 2) {
        GlyphColumn column;
        column.fill(std::log((1 - static_cast<float>(data[i + 1]) / 256) / 36 + 1e-6F));
        column[data[i] % 37U] = std::log(static_cast<float>(data[i + 1]) / 256 + 1e-6F);
        if (data[i] > 250) // not even numbers
            std::memcpy(column.data(), data, std::min(size, sizeof column));
        columns.push_back(column);
    }
    return columns;
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size < 2)
        return 0;
    std::vector<Code> codes;
    const auto scheme = Scheme::learn(data[1] % 2 == 0 ? "RKD 001" : "0123");
    for (std::uint64_t i = 0; i < data[0] % 16U; ++i)
        codes.push_back(scheme->at((i * data[1]) % scheme->capacity()));
    Decoder decoder(codes, data[0] > 127 ? std::vector<Scheme>{*Scheme::learn("A1234")} : std::vector<Scheme>{});
    const std::size_t half = 2 + (size - 2) / 2;
    for (const bool isSecond : {false, true}) {
        Evidence evidence;
        evidence.columns = isSecond ? columnsOf(data + half, size - half) : columnsOf(data + 2, half - 2);
        evidence.hasRoom = isSecond;
        for (std::size_t i = 2; i + 1 < size && evidence.glyphs.size() < 24; i += 2)
            evidence.glyphs.push_back({{{static_cast<char>(data[i]), static_cast<float>(data[i + 1]) / 255}}});
        evidence.hasGlyphs = size % 2 == 0;
        decoder.take(std::move(evidence));
        const auto decision = decoder.decide();
        const auto judged = judge(decision);
        require(judged.confidence >= 0 && judged.confidence <= 1);
        if (decision.best.empty()) {
            require(!judged.isCertain);
            continue;
        }
        const auto code = Decoder::codeOf(decision.best);
        require(code.has_value() && code->compact() == decision.best);
        bool isListed = false;
        for (const auto& one : codes)
            isListed = isListed || one == *code;
        require(isListed == decision.isListed);
        require(decision.frames <= 2);
    }
    return 0;
}
