#include "reading/reader.h"

#include "core/tag/judgement.h"
#include "reading/barcodes.h"
#include "reading/tag_reader.h"

#include <exception>

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
        if (decision.best.empty())
            return;
        const auto judged = tag::judge(decision);
        reading.frames = decision.frames;
        reading.confidence = judged.confidence;
        reading.code = tag::Decoder::codeOf(decision.best);
        reading.text = reading.code ? reading.code->text() : decision.best;
        if (judged.isCertain) {
            reading.verdict = decision.isListed ? Verdict::Accepted : Verdict::Unlisted;
        } else {
            reading.code.reset();
            if (judged.isClear)
                reading.why = Refusal::Unsure;
        }
    }

    Wanted m_wanted;
    std::optional<tag::Decoder> m_decoder;
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
