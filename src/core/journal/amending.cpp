#include "core/journal/amending.h"

#include <algorithm>
#include <functional>
#include <map>
#include <set>
#include <utility>

namespace discal::journal {

namespace json = boost::json;

namespace {

bool mayAmend(const Entry& amendment, const Entry& target, Amendments& source) {
    return amendment.device == target.device || source.isOffice(amendment.device, amendment.order());
}

bool isNewer(const Entry& amendment) {
    return amendment.line->version > knownVersion(kindOf(amendment.line->kind));
}

/// What the withdrawals make of a line.
struct Withdrawals {
    bool takeItBack{false};
    bool nameIt{false}; ///< there are any, also such as count for nothing
    std::vector<Uuid> withoutAuthority;
};

/// Withdrawals may withdraw each other, and anybody's lines may name each other in any way. So those that bear on
/// the entry are gathered once and judged from the last to the first, where each depends on later ones only.
Withdrawals withdrawalsOf(const Entry& entry, Amendments& source) {
    Withdrawals out;
    std::map<Order, Entry> found;
    std::map<Uuid, std::vector<Order>> ofAct;
    std::vector<Uuid> open{entry.line->act};
    while (!open.empty()) {
        const auto [act, isNew] = ofAct.try_emplace(open.back());
        open.pop_back();
        if (!isNew)
            continue;
        for (Entry& withdrawal : source.withdrawalsOf(act->first)) {
            out.nameIt = true;
            if (!withdrawal.line || isNewer(withdrawal))
                continue;
            act->second.push_back(withdrawal.order());
            open.push_back(withdrawal.line->act);
            found.try_emplace(withdrawal.order(), std::move(withdrawal));
        }
        std::sort(act->second.begin(), act->second.end(), std::greater<>());
    }

    std::set<Order> standing;
    const auto isTakenBack = [&](const Entry& target) {
        for (const Order& order : ofAct.at(target.line->act)) {
            if (order <= target.order())
                break;
            if (standing.contains(order) && mayAmend(found.at(order), target, source))
                return true;
        }
        return false;
    };
    for (auto withdrawal = found.rbegin(); withdrawal != found.rend(); ++withdrawal)
        if (!isTakenBack(withdrawal->second))
            standing.insert(withdrawal->first);

    for (const Order& order : ofAct.at(entry.line->act))
        if (order > entry.order() && !mayAmend(found.at(order), entry, source))
            out.withoutAuthority.push_back(found.at(order).line->id);
    out.takeItBack = isTakenBack(entry);
    return out;
}

/// Whether `decides` says so of an amendment that names the entry, or one that names such an amendment, and
/// so on. Each stands later than what it names; those that don't count for that are not followed.
template <class Counts, class Decides>
bool anyAmendment(const Entry& entry, Amendments& source, const Counts& counts, const Decides& decides) {
    std::map<Uuid, std::vector<Entry>> ofAct;
    std::set<std::pair<Order, std::string>> seen;
    std::vector<Entry> open{entry};
    while (!open.empty()) {
        const Entry target = std::move(open.back());
        open.pop_back();
        std::vector<Entry> amendments = source.correctionsOf(target.line->id);
        auto withdrawals = ofAct.find(target.line->act);
        if (withdrawals == ofAct.end())
            withdrawals = ofAct.emplace(target.line->act, source.withdrawalsOf(target.line->act)).first;
        amendments.insert(amendments.end(), withdrawals->second.begin(), withdrawals->second.end());
        for (Entry& amendment : amendments) {
            if (!amendment.line || amendment.order() <= target.order() || !counts(amendment, target) ||
                !seen.emplace(amendment.order(), amendment.bytes).second)
                continue;
            if (decides(amendment))
                return true;
            open.push_back(std::move(amendment));
        }
    }
    return false;
}

/// Whether there is one that we can't read and that may amend: had we understood it, we might read the entry
/// otherwise.
bool isReadByNewerOnly(const Entry& entry, Amendments& source) {
    return anyAmendment(
        entry, source,
        [&](const Entry& amendment, const Entry& target) { return mayAmend(amendment, target, source); },
        [&](const Entry& amendment) {
            return isNewer(amendment) && !withdrawalsOf(amendment, source).takeItBack;
        });
}

struct Candidate {
    const Entry* entry;
    const json::value* value;
};

/// Returns whether it says anything: a time that is none does not.
bool lay(Line& line, std::string_view field, const json::value& value) {
    if (field == "at") {
        const auto at = value.is_string() ? time::parseUtc(value.as_string()) : fail(Code::NotATime);
        if (!at)
            return false;
        line.at = *at;
    } else if (field == "offset_min" && value.is_int64()) {
        line.offset = std::chrono::minutes(std::clamp<std::int64_t>(value.as_int64(), -1440, 1440));
    } else {
        line.body[field] = value;
    }
    return true;
}

} // namespace

bool Amended::isCorrected(std::string_view field) const {
    return std::find(correctedFields.begin(), correctedFields.end(), field) != correctedFields.end();
}

Amended unamended(Entry entry) {
    Amended out;
    out.kind = kindOf(entry.line->kind);
    out.isNewer = entry.line->version > knownVersion(out.kind);
    out.order = entry.order();
    out.device = entry.device;
    out.line = std::move(*entry.line);
    return out;
}

Amended amended(const Entry& entry, Amendments& source) {
    Amended out = unamended(entry);
    Withdrawals withdrawals = withdrawalsOf(entry, source);
    out.isWithdrawn = withdrawals.takeItBack;
    out.withoutAuthority = std::move(withdrawals.withoutAuthority);

    std::vector<Entry> corrections = source.correctionsOf(entry.line->id);
    // Most lines are amended by nothing, and nothing more is looked up for them.
    if (withdrawals.nameIt || !corrections.empty())
        out.needsNewer = isReadByNewerOnly(entry, source);
    std::sort(corrections.begin(), corrections.end(),
              [](const Entry& a, const Entry& b) { return a.order() < b.order(); });
    std::map<std::string, std::vector<Candidate>, std::less<>> byField;
    for (const Entry& correction : corrections) {
        if (!correction.line || correction.order() <= entry.order() || isNewer(correction))
            continue;
        if (!mayAmend(correction, entry, source)) {
            out.withoutAuthority.push_back(correction.line->id);
            continue;
        }
        if (withdrawalsOf(correction, source).takeItBack)
            continue;
        if (const auto* set = objectIn(correction.line->body, "set"))
            for (const auto& member : *set)
                byField[std::string(member.key())].push_back({&correction, &member.value()});
    }
    for (const auto& [field, candidates] : byField) {
        std::vector<Candidate> standing;
        for (const Candidate& candidate : candidates) {
            const bool replaced = std::any_of(candidates.begin(), candidates.end(), [&](const Candidate& other) {
                if (other.entry->order() <= candidate.entry->order())
                    return false;
                const auto over = idsIn(other.entry->line->body, "over");
                return std::find(over.begin(), over.end(), candidate.entry->line->id) != over.end();
            });
            if (!replaced)
                standing.push_back(candidate);
        }
        const Candidate& shown = standing.front();
        if (lay(out.line, field, *shown.value))
            out.correctedFields.push_back(field);
        out.appliedCorrections.push_back(shown.entry->line->id);
        if (std::any_of(standing.begin(), standing.end(),
                        [&](const Candidate& c) { return *c.value != *shown.value; })) {
            Amended::AtOdds odds{field, {}};
            for (const Candidate& c : standing)
                odds.corrections.push_back(c.entry->line->id);
            out.atOdds.push_back(std::move(odds));
        }
    }
    return out;
}

bool isNamedByNewer(const Entry& entry, Amendments& source) {
    return anyAmendment(
        entry, source, [](const Entry&, const Entry&) { return true; }, isNewer);
}

} // namespace discal::journal
