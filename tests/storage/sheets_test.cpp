// No code is offered on two phones, however late they hear of each other: unless somebody took what another
// held.

#include "storage/journal_maker.h"

#include "crash/simulated_disk.h"

#include "catch_compat.hpp"

#include <algorithm>
#include <map>
#include <set>

using namespace discal;
using namespace discal::tests;
using journal::Uuid;
using storage::Journal;
using storage::Place;

namespace {

constexpr std::size_t kPhones = 3;
constexpr std::size_t kCodes = 6;

/// Three phones that pass sheets on, each hearing of the others only now and then.
class Phones {
public:
    explicit Phones(std::uint64_t seed) {
        for (std::size_t i = 0; i < kPhones; ++i) {
            const std::uint64_t keySeed = seed * 10 + i;
            m_journals.push_back(openWriter(Place("/disk/" + std::to_string(i) + ".discal",
                                                  m_folder.path() / std::to_string(i), m_disk.name()),
                                            keySeed));
            m_makers.emplace_back(*m_journals.back(), keySeed + 5);
            m_makers.back().started("phone " + std::to_string(i));
        }
    }

    /// One sheet's life.
    void live(std::uint64_t seed) {
        INFO("seed " << seed);
        Choices choices(seed);
        Life life;
        life.hasHandings = choices.chance(3, 4);
        life.letters = {'R', 'K', static_cast<char>('A' + m_lives / 10), ' '};
        life.base = 10 * (m_lives++ % 10);
        life.receiver = choices.below(kPhones);
        m_makers[life.receiver].sheetReceived(codeText(life, 0), kCodes);
        life.sheet = m_makers[life.receiver].subject();
        look(life, life.receiver);
        const std::size_t steps = 6 + choices.below(14);
        for (std::size_t i = 0; i < steps; ++i) {
            look(life, step(life, choices));
            checkOffers(life);
        }
        hearAll();
        for (std::size_t phone = 0; phone < kPhones; ++phone)
            look(life, phone);
        checkOffers(life);
        agree(life);
    }

private:
    struct Life {
        std::string letters;
        std::size_t base{0};
        Uuid sheet;
        std::size_t receiver{0};
        bool hasHandings{true};
        std::set<std::size_t>
            taken; ///< codes of any run that somebody took while he knew another as its holder
        bool isTakenByOther{false}; ///< such a take by another than the one who received the sheet
        bool isUsed[kCodes]{};
        bool isOffered[kPhones][kCodes]{};
    };

    std::string codeText(const Life& life, std::size_t i) {
        const std::string n = std::to_string(life.base + i);
        return life.letters + std::string(3 - n.size(), '0') + n;
    }

    void hear(std::size_t phone, std::size_t other) {
        if (phone != other)
            (void)good(m_journals[phone]->receive(
                delivery(*m_journals[other], m_journals[other]->device(), m_heard[phone][other] + 1)));
        m_heard[phone][other] = m_journals[other]->head().seq;
    }

    void hearAll() {
        for (std::size_t phone = 0; phone < kPhones; ++phone)
            for (std::size_t other = 0; other < kPhones; ++other)
                hear(phone, other);
    }

    std::string holderAt(std::size_t phone, const Life& life, std::size_t i) {
        const auto sheet = good(m_journals[phone]->projections().sheet(life.sheet.text()));
        return sheet ? sheet->holderOf(good(tag::Code::fromText(codeText(life, i)))) : std::string();
    }

    /// Returns whose journal it changed.
    std::size_t step(Life& life, Choices& choices) {
        const std::size_t phone = choices.below(kPhones);
        const std::size_t first = choices.below(kCodes);
        const std::size_t count = 1 + choices.below(kCodes - first);
        const std::string me = m_journals[phone]->device().text();
        JournalMaker& maker = m_makers[phone];
        switch (choices.below(12)) {
        case 0:
        case 1:
        case 2:
        case 3:
            hear(phone, choices.below(kPhones));
            break;
        case 4:
            // With the paper in hand but no line.
            if (!choices.chance(1, 2))
                break;
            for (std::size_t i = first; i < first + count; ++i)
                if (holderAt(phone, life, i) != me) {
                    life.taken.insert(i);
                    life.isTakenByOther |= phone != life.receiver;
                }
            maker.taken(life.sheet, codeText(life, first), static_cast<int>(count));
            break;
        case 5: {
            // On a butterfly.
            if (!good(m_journals[phone]->projections().isOfferedBy(
                    good(tag::Code::fromText(codeText(life, first))), m_journals[phone]->device())))
                break;
            if (!life.taken.contains(first))
                CHECK_FALSE(life.isUsed[first]); // never a code twice
            life.isUsed[first] = true;
            maker.note(codeText(life, first));
            break;
        }
        default: {
            // Handed on, or back: whole or in part; now and then what one doesn't hold.
            if (!life.hasHandings)
                break;
            std::size_t from = first;
            std::size_t n = count;
            if (!choices.chance(1, 10)) {
                while (from < kCodes && holderAt(phone, life, from) != me)
                    ++from;
                n = 0;
                while (from + n < kCodes && n < count && holderAt(phone, life, from + n) == me)
                    ++n;
                if (n == 0)
                    break;
            }
            maker.handed(life.sheet, codeText(life, from), static_cast<int>(n),
                         m_journals[choices.below(kPhones)]->device());
            break;
        }
        }
        return phone;
    }

    /// What the phone offers by its own journal.
    void look(Life& life, std::size_t phone) {
        Journal& journal = *m_journals[phone];
        for (std::size_t i = 0; i < kCodes; ++i)
            life.isOffered[phone][i] = good(journal.projections().isOfferedBy(
                good(tag::Code::fromText(codeText(life, i))), journal.device()));
    }

    /// Each phone judged in its own journal, for itself.
    void checkOffers(const Life& life) {
        for (std::size_t i = 0; i < kCodes; ++i) {
            if (life.taken.contains(i))
                continue;
            int offers = 0;
            for (const auto& byPhone : life.isOffered)
                offers += byPhone[i] ? 1 : 0;
            INFO("code " << codeText(life, i));
            CHECK(offers <= 1);
            if (life.isUsed[i])
                CHECK(offers == 0);
        }
    }

    /// All have all chains: one truth, and in it one holder at most.
    void agree(const Life& life) {
        const std::string dump = good(m_journals[0]->projections().dump());
        for (const auto& journal : m_journals)
            CHECK(difference(good(journal->projections().dump()), dump) == "");
        for (std::size_t i = 0; i < kCodes; ++i)
            CHECK(life.isOffered[0][i] + life.isOffered[1][i] + life.isOffered[2][i] <= 1);
        // A handing may have settled a take, or been on its way already. Without any the doubt must be there.
        if (!life.isTakenByOther || life.hasHandings)
            return;
        const auto doubts = good(m_journals[0]->projections().doubts());
        CHECK(std::any_of(doubts.begin(), doubts.end(), [&](const auto& d) {
            return d.doubt.rule == "sheet.taken" && d.doubt.subject == life.sheet.text() && !d.settled;
        }));
    }

    SideFolder m_folder;
    SimulatedDisk m_disk;
    std::vector<std::unique_ptr<Journal>> m_journals;
    std::vector<JournalMaker> m_makers;
    std::size_t m_lives{0};
    std::int64_t m_heard[kPhones][kPhones]{};
};

void liveMany(std::uint64_t firstSeed, std::uint64_t count) {
    constexpr std::uint64_t kAtOnce = 10;
    for (std::uint64_t seed = firstSeed; seed < firstSeed + count; seed += kAtOnce) {
        Phones phones(seed);
        for (std::uint64_t i = 0; i < kAtOnce; ++i)
            phones.live(seed + i);
    }
}

} // namespace

TEST_CASE("No code is offered by two phones", "[storage]") {
    liveMany(1, 500);
}

TEST_CASE("No code is offered by two phones, over ten thousand sheets", "[.long][storage]") {
    liveMany(100'001, 10'000);
}

namespace {

/// For stories told by hand.
struct Two {
    SideFolder folder;
    SimulatedDisk disk;
    std::unique_ptr<Journal> a = openWriter(Place("/disk/a.discal", folder.path() / "a", disk.name()), 1);
    std::unique_ptr<Journal> b = openWriter(Place("/disk/b.discal", folder.path() / "b", disk.name()), 2);
    JournalMaker makerA{*a, 1};
    JournalMaker makerB{*b, 2};
    tag::Code code = good(tag::Code::fromText("RKD 003"));

    Two() {
        makerA.started();
        makerB.started();
    }
    void tellB() { (void)good(b->receive(delivery(*a, a->device()))); }
    void tellA() { (void)good(a->receive(delivery(*b, b->device()))); }
    [[nodiscard]] bool offersA() { return good(a->projections().isOfferedBy(code, a->device())); }
    [[nodiscard]] bool offersB() { return good(b->projections().isOfferedBy(code, b->device())); }
    [[nodiscard]] bool hasDoubt(Journal& journal, const std::string& rule) {
        const auto doubts = good(journal.projections().doubts());
        return std::any_of(doubts.begin(), doubts.end(), [&](const auto& d) { return d.doubt.rule == rule; });
    }
};

} // namespace

TEST_CASE("The giver stops offering in the same commit, the taker begins when the line has come",
          "[storage]") {
    Two two;
    two.makerA.sheetReceived("RKD 001", 10);
    const Uuid sheet = two.makerA.subject();
    CHECK(two.offersA());
    two.makerA.handed(sheet, "RKD 001", 5, two.b->device());
    CHECK_FALSE(two.offersA());
    CHECK_FALSE(two.offersB());
    two.tellB();
    CHECK(two.offersB());
    CHECK(good(two.b->projections().sheetsHeldBy(two.b->device())).size() == 1);
    // And back.
    two.makerB.handed(sheet, "RKD 001", 5, two.a->device());
    CHECK_FALSE(two.offersB());
    two.tellA();
    CHECK(two.offersA());
    CHECK_FALSE(two.hasDoubt(*two.a, "sheet.taken"));
}

TEST_CASE("Who takes a run offers it, with a doubt until its holder agrees", "[storage]") {
    Two two;
    two.makerA.sheetReceived("RKD 001", 10);
    const Uuid sheet = two.makerA.subject();
    two.tellB();
    two.makerB.taken(sheet, "RKD 001", 5);
    CHECK(two.offersB());
    CHECK(two.hasDoubt(*two.b, "sheet.taken"));
    two.tellA();
    CHECK_FALSE(two.offersA());
    CHECK(two.hasDoubt(*two.a, "sheet.taken"));
    two.makerA.handed(sheet, "RKD 001", 5, two.b->device());
    two.tellB();
    CHECK(two.offersB());
    CHECK_FALSE(two.offersA());
    CHECK_FALSE(two.hasDoubt(*two.a, "sheet.taken"));
    CHECK_FALSE(two.hasDoubt(*two.b, "sheet.taken"));
}

TEST_CASE("One sheet entered on two phones is offered by neither once that is known", "[storage]") {
    Two two;
    SECTION("under one id") {
        const Uuid sheet = two.makerA.newId();
        two.makerA.sheetReceivedAs(sheet, "RKD 001", 10);
        two.makerB.sheetReceivedAs(sheet, "RKD 001", 10);
    }
    SECTION("under two ids") {
        two.makerA.sheetReceived("RKD 001", 10);
        two.makerB.sheetReceived("RKD 001", 10);
    }
    SECTION("overlapping by half") {
        two.makerA.sheetReceived("RKD 001", 10);
        two.makerB.sheetReceived("RKD 003", 10);
    }
    two.tellA();
    two.tellB();
    CHECK_FALSE(two.offersA());
    CHECK_FALSE(two.offersB());
    CHECK((two.hasDoubt(*two.a, "sheet.received-twice") || two.hasDoubt(*two.a, "sheet.overlaps")));
    CHECK(difference(good(two.a->projections().dump()), good(two.b->projections().dump())) == "");
}
