#include "services/sample/generate.h"

#include "core/tag/run.h"
#include "services/sample/generated_positions.h"
#include "services/sample/replay_phone.h"
#include "services/weather.h"

#include <algorithm>
#include <array>
#include <new>
#include <optional>
#include <vector>

namespace discal::services::sample {

namespace {

using std::chrono::hours;
using std::chrono::milliseconds;

constexpr std::int64_t kMostReleases = 5'000'000;
constexpr std::uint32_t kSheet = 25;
constexpr std::uint64_t kFewestOfSession = 20;
constexpr std::uint64_t kMostOfSession = 60;
/// What a session comes to after those that flew, died or were taken back; for spreading sessions over the
/// days.
constexpr std::int64_t kUsualOfSession = 36;
/// 10 August to 10 October, from eight in the morning to six in the evening. Our choice, about what a station
/// at 43.5 degrees north sees of late broods and migration.
constexpr std::int64_t kDays = 62;
constexpr milliseconds kWorkingDay = hours(10);
constexpr milliseconds kPace = std::chrono::seconds(150);
constexpr std::size_t kRemembered = 2'000;
/// Tags from elsewhere cost a look at every sheet to read, so there are few whatever the size.
constexpr int kMostForeign = 40;

// How often things happen, in 1000 butterflies. Our choice, except where a source is named.
constexpr std::uint64_t kWild = 750;
/// 28 % of wild ones in autumn are female (Steffy, poster; science.md section 5).
constexpr std::uint64_t kFemaleOfWild = 280;
/// 143 of 272 reared ones (Ragonese and others 2024; science.md section 5).
constexpr std::uint64_t kFemaleOfReared = 526;
constexpr std::uint64_t kSexUnknown = 20;
constexpr std::uint64_t kMeasured = 120;
constexpr std::uint64_t kUndone = 5;
constexpr std::uint64_t kSpoiled = 40;
constexpr std::uint64_t kEscapedBare = 5;
constexpr std::uint64_t kEscapedTagged = 3;
constexpr std::uint64_t kDied = 2;
constexpr std::uint64_t kHeld = 150;
constexpr std::uint64_t kLetGoByTap = 500;
constexpr std::uint64_t kCorrected = 7;
constexpr std::uint64_t kUntagged = 4;
constexpr std::uint64_t kRecaptured = 12;
constexpr std::uint64_t kForeign = 1;
constexpr std::uint64_t kNoSignal = 80;
constexpr std::uint64_t kCoarseSignal = 40;

struct Spot {
    const char* name;
    std::int32_t latE7;
    std::int32_t lonE7;
};
constexpr std::array<Spot, 5> kSpots{{{"Ridge meadow", 435'571'000, -908'893'000},
                                      {"Blazing star slope", 435'583'500, -908'921'200},
                                      {"Creek bottom", 435'549'300, -908'857'800},
                                      {"Rearing shed", 435'567'200, -908'880'400},
                                      {"Cedar roost", 435'596'100, -908'906'700}}};
constexpr std::array<const char*, 4> kPeople{"MH", "JT", "AK", "RL"};

/// One season while it is made. What a query would have to look for among all sessions or sheets is kept
/// here.
class Season {
public:
    explicit Season(const GenerateOptions& options)
        : m_options(options), m_randomness(options.seed, "lines of A"), m_keys(options.seed, "device A"),
          m_dice(options.seed, "season"), m_clock("A", firstMorning(), hours(-5), "America/Chicago"),
          m_positions(m_clock, options.seed) {}

    Result<GenerateReport> make();

private:
    /// A butterfly that is written down and not yet closed, or in the cage.
    struct InHand {
        journal::Uuid id;
        std::string code;
    };

    static time::Instant firstMorning() {
        using namespace std::chrono;
        return sys_days(year(2026) / August / 10) + hours(8) + hours(5);
    }

    Result<void> open();
    Result<void> setUp();
    Result<void> session(std::int64_t index);
    Result<void> butterfly();
    Result<void> note();
    Result<void> afterNote(const Tagging::Noted& noted, const std::string& sex);
    Result<void> untagged();
    Result<void> recaptured();
    Result<void> letOpenGo();
    Result<void> letCageGo();
    Result<std::string> nextCode();
    Result<void> receiveSheet();

    void pass() { m_clock.setTrueTime(m_clock.trueTime() + m_step); }
    void closedByNext();
    void remember(std::string code);
    void stand();
    [[nodiscard]] std::int64_t onTheirWay() const {
        return m_report.released + static_cast<std::int64_t>(m_cage.size()) + (m_open ? 1 : 0);
    }
    std::string sexOf(bool isWild);

    const GenerateOptions& m_options;
    SeededRandomness m_randomness;
    SeededRandomness m_keys;
    SeededRandomness m_dice;
    ReplayClock m_clock;
    GeneratedPositions m_positions;
    std::unique_ptr<storage::Journal> m_journal;
    std::unique_ptr<PhoneServices> m_services;

    GenerateReport m_report;
    milliseconds m_step{1};
    std::vector<std::string> m_sites;
    std::vector<journal::Uuid> m_people;
    std::size_t m_spot{0};
    std::optional<InHand> m_open;
    std::vector<InHand> m_cage;
    std::vector<std::string> m_let; ///< codes let go lately, in a ring
    std::size_t m_letAt{0};
    std::vector<std::string> m_freed; ///< codes that came off unused
    std::optional<tag::Run> m_sheet;
    std::uint32_t m_used{0}; ///< of the sheet
    int m_foreign{0};
};

void Season::remember(std::string code) {
    if (m_let.size() < kRemembered) {
        m_let.push_back(std::move(code));
        return;
    }
    m_let[m_letAt] = std::move(code);
    m_letAt = (m_letAt + 1) % kRemembered;
}

void Season::stand() {
    const Spot& spot = kSpots[m_spot];
    const bool isLost = m_dice.chance(kNoSignal);
    const bool isCoarse = m_dice.chance(kCoarseSignal);
    m_positions.standAt(static_cast<std::int32_t>(spot.latE7 + m_dice.about0(2'500)),
                        static_cast<std::int32_t>(spot.lonE7 + m_dice.about0(3'500)),
                        isLost     ? GeneratedPositions::Signal::None
                        : isCoarse ? GeneratedPositions::Signal::Coarse
                                   : GeneratedPositions::Signal::Good);
}

std::string Season::sexOf(bool isWild) {
    if (m_dice.chance(kSexUnknown))
        return "unknown";
    return m_dice.chance(isWild ? kFemaleOfWild : kFemaleOfReared) ? "female" : "male";
}

Result<void> Season::open() {
    storage::Journal::WriteOptions options;
    options.program = "discal sample";
    options.newSeed = [this] { return m_keys.bytes<32>(); };
    auto journal = storage::Journal::openForWriting(storage::Place(m_options.journal), options);
    if (!journal)
        return fail(journal.error());
    m_journal = std::move(*journal);
    m_services = std::make_unique<PhoneServices>(*m_journal, m_clock, m_randomness, m_positions);
    m_services->writer.onSaved = [this](const SavedLine& line) {
        ++m_report.lines;
        if (m_options.onSaved)
            m_options.onSaved(line);
    };
    return {};
}

Result<void> Season::setUp() {
    if (auto started = m_services->writer.ensureStarted({"generated", "discal", "generated"}); !started)
        return fail(started.error());
    Station& station = m_services->station;
    if (auto founded = station.found("Thistledown Ridge Nature Centre"); !founded)
        return fail(founded.error());
    for (const char* initials : kPeople) {
        auto person = station.person(initials);
        if (!person)
            return fail(person.error());
        m_people.push_back(person->id);
    }
    for (const Spot& spot : kSpots) {
        place::Position position;
        position.latE7 = spot.latE7;
        position.lonE7 = spot.lonE7;
        position.uncertaintyMm = 10'000;
        position.origin = place::Position::Origin::Typed;
        auto site = station.site({spot.name, position, 80'000});
        if (!site)
            return fail(site.error());
        m_sites.push_back(site->id.text());
    }
    return {};
}

Result<void> Season::receiveSheet() {
    const auto run = m_sheet ? tag::makeRun(m_sheet->scheme, m_sheet->first + kSheet, kSheet)
                             : tag::parseRun("RKA 000", kSheet);
    if (!run)
        return fail(run.error());
    if (auto received = m_services->stock.receive({run->at(0).text(), kSheet, {}, 5}); !received)
        return fail(received.error());
    m_sheet = *run;
    m_used = 0;
    ++m_report.sheets;
    return {};
}

Result<std::string> Season::nextCode() {
    if (!m_freed.empty()) {
        std::string code = std::move(m_freed.back());
        m_freed.pop_back();
        return code;
    }
    if (!m_sheet || m_used == kSheet)
        if (auto received = receiveSheet(); !received)
            return fail(received.error());
    return m_sheet->at(m_used++).text();
}

void Season::closedByNext() {
    if (!m_open)
        return;
    ++m_report.released;
    remember(std::move(m_open->code));
    m_open.reset();
}

Result<void> Season::letOpenGo() {
    if (!m_open)
        return {};
    if (auto released = m_services->tagging.release(m_open->id.text()); !released)
        return fail(released.error());
    closedByNext();
    return {};
}

Result<void> Season::letCageGo() {
    if (m_cage.empty())
        return {};
    std::vector<InHand> staying;
    const bool isLast = onTheirWay() >= m_options.releases;
    if (!isLast && m_cage.size() > 2 && m_dice.chance(100)) {
        staying.push_back(std::move(m_cage.back()));
        m_cage.pop_back();
    }
    std::vector<std::string> except;
    for (const InHand& one : staying)
        except.push_back(one.id.text());
    if (auto released = m_services->tagging.releaseCage("", except); !released)
        return fail(released.error());
    if (!isLast && m_cage.size() > 2 && m_dice.chance(50)) {
        // Seen only afterwards: one sat on in a corner.
        pass();
        InHand left = std::move(m_cage.back());
        m_cage.pop_back();
        if (auto said = m_services->tagging.exceptAfterwards(left.id.text(), Tagging::Except::Stayed); !said)
            return fail(said.error());
        staying.push_back(std::move(left));
    }
    for (InHand& one : m_cage) {
        ++m_report.released;
        remember(std::move(one.code));
    }
    m_cage = std::move(staying);
    return {};
}

Result<void> Season::untagged() {
    // Without an open one, lest it be taken for that.
    if (auto gone = letOpenGo(); !gone)
        return gone;
    pass();
    const bool isWild = m_dice.chance(kWild);
    const auto done = m_services->tagging.untagged(
        std::nullopt, {m_dice.chance(500) ? "worn" : "hurt", sexOf(isWild), isWild ? "wild" : "reared"});
    return done ? Result<void>() : fail(done.error());
}

Result<void> Season::recaptured() {
    Tagging::Recapture what;
    const bool isForeign =
        m_foreign < kMostForeign && m_dice.chance(kForeign * 1000 / (kForeign + kRecaptured));
    if (isForeign) {
        ++m_foreign;
        what.code = "ZQ" + std::string(1, static_cast<char>('A' + m_dice.below(26))) + " " +
                    std::to_string(100 + m_dice.below(900));
        what.origin = "wild";
    } else if (!m_let.empty()) {
        what.code = m_let[m_dice.below(m_let.size())];
    } else {
        return {};
    }
    what.sex = sexOf(true);
    what.measures.wear = static_cast<std::int64_t>(1 + m_dice.below(5));
    what.measures.wearScale = "1-5";
    if (auto done = m_services->tagging.recaptured(what); !done)
        return fail(done.error());
    closedByNext();
    return {};
}

Result<void> Season::afterNote(const Tagging::Noted& noted, const std::string& sex) {
    Tagging& tagging = m_services->tagging;
    const std::string id = noted.butterfly.text();
    m_open = InHand{noted.butterfly, noted.code.text()};
    if (m_dice.chance(kSpoiled)) {
        const auto next = nextCode();
        if (!next)
            return fail(next.error());
        if (auto done = tagging.spoiled(id, *next); !done)
            return fail(done.error());
        m_open->code = *next;
        pass();
    }
    if (m_dice.chance(kCorrected)) {
        const auto corrected = m_services->amending.correct(
            noted.saved.lines.back().id, "sex", sex == "female" ? "male" : "female", "looked again");
        if (!corrected)
            return fail(corrected.error());
        pass();
    }
    const std::uint64_t fate = m_dice.below(1000);
    if (fate < kEscapedBare + kEscapedTagged) {
        const bool isTagged = fate >= kEscapedBare;
        if (auto done = tagging.escaped(id, isTagged ? Tagging::TagOn::Wing : Tagging::TagOn::Nothing); !done)
            return fail(done.error());
        if (isTagged)
            closedByNext();
        else
            m_freed.push_back(std::move(m_open->code));
        m_open.reset();
    } else if (fate < kEscapedBare + kEscapedTagged + kDied) {
        if (auto done = tagging.died(id, Tagging::TagOn::Wing); !done)
            return fail(done.error());
        m_open.reset();
    } else if (fate < kEscapedBare + kEscapedTagged + kDied + kHeld) {
        if (auto done = tagging.hold(id, "cage 1"); !done)
            return fail(done.error());
        m_cage.push_back(std::move(*m_open));
        m_open.reset();
    } else if (fate < kEscapedBare + kEscapedTagged + kDied + kHeld + kLetGoByTap) {
        return letOpenGo();
    }
    return {};
}

Result<void> Season::note() {
    const bool isWild = m_dice.chance(kWild);
    auto code = nextCode();
    if (!code)
        return fail(code.error());
    Tagging::Note note;
    note.code = *code;
    note.origin = isWild ? "wild" : "reared";
    note.sex = sexOf(isWild);
    if (m_dice.chance(50))
        note.tagger = m_people[m_dice.below(m_people.size())].text();
    if (m_dice.chance(kMeasured)) {
        // Mean and deviation of each sex: Ragonese and others 2024; read off a ruler to the millimetre.
        const std::int64_t um =
            note.sex == "female" ? 50'400 + m_dice.about0(2'300) : 51'400 + m_dice.about0(1'800);
        note.measures.forewingUm = (um + 500) / 1000 * 1000;
    }
    const auto before = m_open;
    auto noted = m_services->tagging.note(note);
    if (!noted)
        return fail(noted.error());
    pass();
    if (m_dice.chance(kUndone)) {
        // The same undo opens again the one that the note had closed.
        if (auto undone = m_services->amending.withdraw(noted->saved.act(), "wrong tap"); !undone)
            return fail(undone.error());
        m_open = before;
        m_freed.push_back(std::move(*code));
        return {};
    }
    closedByNext();
    return afterNote(*noted, note.sex);
}

Result<void> Season::butterfly() {
    stand();
    const std::uint64_t what = m_dice.below(1000);
    if (what < kUntagged)
        return untagged();
    if (what < kUntagged + kRecaptured + kForeign)
        return recaptured();
    return note();
}

Result<void> Season::session(std::int64_t index) {
    const std::int64_t sessions =
        std::max<std::int64_t>(1, (m_options.releases + kUsualOfSession - 1) / kUsualOfSession);
    const milliseconds all = kDays * kWorkingDay;
    const milliseconds worked = all.count() / sessions * index * milliseconds(1);
    const milliseconds ofDay = worked % kWorkingDay;
    const time::Instant start = firstMorning() + std::chrono::days(worked / kWorkingDay) + ofDay;
    m_clock.setTrueTime(std::max(m_clock.trueTime(), start));
    const auto size =
        static_cast<std::int64_t>(kFewestOfSession + m_dice.below(kMostOfSession - kFewestOfSession + 1));
    // A butterfly takes up to four taps; where many sessions share the season, they go faster than any hand.
    m_step = std::clamp<milliseconds>(all / sessions / (size + 10) / 4, milliseconds(1), kPace / 4);

    m_spot = m_dice.below(kSpots.size());
    auto persisting = m_services->session.persisting();
    persisting.site = m_sites[m_spot];
    persisting.tagger.clear();
    if (auto carried = m_services->session.carry(std::move(persisting)); !carried)
        return carried;
    m_services->writer.setRecorder(m_people[m_dice.below(m_people.size())]);
    const Weather weather{16'000 + static_cast<std::int64_t>(m_dice.below(120)) * 100,
                          static_cast<std::int64_t>(m_dice.below(60)) * 100,
                          static_cast<std::int64_t>(m_dice.below(21)) * 5, false};
    if (auto read = readWeather(m_services->writer, m_services->session, weather); !read)
        return fail(read.error());
    ++m_report.sessions;
    const time::Instant began = m_clock.trueTime();
    for (std::int64_t i = 0; i < size && onTheirWay() < m_options.releases; ++i) {
        pass();
        if (auto done = butterfly(); !done)
            return done;
        pass();
    }
    pass();
    if (auto gone = letOpenGo(); !gone)
        return gone;
    // Now and then they stay overnight, and go with those of the next session.
    if (onTheirWay() >= m_options.releases || !m_dice.chance(300)) {
        pass();
        if (auto gone = letCageGo(); !gone)
            return gone;
    }
    pass();
    const FieldSession::Effort effort{
        std::chrono::duration_cast<std::chrono::minutes>(m_clock.trueTime() - began).count(),
        static_cast<std::int64_t>(1 + m_dice.below(4)), ""};
    if (auto closed = m_services->session.close(effort); !closed)
        return fail(closed.error());
    return m_journal->idle();
}

Result<GenerateReport> Season::make() {
    if (auto opened = open(); !opened)
        return fail(opened.error());
    if (auto set = setUp(); !set)
        return fail(set.error());
    for (std::int64_t index = 0; m_report.released < m_options.releases; ++index)
        if (auto done = session(index); !done)
            return fail(done.error());
    const auto count = m_journal->projections().butterflyCount();
    if (!count)
        return fail(count.error());
    m_report.butterflies = *count;
    if (auto idle = m_journal->idle(); !idle)
        return fail(idle.error());
    return m_report;
}

} // namespace

Result<GenerateReport> generate(const GenerateOptions& options) {
    if (options.releases < 0 || options.releases > kMostReleases)
        return fail(Code::OutOfRange, "releases: 0 to 5000000");
    try {
        if (const auto there = ReplayPhone::standsInTheWay(options.journal))
            return fail(Code::Exists, there->string());
        return Season(options).make();
    } catch (const std::bad_alloc&) {
        return fail(Code::OutOfMemory);
    } catch (const std::exception& e) {
        return fail(Code::Io, e.what());
    }
}

} // namespace discal::services::sample
