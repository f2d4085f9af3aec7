#include "services/sample/replay.h"

#include "services/sample/replay_acts.h"
#include "services/sample/replay_phone.h"
#include "services/sample/script.h"

#include <algorithm>
#include <fstream>
#include <iterator>
#include <new>
#include <set>
#include <tuple>

namespace discal::services::sample {

namespace {

constexpr const char* kScriptName = "session.jsonl";

/// Nothing when there is no such file.
Result<std::optional<std::string>> textOf(const std::filesystem::path& path) {
    std::error_code ec;
    if (!std::filesystem::exists(path, ec))
        return std::optional<std::string>();
    std::ifstream in(path, std::ios::binary);
    std::string bytes{std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
    if (!in.good() && !in.eof())
        return fail(Code::Io, path.string());
    return std::optional(std::move(bytes));
}

/// With the file and line before the detail, as a compiler says it.
tl::unexpected<Error> failAt(const std::string& file, const Error& error, std::int64_t line) {
    std::string detail = file + (line > 0 ? ":" + std::to_string(line) : "");
    if (!error.detail.empty())
        detail += ": " + error.detail;
    return fail(error.code, std::move(detail), line);
}

/// The first phone's track has no suffix.
Result<Track> trackOf(const std::filesystem::path& folder, const std::string& phone, bool isFirst) {
    const std::string suffix = isFirst ? std::string() : "-" + phone;
    const std::string nmeaName = "track" + suffix + ".nmea";
    const std::string csvName = "fixes" + suffix + ".csv";
    const auto nmea = textOf(folder / nmeaName);
    if (!nmea)
        return fail(nmea.error());
    const auto csv = textOf(folder / csvName);
    if (!csv)
        return fail(csv.error());
    if (*nmea && *csv)
        return fail(Code::BadInput, nmeaName + " or " + csvName + ", not both");
    if (*nmea) {
        auto track = trackFromNmea(**nmea);
        if (!track)
            return failAt(nmeaName, track.error(), 0);
        return track;
    }
    if (*csv) {
        auto track = trackFromCsv(**csv);
        if (!track)
            return failAt(csvName, track.error(), track.error().number);
        return track;
    }
    return Track();
}

/// Butterflies that the lines of this device speak of.
Result<void> addButterflies(storage::Journal& journal, std::set<journal::Uuid>& out) {
    return journal.file().visit(
        journal.device(), 1, [&](std::int64_t, std::string_view bytes, const journal::Hash&) {
            const auto line = journal::parseLine(bytes);
            if (line && !line->about.empty() &&
                (line->kind.starts_with("butterfly.") || line->kind.starts_with("tag.")))
                out.insert(line->about.front());
            return true;
        });
}

Result<ReplayReport> replayScript(const ReplayOptions& options) {
    const auto text = textOf(options.folder / kScriptName);
    if (!text)
        return fail(text.error());
    if (!*text)
        return fail(Code::NotFound, (options.folder / kScriptName).string());
    const auto script = parseScript(**text);
    if (!script)
        return failAt(kScriptName, script.error(), script.error().number);

    ReplayActs::Phones phones;
    ReplayReport report;
    report.session = script->session;
    for (const std::string& name : script->phones) {
        const bool isFirst = phones.empty();
        auto track = trackOf(options.folder, name, isFirst);
        if (!track)
            return fail(track.error());
        const auto path = isFirst ? options.journal : journalOf(options.journal, name);
        if (const auto there = ReplayPhone::standsInTheWay(path))
            return fail(Code::Exists, there->string());
        const std::size_t index = phones.size();
        report.phones.push_back({name, path, 0});
        const auto onSaved = [&report, &options, index, name](const SavedLine& line) {
            ++report.lines;
            ++report.phones[index].lines;
            if (options.onSaved)
                options.onSaved(name, line);
        };
        phones.push_back(std::make_unique<ReplayPhone>(
            ReplayPhone::Setup{name, path, script->seed, script->session, script->start, script->offset,
                               script->zone, std::move(*track), options.names, onSaved}));
    }
    for (const auto& phone : phones)
        if (auto opened = phone->open(); !opened)
            return fail(opened.error());

    ReplayLook look(options.folder / "frames", options.eyes, [&](const Sight& sight) {
        report.passedOver += sight.isPassedOver() ? 1 : 0;
        if (options.onSight)
            options.onSight(sight);
    });
    ReplayActs acts(phones, look, options.exchange);
    for (const Act& act : script->acts) {
        if (auto done = acts.perform(act); !done)
            return failAt(kScriptName, done.error(), act.line);
        ++report.acts;
    }
    std::set<journal::Uuid> butterflies;
    for (const auto& phone : phones) {
        if (auto counted = addButterflies(phone->journal(), butterflies); !counted)
            return fail(counted.error());
        if (auto idle = phone->journal().idle(); !idle)
            return fail(idle.error());
    }
    report.butterflies = static_cast<std::int64_t>(butterflies.size());
    if (options.onFinished)
        for (const auto& phone : phones)
            options.onFinished(phone->name(), phone->journal());
    return report;
}

} // namespace

std::filesystem::path journalOf(const std::filesystem::path& first, const std::string& phone) {
    std::filesystem::path out = first;
    return out.replace_filename(first.stem().string() + "-" + phone + first.extension().string());
}

Result<ReplayReport> replay(const ReplayOptions& options) {
    try {
        return replayScript(options);
    } catch (const std::bad_alloc&) {
        return fail(Code::OutOfMemory);
    } catch (const std::exception& e) {
        return fail(Code::Io, e.what());
    }
}

Result<std::string> journalAsNdjson(storage::Journal& journal) {
    struct Row {
        journal::Order order;
        std::string bytes;
    };
    std::vector<Row> rows;
    const auto chains = journal.file().chains();
    if (!chains)
        return fail(chains.error());
    for (const auto& chain : *chains) {
        const auto visited = journal.file().visit(
            chain.device, 1, [&](std::int64_t seq, std::string_view bytes, const journal::Hash&) {
                auto entry = journal::makeEntry(chain.device, seq, std::string(bytes));
                rows.push_back({entry.order(), std::move(entry.bytes)});
                return true;
            });
        if (!visited)
            return fail(visited.error());
    }
    std::sort(rows.begin(), rows.end(), [](const Row& a, const Row& b) { return a.order < b.order; });
    std::string out;
    for (const Row& row : rows) {
        out += row.bytes;
        out += '\n';
    }
    return out;
}

} // namespace discal::services::sample
