#include "services/safe_copies.h"

#include <algorithm>
#include <charconv>
#include <tuple>

namespace discal::services {

namespace fs = std::filesystem;
using storage::JournalFile;

namespace {

constexpr std::string_view kEnding = ".discal";
/// "2026-09-05T140320Z": no colons, since cards and other systems refuse them in names.
constexpr std::size_t kTimeLength = 18;
constexpr std::size_t kDeviceLength = 26;
/// In the journal's local table: which erasures all copies have met.
constexpr const char* kCarried = "erasures in copies";

std::string nameOf(time::Instant at, const journal::DeviceId& device, std::int64_t seq) {
    std::string time = time::formatUtc(at);  // 2026-09-05T14:03:20.000Z
    time = time.substr(0, 13) + time.substr(14, 2) + time.substr(17, 2) + "Z";
    return time + "-" + device.text() + "-" + std::to_string(seq) + std::string(kEnding);
}

tl::unexpected<Error> ioError(const fs::path& path, const std::error_code& ec) {
    return fail(ec == std::errc::no_space_on_device ? Code::DiskFull : Code::Io, path.string(), ec.value());
}

/// What its name tells of a copy, or nothing: other files in the folder are none of ours.
struct Name {
    time::Instant at;
    std::string device;
    std::int64_t seq{0};
};

std::optional<Name> parsed(std::string_view name) {
    if (!name.ends_with(kEnding) || name.size() < kTimeLength + kDeviceLength + kEnding.size() + 3 ||
        name[kTimeLength] != '-' || name[kTimeLength + 1 + kDeviceLength] != '-')
        return std::nullopt;
    const std::string_view t = name.substr(0, kTimeLength);
    const auto at = time::parseUtc(std::string(t.substr(0, 13)) + ":" + std::string(t.substr(13, 2)) + ":" +
                                   std::string(t.substr(15)));
    const std::string_view device = name.substr(kTimeLength + 1, kDeviceLength);
    std::string_view digits = name.substr(kTimeLength + kDeviceLength + 2);
    digits.remove_suffix(kEnding.size());
    std::int64_t seq = 0;
    const auto read = std::from_chars(digits.data(), digits.data() + digits.size(), seq);
    if (!at || !journal::DeviceId::parse(device) || read.ec != std::errc() ||
        read.ptr != digits.data() + digits.size())
        return std::nullopt;
    return Name{*at, std::string(device), seq};
}

/// A copy that somebody opened and wrote in is a journal of its own since then.
bool isGoneOn(const fs::path& copy) {
    std::error_code ec;
    return fs::exists(storage::Place(copy).key(), ec);
}

} // namespace

struct SafeCopies::Copy {
    fs::path path;
    Name name;
};

fs::path SafeCopies::folder() const { return m_journal.file().place().copies(); }

/// The oldest first, by their names.
std::vector<SafeCopies::Copy> SafeCopies::copies() const {
    std::vector<Copy> out;
    std::error_code ec;
    for (fs::directory_iterator entry(folder(), ec), end; !ec && entry != end; entry.increment(ec))
        if (auto name = parsed(entry->path().filename().string()))
            out.push_back({entry->path(), std::move(*name)});
    std::sort(out.begin(), out.end(), [](const Copy& a, const Copy& b) {
        return std::tie(a.name.at, a.name.seq, a.path) < std::tie(b.name.at, b.name.seq, b.path);
    });
    return out;
}

std::optional<time::Instant> SafeCopies::newest() const {
    std::optional<time::Instant> at;
    for (const Copy& copy : copies())
        if (copy.name.device == m_journal.device().text())
            at = copy.name.at;
    return at;
}

Result<SafeCopies::Made> SafeCopies::keep(std::int64_t linesDue) {
    const Result<void> carried = carryErasures();
    std::int64_t copied = 0;
    for (const Copy& copy : copies())
        if (copy.name.device == m_journal.device().text() && copy.name.seq <= m_journal.head().seq)
            copied = std::max(copied, copy.name.seq);
    Made made;
    if (m_journal.head().seq - copied >= linesDue) {
        auto path = make();
        if (!path)
            return fail(path.error());
        made = std::move(*path);
        // Only with a new one at hand, which holds all that the old ones hold.
        if (auto forgotten = forgetOld(); !forgotten)
            return fail(forgotten.error());
    }
    if (!carried)
        return fail(carried.error());
    return made;
}

Result<fs::path> SafeCopies::make() {
    std::error_code ec;
    if (fs::create_directory(folder(), ec))
        fs::permissions(folder(), fs::perms::owner_all, ec);
    if (ec)
        return ioError(folder(), ec);
    // What a copy that was interrupted left behind.
    for (fs::directory_iterator entry(folder(), ec), end; !ec && entry != end; entry.increment(ec)) {
        const std::string name = entry->path().filename().string();
        if (const auto part = name.find(".discal.part");
            part != std::string::npos && parsed(name.substr(0, part + kEnding.size()))) {
            std::error_code ignored;
            fs::remove(entry->path(), ignored);
        }
    }
    // A copy holds the blobs that are in the file. Erased ones may be there still if the disk was full.
    const auto erased = m_journal.projections().erasedBlobs();
    if (!erased)
        return fail(erased.error());
    const auto isThere = [&](const journal::Hash& blob) {
        const auto found = m_journal.file().blob(blob);
        return !found || *found;
    };
    if (std::any_of(erased->begin(), erased->end(), isThere))
        if (auto purged = m_journal.purgeErased(); !purged)
            return fail(purged.error());
    const auto path = folder() / nameOf(m_clock.now().wall, m_journal.device(), m_journal.head().seq);
    if (auto copied = m_journal.backup(path); !copied)
        return fail(copied.error());
    return path;
}

Result<void> SafeCopies::forgetOld() {
    const time::Instant now = m_clock.now().wall;
    auto all = copies();
    if (!all.empty())
        all.pop_back();
    for (const Copy& copy : all) {
        // A clock that was wrong when it was made must not make the only copy of these lines go.
        const bool isLast = copy.name.device == m_journal.device().text() &&
                            copy.name.seq == m_journal.head().seq;
        if (copy.name.at + kKept >= now || isLast || isGoneOn(copy.path))
            continue;
        std::error_code ec;
        for (const char* suffix : {"-wal", "-shm", ""})
            if (fs::remove(copy.path.string() + suffix, ec); ec)
                return ioError(copy.path, ec);
    }
    return {};
}

Result<void> SafeCopies::carryErasures() {
    const auto erased = m_journal.projections().erasedBlobs();
    if (!erased)
        return fail(erased.error());
    std::string all;
    for (const auto& blob : *erased)
        all += journal::hexOf(blob) + "\n";
    const std::string mark = all.empty() ? all : journal::hexOf(journal::sha256(all));
    const auto carried = m_journal.file().local(kCarried);
    if (!carried)
        return fail(carried.error());
    if (carried->value_or("") == mark)
        return {};
    std::optional<Error> failed;
    std::vector<fs::path> damaged;
    for (const Copy& copy : copies()) {
        const auto carry = [&]() -> Result<void> {
            auto file = JournalFile::open(storage::Place(copy.path), JournalFile::Access::Write);
            if (!file)
                return fail(file.error());
            std::vector<journal::Hash> there;
            for (const auto& blob : *erased) {
                const auto found = (*file)->blob(blob);
                if (!found)
                    return fail(found.error());
                if (*found)
                    there.push_back(blob);
            }
            // With no names too: it goes on where it was interrupted.
            return (*file)->eraseBlobs(there);
        };
        if (const auto done = carry(); !done) {
            if (done.error().code == Code::Corrupt || done.error().code == Code::NotAJournal)
                damaged.push_back(copy.path);
            else
                failed = done.error();
        }
    }
    // What can't be read can't be searched either, and may hold what somebody asked to be erased. Its lines are in the
    // journal, of which a sound copy is made first.
    if (!damaged.empty()) {
        if (auto made = make(); !made && made.error().code != Code::Exists)
            return fail(made.error());
        for (const fs::path& path : damaged) {
            std::error_code ec;
            for (const char* suffix : {"-wal", "-shm", ""})
                if (fs::remove(path.string() + suffix, ec); ec)
                    return ioError(path, ec);
        }
    }
    if (failed)
        return tl::unexpected(*failed);
    return m_journal.file().setLocal(kCarried, mark);
}

} // namespace discal::services
