#include "catch_compat.hpp"
#include "cli/program.h"
#include "newer_line.h"

using namespace discal::tests;
namespace journal = discal::journal;
namespace json = boost::json;
namespace storage = discal::storage;

namespace {

std::string textIn(const json::object& object, const char* member) {
    return std::string(object.at(member).as_string());
}

/// Counts of the one sheet by fate.
std::int64_t tags(const Desk& desk, const char* fate) {
    return desk.json({"stock", "list"}).front().at(fate).as_int64();
}

} // namespace

TEST_CASE("A whole day at Thistledown Ridge by commands adds up", "[cli]") {
    const Desk desk;
    CHECK(has(desk.done({"station", "found", "Thistledown Ridge Nature Centre"}), "first office"));
    CHECK(has(
        desk.done({"station", "site", "Long Meadow", "--position=44.9541,-93.1022,15", "--radius", "150"}),
        "44.9541, -93.1022 (within 15 m)"));
    (void)desk.done({"station", "lot", "Milkweed bed 3", "--stage", "larva", "--count", "18"});
    CHECK(has(desk.done({"station", "lot", "Milkweed bed 3", "--stage", "pupa", "--count", "17"}),
              "counted: 17 as pupa"));
    CHECK(has(desk.done({"stock", "add", "RKD 001", "25", "--per-row", "5"}),
              "RKD 001-025 taken into stock, 25 tags."));
    CHECK(desk.done({"stock", "next", "2"}) == "RKD 001\nRKD 002\n");

    // Two that emerged overnight go into the cage; the second was never closed by hand.
    const std::string first = desk.done({"note", "--sex", "female", "--reared", "--lot", "Milkweed bed 3",
                                         "--by", "KLM", "--site", "Long Meadow", "--forewing", "51,5"});
    CHECK(has(first, "RKD 001 noted, female, reared, from lot Milkweed bed 3"));
    CHECK(has(first, "forewing 51.5 mm"));
    CHECK(has(first, "Saved; only on this device."));
    CHECK(
        has(desk.done({"hold", "--cage", "tent"}), "RKD 001 held in cage tent. Saved; only on this device."));
    const std::string second = desk.done({"note", "--sex", "male"});
    CHECK(has(second, "RKD 002 noted, male, reared"));
    CHECK(has(second, "As before: reared, Long Meadow and recorder KLM."));
    (void)desk.done({"hold", "RKD", "002"});

    // A netted one, its code typed with a letter O; the tag before it is ruined on the way.
    const std::string third = desk.done({"note", "rkd o03", "--sex", "unknown", "--wild", "--at-position",
                                         "44,9550; -93,1030; 12,5", "--wear", "2", "--wear-scale", "1-5"});
    // The site first, then what is around it: St. Paul is the seat of Ramsey County.
    CHECK(has(third, "RKD 003 noted, sex unknown, wild, taken at Long Meadow, "));
    CHECK(has(third, " of Saint Paul, Ramsey County, Minnesota, 44.955, -93.103 (within 12.5 m), wear 2 of 1-5"));
    CHECK(has(third, "read as RKD 003; look at the tag once more."));
    CHECK(has(desk.done({"spoiled"}), "RKD 003 spoiled, the butterfly gets RKD 004."));
    const std::string released = desk.done({"release", "--hand", "JT"});
    CHECK(has(released, "RKD 004 released at Long Meadow, "));
    CHECK(has(released, " of Saint Paul, Ramsey County, Minnesota, from the hand of JT"));
    CHECK(has(desk.done({"correct", "RKD 004", "released-by", "KLM"}), "was JT and is KLM now"));
    CHECK(has(desk.done({"measure", "RKD004", "--mated", "yes", "--parasite-sample", "17", "--note",
                         "left wing torn"}),
              "mated, parasite sample 17, note: left wing torn"));
    CHECK(has(desk.done({"untagged", "--why", "worn", "--sex", "male", "--wild"}),
              "without a tag, because worn, male, wild"));
    CHECK(has(desk.done({"note", "--sex", "male", "--wild"}), "RKD 005 noted"));
    CHECK(has(desk.done({"escaped", "--without-tag"}), "flew without a tag"));
    CHECK(has(desk.done({"note", "--sex", "male", "--wild"}), "RKD 005 noted"));
    CHECK(has(desk.done({"escaped", "--with-tag"}), "RKD 005 flew with its tag on"));
    CHECK(has(desk.done({"note", "--sex", "female", "--wild"}), "RKD 006 noted"));
    CHECK(has(desk.done({"died"}), "RKD 006 died, its tag on"));
    CHECK(has(desk.done({"retag", "RKD 004", "--next", "RKD 010"}), "RKD 010 put on as a further tag"));

    // The cage is let go; one stayed, as was seen afterwards.
    const auto flown = desk.json({"release", "--cage", "tent"}).front();
    CHECK(flown.at("released").as_int64() == 2);
    CHECK(has(desk.done({"except", "RKD", "002", "--stayed"}), "RKD 002 stayed in its cage"));
    CHECK(has(desk.done({"release", "--all"}), "1 butterfly released from all cages"));

    const std::string again = desk.done({"recapture", "RKD 001", "--mark", "worn", "--sex", "female"});
    CHECK(has(again, "RKD 001 recaptured, tag worn, female at Long Meadow"));
    CHECK(has(again, "It was noted on "));
    CHECK(has(desk.done({"recapture", "QXZ 881", "--wild"}),
              "No line in this journal says when it was tagged."));

    // A second thought, and taking one back.
    const std::string corrected =
        desk.done({"correct", "RKD", "004", "sex", "female", "--why", "looked at the photo"});
    CHECK(has(corrected, "sex was unknown and is female now; both stay in the journal."));
    CHECK(
        has(desk.done({"withdraw"}), "Taken back: RKD 010 corrected: sex is female (looked at the photo)."));
    CHECK(has(desk.done({"correct", "RKD 004", "forewing", "49,25"}), "is 49.25 mm now"));

    (void)desk.done({"stock", "missing", "RKD 021..RKD 022"});
    (void)desk.done({"stock", "paper", "RKD023..024"});
    (void)desk.done({"stock", "give", "RKD 025", "--to", "Ferncliff School"});
    (void)desk.done({"stock", "spoil", "RKD", "020"});
    CHECK(tags(desk, "on") == 6); // 001, 002, 004, 005, 006, 010
    CHECK(tags(desk, "spoiled") == 2);
    CHECK(tags(desk, "missing") == 2);
    CHECK(tags(desk, "paper") == 2);
    CHECK(tags(desk, "given") == 1);
    CHECK(tags(desk, "free") == 12);
    const auto listed = desk.json({"stock", "list", "--tags"}).front();
    CHECK(listed.at("tags").as_array().size() == 25);

    CHECK(desk.json({"session", "show"}).front().at("open").as_bool());
    CHECK(has(desk.done({"session", "close", "--minutes", "90", "--people", "2"}),
              "Session closed, 90 minutes, 2 people."));
    CHECK_FALSE(desk.json({"session", "show"}).front().at("open").as_bool());
    CHECK(desk.json({"doubts"}).empty());
    CHECK(has(desk.done({"journal", "verify"}), "all whole."));
}

TEST_CASE("A code that is on another butterfly is kept at once, said, and settled by an office", "[cli]") {
    const Desk desk;
    (void)desk.done({"stock", "add", "RKD 001", "5"});
    (void)desk.done({"note", "RKD 001", "--sex", "female", "--wild"});
    const auto twice = desk.json({"note", "RKD 001", "--sex", "male"}).front();
    REQUIRE(twice.at("doubts").as_array().size() == 1);
    CHECK(textIn(twice.at("doubts").as_array().front().as_object(), "says") ==
          "RKD 001 is already on another butterfly; both lines are kept and marked.");
    CHECK(has(desk.done({"journal", "list"}), "[to check: code used twice]"));
    CHECK(has(desk.done({"doubts"}),
              "RKD 001 is on two butterflies; both lines are kept and marked. [cannot be right]"));

    // Which of the two is meant has to be said.
    const Ran asked = desk.run({"hold", "RKD 001"});
    CHECK(asked.exit == 0); // the first was closed by the second note, so one only is in hand
    const Ran unclear = desk.run({"measure", "RKD 999", "--forewing", "50"});
    CHECK(unclear.exit == 1);

    const Ran early = desk.run({"settle", "code.used-twice code RKD 001", "--choice", "x", "--why", "y"});
    CHECK(early.exit == 1);
    CHECK(has(early.err, "an office device of the station settles doubts"));
    (void)desk.done({"station", "found", "Thistledown Ridge Nature Centre"});
    (void)desk.done({"settle", "code.used-twice", "code", "RKD", "001", "--choice", "the second is RKD 002",
                     "--why", "photo"});
    CHECK(desk.json({"doubts"}).empty());
    const auto all = desk.json({"doubts", "--all"});
    REQUIRE(all.size() == 1);
    CHECK(textIn(all.front(), "settled") == "the second is RKD 002");

    // Settled by what is true: with the code corrected nothing is left to check, settled or not.
    const auto id = textIn(twice.at("saved").as_array().back().as_object(), "id");
    (void)desk.done({"correct", id, "code", "RKD 002"});
    CHECK(desk.json({"doubts", "--all"}).empty());
}

TEST_CASE("A site named for a reared one holds for its release in a later call", "[cli]") {
    const Desk desk;
    (void)desk.done({"stock", "add", "RKD 001", "5"});
    (void)desk.done({"station", "site", "Long Meadow"});
    (void)desk.done({"station", "site", "Porch"});
    (void)desk.done({"note", "--sex", "male", "--wild", "--site", "Long Meadow"});
    (void)desk.done({"note", "--sex", "female", "--reared", "--site", "Porch"});
    CHECK(has(desk.done({"release"}), "RKD 002 released at Porch."));
}

TEST_CASE("A butterfly's story shows what was corrected with its old value", "[cli]") {
    const Desk desk;
    (void)desk.done({"stock", "add", "RKD 001", "5"});
    (void)desk.done({"note", "RKD 001", "--sex", "female", "--wild", "--by", "KLM"});
    (void)desk.done({"correct", "RKD 001", "sex", "male"});
    (void)desk.done({"release", "RKD 001"});
    const std::string story = desk.done({"journal", "show", "RKD", "001"});
    CHECK(has(story, "RKD 001 (on its wing); released, male, wild"));
    CHECK(has(story, "RKD 001 noted, female, wild"));
    CHECK(has(story, "sex was female, is male"));
    CHECK(has(story, "by KLM, this device"));
    const auto object = desk.json({"journal", "show", "RKD001"}).front();
    bool isTold = false;
    for (const auto& line : object.at("lines").as_array())
        if (const auto* changes = line.as_object().if_contains("changes"))
            isTold = textIn(changes->as_array().front().as_object(), "was") == "female";
    CHECK(isTold);
    CHECK(desk.run({"journal", "list", "--butterfly", "RKD", "001"}).exit == 0);
    CHECK(desk.json({"journal", "list", "--session"}).front().at("kind").as_string() == "session.opened");
}

TEST_CASE("Places and times of a butterfly are corrected by its code", "[cli]") {
    const Desk desk;
    (void)desk.done({"stock", "add", "RKD 001", "5"});
    (void)desk.done({"station", "site", "Long Meadow"});
    (void)desk.done({"station", "site", "Porch"});
    (void)desk.done({"note", "--sex", "male", "--wild", "--site", "Long Meadow"});
    (void)desk.done({"release"});
    CHECK(has(desk.done({"correct", "RKD", "001", "released", "--site", "Porch"}),
              "RKD 001: released was Long Meadow and is Porch now; both stay in the journal."));
    CHECK(has(desk.done({"correct", "RKD001", "taken", "--at-position=44.9541,-93.1022,15"}),
              "Saint Paul, Ramsey County, Minnesota, 44.9541, -93.1022 (within 15 m) now"));
    CHECK(has(desk.done({"correct", "RKD 001", "released-at", "2026-09-05T14:03:20Z"}),
              "is 2026-09-05T14:03:20.000Z now"));
    CHECK(has(desk.done({"journal", "show", "RKD 001"}), "place was Long Meadow, is Porch"));
    const Ran nowhere = desk.run({"correct", "RKD 001", "released", "Porch"});
    CHECK(nowhere.exit == 1);
    CHECK(has(nowhere.err, "released --site NAME"));
    const Ran misplaced = desk.run({"correct", "RKD 001", "sex", "--site", "Porch"});
    CHECK(misplaced.exit == 1);
    CHECK(has(misplaced.err, "are for places"));
    CHECK(desk.run({"correct", "RKD 001", "taken", "--site", "Nowhere"}).exit == 1);

    // One that the next note closed follows its own note.
    (void)desk.done({"note", "--sex", "male", "--wild"});
    (void)desk.done({"note", "--sex", "male", "--wild"});
    CHECK(has(desk.done({"correct", "RKD 002", "taken", "--site", "Porch"}),
              "was inferred from that, and follows"));
}

TEST_CASE("What is taken back is said in words, and can be brought back", "[cli]") {
    const Desk desk;
    (void)desk.done({"stock", "add", "RKD 001", "5"});
    (void)desk.done({"note", "--sex", "female", "--wild"});
    const auto released = desk.json({"release"}).front();
    const auto taken = desk.json({"withdraw", "--why", "wrong one"}).front();
    CHECK(textIn(taken, "says") == "Taken back: RKD 001 released.");
    CHECK(desk.json({"session", "show"}).front().at("here").as_array().size() == 1);
    const Ran again =
        desk.run({"withdraw", textIn(released.at("saved").as_array().back().as_object(), "id")});
    CHECK(again.exit == 1);
    CHECK(has(again.err, "taken back already"));
    const auto back =
        desk.json({"withdraw", textIn(taken.at("saved").as_array().back().as_object(), "act")}).front();
    CHECK(textIn(back, "says") == "Counts again: RKD 001 released.");
    CHECK(desk.json({"session", "show"}).front().at("here").as_array().empty());
}

TEST_CASE("A person's initials and notes are erased for good, and the chain stands", "[cli]") {
    const Desk desk;
    (void)desk.done({"stock", "add", "RKD 001", "5"});
    (void)desk.done({"note", "--sex", "female", "--wild", "--by", "QXW", "--note", "unusual-words-here"});
    CHECK(has(desk.done({"journal", "erase", "--person", "QXW", "--why", "asked for it"}),
              "erased here for good (2 texts)"));
    for (const char* companion : {"", "-wal", ".state", ".state-wal"}) {
        CHECK_FALSE(has(readFile(desk.journal() + companion), "QXW"));
        CHECK_FALSE(has(readFile(desk.journal() + companion), "unusual-words-here"));
    }
    CHECK(has(desk.done({"journal", "list"}), "(erased)"));
    CHECK(desk.run({"journal", "verify"}).exit == 0);
    CHECK(desk.run({"journal", "erase", "--person", "QXW", "--why", "again"}).exit == 1);
}

TEST_CASE("What a newer Discal wrote about is listed as such, and its tag is not offered", "[cli]") {
    const Desk desk;
    (void)desk.done({"stock", "add", "RKD 001", "5"});
    (void)desk.done({"note", "--sex", "female", "--wild"});
    (void)desk.done({"note", "--sex", "male", "--wild"});
    const auto idOf = [&](const char* code) {
        const auto shown = desk.json({"journal", "show", code}).front();
        return journal::Uuid::parse(textIn(shown.at("butterfly").as_object(), "id")).value();
    };
    const journal::Uuid first = idOf("RKD 001");
    const auto note = journal::Uuid::parse(textIn(
        desk.json({"journal", "show", "RKD 002"}).front().at("lines").as_array().front().as_object(), "id")).value();
    {
        auto journal = storage::Journal::openForWriting(storage::Place(desk.journal()), {});
        REQUIRE(journal);
        appendNewer(**journal, "butterfly.glued", 1, {first});
        appendNewer(**journal, "entry.corrected", 2, {}, {{"of", note.text()}});
        appendNewer(**journal, "moth.tagged", 1, {}, {{"code", "RKD 003"}});
    }
    CHECK(has(desk.done({"journal", "show", "RKD 001"}), "female, wild, needs a newer Discal\n"));
    CHECK(has(desk.done({"journal", "show", "RKD 001"}), "butterfly.glued (needs a newer Discal)"));
    CHECK(has(desk.done({"journal", "list", "--butterfly", "RKD 002"}), "[needs a newer Discal]"));
    for (const auto& line : desk.json({"journal", "list", "--butterfly", "RKD 002"}))
        if (textIn(line, "id") == note.text())
            CHECK(line.at("needs_newer").as_bool());
    CHECK(has(desk.done({"stock", "list"}), "3 need a newer Discal"));
    CHECK(has(desk.done({"stock", "list", "--tags"}), "RKD 003  free, with this device, needs a newer Discal"));
    CHECK(desk.json({"stock", "list"}).front().at("needs_newer").as_int64() == 3);
    CHECK(desk.done({"stock", "next"}) == "RKD 004\n");
}
