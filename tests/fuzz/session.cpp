// Feeds arbitrary bytes to the reader of sample sessions, and to the readers of their tracks. Run with the
// files in corpus/session/ as a start.

#include "services/sample/replay_positions.h"
#include "services/sample/script.h"

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <set>
#include <string>
#include <string_view>

using namespace discal::services::sample;

namespace {

void require(bool holds) {
    if (!holds)
        std::abort();
}

void checkScript(std::string_view text) {
    const auto script = parseScript(text);
    const auto lines = static_cast<std::int64_t>(std::count(text.begin(), text.end(), '\n')) + 1;
    if (!script) {
        // Whoever wrote it is told where, and what is expected.
        require(script.error().number >= 0 && script.error().number <= lines);
        require(!script.error().detail.empty());
        return;
    }
    require(!script->session.empty() && !script->phones.empty());
    auto latest = script->start;
    std::int64_t line = 0;
    std::set<std::string> labels;
    for (const Act& act : script->acts) {
        require(act.at >= latest && act.line > line && act.line <= lines);
        require(std::find(script->phones.begin(), script->phones.end(), act.phone) != script->phones.end());
        require(act.as.empty() || labels.insert(act.as).second);
        const auto& form = actForms()[static_cast<std::size_t>(act.what)];
        for (const MemberForm& member : form.members)
            require(!member.isRequired || act.members.contains(member.name));
        require(act.members.size() <= form.members.size());
        latest = act.at;
        line = act.line;
    }
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size) {
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    checkScript(text);
    for (const auto& track : {trackFromCsv(text), trackFromNmea(text)})
        if (track)
            for (std::size_t i = 0; i < track->size(); ++i)
                require(discal::place::isLegal((*track)[i].latE7, (*track)[i].lonE7) &&
                        (*track)[i].accuracyMm > 0 && (i == 0 || (*track)[i - 1].utc <= (*track)[i].utc));
    return 0;
}
