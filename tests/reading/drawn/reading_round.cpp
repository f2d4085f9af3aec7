#include "reading/drawn/reading_round.h"

#include "reading/drawn/code_list.h"

#include <algorithm>
#include <cmath>
#include <ctime>

namespace discal::drawn {

using services::Reading;
using services::Refusal;
using services::Verdict;

namespace {

constexpr std::array kReasons{Refusal::NoTag, Refusal::TooFar, Refusal::Blurred, Refusal::Glare, Refusal::Covered};
constexpr int kTagsAList = 20; ///< one phone's list serves for so many tags

double processorMilliseconds() { return 1000.0 * static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

std::vector<tag::Code> codesOf(const std::vector<std::string>& texts) {
    std::vector<tag::Code> codes;
    for (const auto& text : texts)
        codes.push_back(*tag::Code::fromText(text));
    return codes;
}

} // namespace

Tally play(const Round& round, services::CodeReader& reader, const std::function<void()>& each) {
    Tally tally;
    std::vector<std::string> list;
    for (int i = 0; i < round.tags; ++i) {
        const std::uint64_t seed = round.seed + static_cast<std::uint64_t>(i);
        Chance chance(seed * 31 + 7);
        if (i % kTagsAList == 0)
            list = phonesCodes(seed);
        Options options;
        options.tier = round.tier;
        options.typefaces = round.typefaces;
        auto possible = list;
        switch (round.list) {
        case List::Listed:
        case List::Hindered:
            options.code = list[static_cast<std::size_t>(chance.below(static_cast<int>(list.size())))];
            break;
        case List::Unlisted:
            options.code = unlistedCode(list, chance);
            break;
        case List::Neighbours:
            options.code = anyCode(chance);
            possible = neighboursOf(options.code);
            break;
        }
        if (round.list == List::Hindered)
            options.refusal = kReasons[static_cast<std::size_t>(i) % kReasons.size()];
        services::Wanted wanted;
        wanted.codes = codesOf(possible);
        wanted.hasBarcodes = false;
        reader.expect(std::move(wanted));
        Reading reading;
        for (int k = 0; k < round.frames; ++k) {
            options.burst = k;
            const auto drawn = drawFrame(seed, options);
            const double began = processorMilliseconds();
            reading = reader.look(drawn.frame);
            tally.milliseconds.push_back(processorMilliseconds() - began);
        }
        ++tally.tags;
        const bool isRight = reading.text == options.code && round.list != List::Hindered;
        switch (reading.verdict) {
        case Verdict::Accepted:
            if (isRight || (round.list == List::Hindered && reading.text == options.code && *options.refusal != Refusal::NoTag)) {
                ++tally.accepted;
            } else {
                ++tally.misread;
                tally.misreads.push_back(std::to_string(seed) + ' ' + options.code + ' ' + reading.text);
            }
            break;
        case Verdict::Unlisted:
            ++(isRight ? tally.unlisted : tally.unlistedWrong);
            break;
        case Verdict::Refused:
            ++tally.refused;
            tally.rightReason += options.refusal && reading.why == *options.refusal ? 1 : 0;
            break;
        }
        if (each)
            each();
    }
    std::sort(tally.milliseconds.begin(), tally.milliseconds.end());
    return tally;
}

double upperBound(int seen, int tried) {
    // The share at which so few, or fewer, would be seen once in twenty times.
    double low = static_cast<double>(seen) / tried;
    double high = 1;
    for (int i = 0; i < 60; ++i) {
        const double share = (low + high) / 2;
        double sum = 0;
        double term = tried * std::log1p(-share);
        for (int k = 0; k <= seen; ++k) {
            sum += std::exp(term);
            term += std::log(static_cast<double>(tried - k) / (k + 1)) + std::log(share) - std::log1p(-share);
        }
        (sum > 0.05 ? low : high) = share;
    }
    return high;
}

} // namespace discal::drawn
