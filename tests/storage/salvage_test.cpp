#include "catch_compat.hpp"
#include "reference.h"
#include "storage/journal_maker.h"
#include "storage/salvage.h"

#include <fstream>
#include <map>

namespace discal::tests {

namespace {

using storage::Journal;
using storage::Place;

/// A journal of some pages, its newest lines still in the -wal, and what it held.
struct Whole {
    std::map<std::int64_t, std::string> lines;
    journal::DeviceId device;
};

Whole makeJournal(const std::filesystem::path& file, std::uint64_t seed, int butterflies) {
    Whole whole;
    auto journal = openWriter(Place(file), seed);
    JournalMaker maker(*journal, seed);
    maker.started();
    maker.sheetReceived("RKD 001", 200);
    for (int i = 0; i < butterflies; ++i) {
        std::string code = std::to_string(i + 1);
        maker.note("RKD " + std::string(3 - code.size(), '0') + code);
        maker.released(maker.subject());
        if (i == butterflies * 3 / 4)
            good(journal->idle());
    }
    whole.device = journal->device();
    good(journal->file().visit(whole.device, 1, [&](std::int64_t seq, std::string_view line, const auto&) {
        whole.lines[seq] = line;
        return true;
    }));
    // Like a phone that goes dark: the files as they are now, not as a clean end leaves them.
    for (const char* suffix : {"", "-wal"})
        std::filesystem::copy_file(file.string() + suffix, file.string() + ".dark" + suffix);
    return whole;
}

void damage(const std::filesystem::path& file, Choices& choices) {
    std::string bytes = readFile(file);
    switch (choices.below(4)) {
    case 0:
        for (std::size_t i = 0, n = 1 + choices.below(20); i < n; ++i) {
            auto& byte = bytes[choices.below(bytes.size())];
            byte = static_cast<char>(byte ^ (1 << choices.below(8)));
        }
        break;
    case 1:
        bytes.resize(choices.below(bytes.size()));
        break;
    case 2: {
        const std::size_t page = choices.below(bytes.size() / 4096) * 4096;
        std::fill_n(bytes.begin() + static_cast<std::ptrdiff_t>(page), 4096, '\0');
        break;
    }
    default:
        for (auto& byte : bytes)
            if (choices.below(3000) == 0)
                byte = static_cast<char>(choices.number());
        break;
    }
    std::ofstream(file, std::ios::binary) << bytes;
}

/// Salvages one damaged copy and checks everything that can be checked of it.
void checkOne(std::uint64_t seed, std::int64_t& saved, std::int64_t& lost, int& nothing) {
    CAPTURE(seed);
    Choices choices(seed);
    const TemporaryFolder folder;
    const auto file = folder.path() / "day.discal";
    const Whole whole = makeJournal(file, seed, 60);
    const std::filesystem::path dark = file.string() + ".dark";
    if (choices.chance(1, 4))
        damage(dark.string() + "-wal", choices);
    else if (choices.chance(1, 6))
        std::filesystem::remove(dark.string() + "-wal");
    damage(dark, choices);
    const std::string before = readFile(dark);

    const auto out = folder.path() / "saved.discal";
    const auto report = storage::salvage(Place(dark), out);
    CHECK(readFile(dark) == before);
    if (!report) {
        // Nothing that proves itself was left: then no file is made either.
        CHECK(report.error().code == Code::NotAJournal);
        CHECK_FALSE(std::filesystem::exists(out));
        ++nothing;
        return;
    }
    auto reader = openReader(Place(out));
    CHECK(good(reader->file().verify()).isSound());
    std::int64_t found = 0;
    good(reader->file().visit(whole.device, 1, [&](std::int64_t seq, std::string_view line, const auto&) {
        CHECK(whole.lines.at(seq) == line);
        ++found;
        return true;
    }));
    for (const auto& fork : good(reader->file().forks())) {
        CHECK(whole.lines.at(fork.seq) == fork.line);
        ++found;
    }
    CHECK(found == report->lines + report->beside);
    // What was lost is said, and not more than there was; one more where a damaged seq reads as the next one.
    std::int64_t said = 0;
    for (const auto& hole : report->lost)
        said += hole.count;
    CHECK(found + said <= static_cast<std::int64_t>(whole.lines.size()) + 1);
    saved += found;
    lost += static_cast<std::int64_t>(whole.lines.size()) - found;
    reader.reset();
    auto writer = openWriter(Place(out), seed + 1);
    REQUIRE(writer->newChain());
    CHECK(writer->device() != whole.device);
}

void checkMany(std::uint64_t first, int count) {
    std::int64_t saved = 0;
    std::int64_t lost = 0;
    int nothing = 0;
    for (int i = 0; i < count; ++i)
        checkOne(first + static_cast<std::uint64_t>(i), saved, lost, nothing);
    WARN(count << " damaged journals: " << saved << " lines saved, " << lost << " lost; nothing left in " << nothing);
    CHECK(saved > lost);
}

} // namespace

TEST_CASE("What is whole in a damaged journal is saved and the original kept", "[storage][salvage]") {
    checkMany(1000, 60);
}

TEST_CASE("What is whole in a thousand damaged journals is saved", "[.long][storage][salvage]") {
    checkMany(5000, 1000);
}

TEST_CASE("An undamaged journal is salvaged whole, with its blobs", "[storage][salvage]") {
    const TemporaryFolder folder;
    const auto file = folder.path() / "day.discal";
    const Whole whole = makeJournal(file, 7, 20);
    const auto report = storage::salvage(Place(file), folder.path() / "saved.discal");
    REQUIRE(report);
    CHECK(report->lines == static_cast<std::int64_t>(whole.lines.size()));
    CHECK(report->lost.empty());
    CHECK(report->beside == 0);
    CHECK(storage::salvage(Place(file), folder.path() / "saved.discal").error().code == Code::Exists);
    CHECK(storage::salvage(Place(folder.path() / "none.discal"), folder.path() / "x").error().code == Code::NotFound);
}

TEST_CASE("A line lost in the middle comes back with its chain and counts once", "[storage][salvage]") {
    const TemporaryFolder folder;
    const auto file = folder.path() / "day.discal";
    const Whole whole = makeJournal(file, 11, 20);
    auto original = openWriter(Place(file), 11);
    const auto chain = good(original->signedChain());
    const std::string rows = good(original->projections().dump());

    // The same file with one line spoilt in place: the lines behind it prove themselves by the hash beside it.
    const std::filesystem::path damaged = folder.path() / "damaged.discal";
    good(original->backup(damaged));
    std::string bytes = readFile(damaged);
    const auto at = bytes.find(whole.lines.at(9));
    REQUIRE(at != std::string::npos);
    bytes[at + 60] = static_cast<char>(bytes[at + 60] ^ 1);
    std::ofstream(damaged, std::ios::binary) << bytes;

    const auto saved = folder.path() / "saved.discal";
    const auto report = storage::salvage(Place(damaged), saved);
    REQUIRE(report);
    CHECK(report->lines == 8);
    CHECK(report->beside == static_cast<std::int64_t>(whole.lines.size()) - 9);
    REQUIRE(report->lost.size() == 1);
    CHECK(report->lost.front().seq == 9);

    auto journal = openWriter(Place(saved), 12);
    CHECK(good(journal->projections().doubts()).size() > 0);
    storage::Delivery delivery;
    delivery.device = chain.device;
    delivery.publicKey = chain.publicKey;
    delivery.prev = journal::chainStart(chain.publicKey);
    for (const auto& [seq, line] : whole.lines)
        delivery.lines.push_back(line);
    delivery.head = chain.signedHead;
    delivery.jws = *chain.jws;
    const auto receipt = good(journal->receive(delivery));
    CHECK(receipt.known == 8);
    CHECK(receipt.fresh == static_cast<std::int64_t>(whole.lines.size()) - 8);
    for (const auto& doubt : good(journal->projections().doubts()))
        CHECK(doubt.doubt.rule != "chain.forked");
    const std::string after = good(journal->projections().dump());
    good(journal->projections().rebuild());
    CHECK(good(journal->projections().dump()) == after);
}

} // namespace discal::tests
