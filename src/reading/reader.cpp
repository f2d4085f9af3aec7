#include "reading/reader.h"

#include "core/tag/judgement.h"
#include "reading/barcodes.h"
#include "reading/tag_reader.h"

#include <algorithm>
#include <compare>
#include <exception>
#include <set>

namespace discal::reading {

using services::Frame;
using services::Reading;
using services::Refusal;
using services::Verdict;
using services::Wanted;

namespace {

class Reader final : public services::CodeReader {
public:
    explicit Reader(SecondReader second) : m_second(std::move(second)), m_tags(GlyphNetwork::own(), &m_second) {
        expect({});
    }

    void expect(Wanted wanted) override {
        m_decoder.emplace(wanted.codes, wanted.schemes);
        m_anyShape.forget();
        m_shapes.clear();
        for (const auto& code : wanted.codes)
            m_shapes.insert({code.letters().size(), code.digits().size()});
        for (const auto& scheme : wanted.schemes)
            m_shapes.insert({scheme.letterCount(), scheme.digitCount()});
        m_wanted = std::move(wanted);
    }

    Reading look(const Frame& frame) override {
        Reading reading;
        if (frame.isEmpty() || frame.width <= 0 || frame.height <= 0 ||
            frame.rgb.size() != 3 * static_cast<std::size_t>(frame.width) * static_cast<std::size_t>(frame.height))
            return reading;
        if (m_wanted.hasBarcodes)
            reading.barcodes = findBarcodes(frame);
        if (m_wanted.hasTags) {
            try {
                readTag(frame, reading);
            } catch (const std::exception&) {
                // Out of memory, or a library gave up: no tag seen.
                auto barcodes = std::move(reading.barcodes);
                reading = {};
                reading.barcodes = std::move(barcodes);
            }
        }
        return reading;
    }

private:
    void readTag(const Frame& frame, Reading& reading) {
        auto sight = m_tags.look(frame, *m_decoder);
        reading.why = sight.hindrance;
        reading.upright = std::move(sight.upright);
        if (sight.evidence)
            m_decoder->take(std::move(*sight.evidence));
        const auto decision = m_decoder->decide();
        const auto judged = tag::judge(decision);
        if (!decision.best.empty())
            tell(decision, judged, reading);
        if (reading.verdict == Verdict::Refused && sight.hasOtherPrint && hasShapes())
            readForeign(frame, reading);
    }

    static void tell(const tag::Decision& decision, const tag::Judgement& judged, Reading& reading) {
        reading.frames = decision.frames;
        reading.confidence = judged.confidence;
        reading.code = tag::Decoder::codeOf(decision.best);
        reading.text = reading.code ? reading.code->text() : decision.best;
        if (judged.isCertain) {
            reading.verdict = decision.isListed ? Verdict::Accepted : Verdict::Unlisted;
        } else {
            reading.code.reset();
            const bool isGlare = judged.isLost && reading.why == Refusal::Glare; // ink may be lost without it
            if (judged.isClear && !isGlare)
                reading.why = Refusal::Unsure;
        }
    }

    [[nodiscard]] bool hasShapes() const { return !m_wanted.codes.empty() || !m_wanted.schemes.empty(); }

    /// Somebody else's tag may be built as none of ours is. What is part of a code of ours is that code, badly seen.
    void readForeign(const Frame& frame, Reading& reading) {
        auto sight = m_tags.look(frame, m_anyShape);
        if (sight.evidence)
            m_anyShape.take(std::move(*sight.evidence));
        const auto decision = m_anyShape.decide();
        const auto judged = tag::judge(decision);
        const auto code = tag::Decoder::codeOf(decision.best);
        if (!judged.isCertain || !code)
            return;
        const auto isAsOurs = [&](const auto& ours) { return ours.letters == code->letters().size() && ours.digits == code->digits().size(); };
        const bool isOurs =
            std::any_of(m_shapes.begin(), m_shapes.end(), isAsOurs) ||
            std::any_of(m_wanted.codes.begin(), m_wanted.codes.end(),
                        [&](const tag::Code& ours) { return ours.compact().find(decision.best) != std::string::npos; });
        if (!isOurs) {
            tell(decision, judged, reading);
            reading.upright = std::move(sight.upright);
        }
    }

    struct Shape {
        std::size_t letters;
        std::size_t digits;
        friend auto operator<=>(const Shape&, const Shape&) = default;
    };

    Wanted m_wanted;
    std::set<Shape> m_shapes; ///< of the codes and schemes wanted
    std::optional<tag::Decoder> m_decoder;
    tag::Decoder m_anyShape{{}, {}};
    SecondReader m_second;
    TagReader m_tags;
};

} // namespace

Result<std::unique_ptr<services::CodeReader>> makeReader(const std::filesystem::path& languageFolder) {
    auto second = SecondReader::open(languageFolder);
    if (!second)
        return fail(second.error());
    return std::make_unique<Reader>(std::move(*second));
}

} // namespace discal::reading
