#include "core/tag/judgement.h"

#include <algorithm>
#include <cmath>

namespace discal::tag {

namespace {

constexpr double kLead = 3.0;          ///< natural logarithm: twenty times as probable as the next
constexpr double kLeadAlone = 5.0;     ///< without the second reader's word
constexpr double kScore = -0.45;       ///< a glyph
constexpr double kScoreUnlisted = -0.15;
constexpr double kWeakest = 0.7;
constexpr double kMostLost = 0.12; ///< of a glyph
constexpr double kWhole = 0.99999; ///< the weakest glyph's share: what is left of another glyph rarely looks so much like this one

} // namespace

Judgement judge(const Decision& decision) {
    Judgement judged;
    if (decision.best.empty())
        return judged;
    const double lead = decision.isListed ? std::min(decision.ahead, decision.aheadOfListed) : decision.ahead;
    judged.confidence = 1 / (1 + std::exp(-lead)) * std::clamp(1 + decision.score / 2, 0.0, 1.0);
    const double needed = decision.isAgreed ? kLead : kLeadAlone;
    const double score = decision.isListed ? kScore : kScoreUnlisted;
    // Nothing vouches for a code that isn't listed but that two readers see it alike.
    const bool isVouched = decision.isListed || decision.isAgreed;
    judged.isLost = decision.lost > kMostLost && decision.weakest < kWhole;
    judged.isCertain = lead >= needed && decision.score >= score && decision.weakest >= kWeakest && isVouched &&
                       !decision.mayBeLonger && !judged.isLost;
    judged.isClear = decision.score >= kScore;
    return judged;
}

} // namespace discal::tag
