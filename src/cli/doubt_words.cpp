#include "cli/doubt_words.h"

#include "cli/line_words.h"
#include "cli/output.h"

#include <algorithm>
#include <array>
#include <set>

namespace discal::cli {

namespace {

struct Rule {
    std::string_view name;
    std::string_view brief;
    std::string_view sentence; ///< "%" is the subject
};

constexpr std::array<Rule, 13> kRules{{
    {"code.used-twice", "code used twice", "% is on more than one butterfly; all lines are kept and marked."},
    {"code.not-in-stock", "code not in stock",
     "% is in no sheet of this journal; the line is kept and marked. Look at the tag, or add its sheet."},
    {"code.of-another-holder", "another device's tag",
     "% belongs to a run that this device did not hold; the line is kept and marked. Look at the tag again."},
    {"tag.two-fates", "two fates",
     "% can't have had both fates that the lines say (#); all lines are kept and marked."},
    {"sheet.received-twice", "sheet received twice",
     "% was taken into stock by two devices, so neither offers its codes; say at the office who has the "
     "paper."},
    {"sheet.taken", "taken, not yet handed",
     "% is in hand here, and the device that held it has not said so yet; the codes can be used."},
    {"sheet.handed-by-other", "handed by another",
     "% was handed on by a device that did not hold all of it; the line is kept and marked."},
    {"butterfly.story-contradicted", "story contradicted",
     "What is written of % can't all be so, such as let go after it died; all lines are kept and marked."},
    {"tag.out-of-step", "tags out of step",
     "% may carry another code: the paper ran apart from the codes offered. Look at the paper or the wing; "
     "the lines are kept and marked."},
    {"butterfly.seen-apart", "recaptured apart",
     "% was noted, and was recaptured where nobody had that line; most likely it is one butterfly. All lines "
     "are kept and marked."},
    {"correction.at-odds", "corrections at odds",
     "% was corrected in two ways by people who did not know of each other; the first is shown until one is "
     "chosen."},
    {"correction.without-authority", "not for this device",
     "% was corrected or taken back by a device that may not; it stands as it was, and the other line is "
     "kept."},
    {"role.without-authority", "not for this device",
     "A device gave a role that only an office gives, or a second station was founded; the lines are kept "
     "and count "
     "for nothing."},
}};

const Rule* find(std::string_view name) {
    const auto* rule =
        std::find_if(kRules.begin(), kRules.end(), [&](const Rule& r) { return r.name == name; });
    return rule == kRules.end() ? nullptr : rule;
}

std::string fatesOf(const std::string& subject, storage::Journal& journal) {
    constexpr std::string_view kCode = "code ";
    const auto code =
        tag::Code::fromText(std::string_view(subject).substr(std::min(subject.size(), kCode.size())));
    if (!code)
        return "two fates";
    const auto state = journal.projections().tag(*code);
    std::set<std::string> fates;
    if (state)
        for (const auto& claim : state->claims)
            fates.insert(std::string(tag::textOf(claim.fate)));
    return fates.empty() ? "two fates" : listed({fates.begin(), fates.end()});
}

} // namespace

std::string subjectWords(const std::string& subject, storage::Journal& journal, Names& names) {
    if (subject.starts_with("code "))
        return subject.substr(5);
    if (subject.starts_with("device "))
        return names.device(subject.substr(7));
    auto& projections = journal.projections();
    if (subject.starts_with("line "))
        if (const auto id = journal::Uuid::parse(subject.substr(5)))
            if (const auto entries = projections.linesWithId(*id); entries && !entries->empty())
                return "the line \"" + sentenceOf(*entries->front().line, names) + "\"";
    if (const auto sheet = projections.sheet(subject); sheet && *sheet)
        return "sheet " + ((*sheet)->run ? (*sheet)->run->text() : subject.substr(0, 8));
    if (const auto b = projections.butterfly(subject); b && *b)
        return (*b)->currentCode().value_or("the butterfly " + subject);
    return subject;
}

std::string shortRule(std::string_view rule) {
    const Rule* known = find(rule);
    return std::string(known != nullptr ? known->brief : rule);
}

std::string sentenceOf(const doubt::Doubt& doubt, storage::Journal& journal, Names& names) {
    const std::string subject = subjectWords(doubt.subject, journal, names);
    const Rule* rule = find(doubt.rule);
    if (rule == nullptr)
        return subject + ": " + doubt.rule + "; the lines are kept and marked.";
    if (doubt.rule == "code.used-twice" && doubt.evidence.size() == 2)
        return subject + " is on two butterflies; both lines are kept and marked.";
    std::string out;
    for (const char c : rule->sentence) {
        if (c == '%')
            out += subject;
        else if (c == '#')
            out += fatesOf(doubt.subject, journal);
        else
            out += c;
    }
    if (out[0] >= 'a' && out[0] <= 'z')
        out[0] = static_cast<char>(out[0] - 'a' + 'A');
    return out;
}

} // namespace discal::cli
