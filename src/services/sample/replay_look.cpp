#include "services/sample/replay_look.h"

#include "core/journal/line.h"

namespace discal::services::sample {

namespace {

/// Of all sheets together. Our choice: as many as the longest run.
constexpr std::size_t kMostCodes = tag::kMaxRunLength;

Sight::For purposeOf(const Act& act) {
    const auto word = journal::textIn(act.members, "for");
    return word == "label" ? Sight::For::Label : word == "recapture" ? Sight::For::Recapture : Sight::For::New;
}

Result<Wanted> wantedFor(Sight::For purpose, ReplayPhone& phone) {
    Wanted wanted;
    wanted.hasTags = purpose != Sight::For::Label;
    wanted.hasBarcodes = !wanted.hasTags;
    if (!wanted.hasTags)
        return wanted;
    const auto sheets = phone.journal().projections().sheets();
    if (!sheets)
        return fail(sheets.error());
    for (const tag::Sheet& sheet : *sheets) {
        if (!sheet.run)
            continue;
        wanted.schemes.push_back(sheet.run->scheme);
        if (purpose == Sight::For::Recapture)
            for (std::uint32_t i = 0; i < sheet.run->count && wanted.codes.size() < kMostCodes; ++i)
                wanted.codes.push_back(sheet.run->at(i));
    }
    if (purpose == Sight::For::New) {
        auto free = phone.services().stock.nextFree(kMostCodes);
        if (!free)
            return fail(free.error());
        wanted.codes = std::move(*free);
    }
    return wanted;
}

std::optional<tag::SheetLabel> labelAmong(const std::vector<Barcode>& barcodes) {
    for (const Barcode& barcode : barcodes)
        if (auto label = tag::readLabel(barcode.text))
            return std::move(*label);
    return std::nullopt;
}

tl::unexpected<Error> differs(std::string_view what, std::string_view expected, std::string_view found) {
    return fail(Code::BadInput,
                std::string(what) + " expected " + std::string(expected) + ", found " + std::string(found));
}

} // namespace

Result<CodeReader*> ReplayLook::reader() {
    if (m_reader || !m_eyes.makeReader || !m_eyes.load)
        return m_reader.get();
    auto made = m_eyes.makeReader();
    if (made)
        m_reader = std::move(*made);
    else if (made.error().code != Code::NotFound)
        return fail(made.error());
    return m_reader.get();
}

Result<void> ReplayLook::look(const Act& act, CodeReader& reader, Sight& sight) const {
    for (const auto& name : act.members.at("frames").as_array()) {
        sight.frame = std::string(std::string_view(name.as_string()));
        const auto frame = m_eyes.load(m_frames / sight.frame);
        if (!frame)
            return fail(frame.error().code, "frames/" + sight.frame + ": " + frame.error().detail,
                        frame.error().number);
        sight.reading = reader.look(*frame);
        sight.reading->upright = {};
        if (sight.purpose == Sight::For::Label)
            sight.label = labelAmong(sight.reading->barcodes);
        if (sight.verdict() != Verdict::Refused)
            break;
    }
    return {};
}

Result<Sight> ReplayLook::at(const Act& act, ReplayPhone& phone) {
    Sight sight;
    sight.purpose = purposeOf(act);
    const auto reader = this->reader();
    if (!reader)
        return fail(reader.error());
    if (*reader != nullptr) {
        auto wanted = wantedFor(sight.purpose, phone);
        if (!wanted)
            return fail(wanted.error());
        (*reader)->expect(std::move(*wanted));
        if (auto looked = look(act, **reader, sight); !looked)
            return fail(looked.error());
    } else {
        sight.frame = std::string(std::string_view(act.members.at("frames").as_array().front().as_string()));
    }
    if (m_onSight)
        m_onSight(sight);
    return sight;
}

Result<void> compare(const Expect& expect, const Sight& sight) {
    if (sight.isPassedOver())
        return {};
    const Reading& reading = *sight.reading;
    const Verdict verdict = sight.verdict();
    const bool isTagRefused = verdict == Verdict::Refused && sight.purpose != Sight::For::Label;
    if (expect.verdict && verdict != *expect.verdict)
        return differs("verdict", wordOf(*expect.verdict),
                       std::string(wordOf(verdict)) + (isTagRefused ? ", " + std::string(wordOf(reading.why)) : ""));
    if (expect.why && reading.why != *expect.why)
        return differs("why", wordOf(*expect.why), wordOf(reading.why));
    if (expect.code) {
        const std::string found = reading.code && verdict != Verdict::Refused ? reading.code->text() : "none";
        if (found != *expect.code)
            return differs("code", *expect.code, found);
    }
    if (expect.first) {
        const std::string found = sight.label ? sight.label->first.text() : "none";
        if (found != *expect.first)
            return differs("first", *expect.first, found);
    }
    if (expect.count) {
        const std::int64_t found = sight.label ? sight.label->count : 0;
        if (found != *expect.count)
            return differs("count", std::to_string(*expect.count), std::to_string(found));
    }
    return {};
}

} // namespace discal::services::sample
