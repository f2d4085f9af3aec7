#include "core/tag/tag_state.h"

#include "core/tag/sheet.h"

#include <algorithm>
#include <array>

namespace discal::tag {

using butterfly::Carried;
using journal::Kind;

namespace {

constexpr std::array<std::string_view, 6> kFates{"free", "on", "spoiled", "paper", "missing", "given"};
constexpr std::array<Fate, 5> kPrecedence{Fate::OnButterfly, Fate::Spoiled, Fate::Paper, Fate::Given,
                                          Fate::Missing};

/// Several sheets may name one code: two phones entered the same paper, or one took what the other received.
std::string holderAmong(const std::vector<Sheet>& sheets, const Code& code) {
    std::vector<std::string> received;
    std::vector<std::string> taken;
    for (const Sheet& sheet : sheets) {
        if (!sheet.contains(code))
            continue;
        if (sheet.contested.contains(code))
            return {};
        const std::string holder = sheet.holderOf(code);
        if (holder.empty())
            continue;
        (sheet.run ? received : taken).push_back(holder);
    }
    auto& decisive = taken.empty() ? received : taken;
    std::sort(decisive.begin(), decisive.end());
    decisive.erase(std::unique(decisive.begin(), decisive.end()), decisive.end());
    return decisive.size() == 1 ? decisive.front() : std::string();
}

void claimFromLine(TagState& state, const journal::Amended& event) {
    const auto says = [&](Fate fate) {
        state.claims.push_back({fate, event.line.id, event.device.text(), {}});
    };
    switch (event.kind) {
    case Kind::TagSpoiled:
        // With a butterfly the claim comes from its story.
        if (event.line.about.empty())
            says(Fate::Spoiled);
        break;
    case Kind::TagPaper:
        says(Fate::Paper);
        break;
    case Kind::TagMissing:
        says(Fate::Missing);
        break;
    case Kind::TagGiven:
        says(Fate::Given);
        break;
    default:
        break;
    }
}

} // namespace

std::string_view textOf(Fate fate) { return kFates[static_cast<std::size_t>(fate)]; }

TagState tagState(const Code& code, const TagEvidence& evidence) {
    TagState state;
    state.code = code.text();
    state.needsNewer = evidence.needsNewer;
    for (const Sheet& sheet : evidence.sheets) {
        if (!sheet.contains(code))
            continue;
        state.isInStock = true;
        state.needsNewer |= sheet.needsNewer;
        for (const auto& [device, runs] : sheet.ever)
            if (runs.contains(code))
                state.everHeldBy.push_back(device);
    }
    state.holder = holderAmong(evidence.sheets, code);
    for (const auto& b : evidence.butterflies)
        for (const Carried& c : b.codes) {
            if (c.code != state.code)
                continue;
            state.needsNewer |= b.needsNewer;
            if (c.bond == Carried::Bond::On) {
                state.butterflies.push_back(b.id);
                state.claims.push_back({Fate::OnButterfly, c.line, b.device, b.id.text()});
            } else if (c.bond == Carried::Bond::Spoiled) {
                state.claims.push_back({Fate::Spoiled, c.line, b.device, b.id.text()});
            } else if (c.bond == Carried::Bond::Seen) {
                state.seen.push_back({b.id, c.line});
            }
        }
    for (const auto& event : evidence.lines) {
        if (event.isNewer)
            state.needsNewer = true;
        else
            claimFromLine(state, event);
    }
    for (const Fate fate : kPrecedence)
        if (std::any_of(state.claims.begin(), state.claims.end(), [&](const auto& c) { return c.fate == fate; })) {
            state.fate = fate;
            break;
        }
    // A tag read on a live butterfly is on a butterfly, whoever put it there.
    if (state.fate == Fate::Free && !state.seen.empty())
        state.fate = Fate::OnButterfly;
    return state;
}

} // namespace discal::tag
