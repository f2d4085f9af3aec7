#include "catch_compat.hpp"
#include "cli/program.h"

using namespace discal::tests;

TEST_CASE("With --json every verb prints JSON objects, one a line, and nothing else on stdout", "[cli]") {
    const Desk desk;
    const Desk other("other.discal");
    const std::vector<std::vector<std::string>> calls{
        {"station", "found", "Thistledown Ridge Nature Centre"},
        {"station", "person", "KLM"},
        {"station", "site", "Long Meadow", "--position", "44.9541,-93.1022,15"},
        {"station", "lot", "Milkweed bed 3", "--stage", "egg", "--count", "4"},
        {"station", "enrol", std::string(26, 'a'), "--role", "visitor"},
        {"stock", "add", "RKD 001", "25"},
        {"stock", "next", "2"},
        {"note", "--sex", "female", "--wild", "--site", "Long Meadow", "--note",
         "\"quoted\"\nand a second line"},
        {"hold", "--cage", "tent"},
        {"note", "RKD 001", "--sex", "male"},
        {"spoiled", "--next", "RKD 009"},
        {"release"},
        {"release", "--all"},
        {"except", "RKD 001", "--died"},
        {"retag", "RKD 009"},
        {"measure", "RKD 009", "--wear", "0", "--wear-scale", "0-4"},
        {"note", "--sex", "male"},
        {"escaped", "--without-tag"},
        {"note", "--sex", "male"},
        {"died", "--tag-off"},
        {"untagged", "--why", "hurt"},
        {"recapture", "RKD 0?4", "--mark", "unreadable"},
        {"stock", "hand", "RKD 020..RKD 021", "--to", std::string(26, 'a')},
        {"stock", "take", "RKD 020"},
        {"stock", "spoil", "RKD 019"},
        {"stock", "missing", "RKD 018"},
        {"stock", "paper", "RKD 016..017"},
        {"stock", "give", "RKD 014", "2", "--to", "Ferncliff School"},
        {"stock", "list", "--tags"},
        {"correct", "RKD 009", "sex", "female"},
        {"doubts"},
        {"withdraw"},
        {"settle", "sheet.taken", "x", "--choice", "a", "--why", "b"},
        {"session", "show"},
        {"session", "close"},
        {"station", "show"},
        {"journal", "list"},
        {"journal", "list", "--raw"},
        {"journal", "show", "RKD 001"},
        {"journal", "status"},
        {"journal", "verify"},
        {"journal", "dump"},
        {"journal", "rebuild"},
        {"journal", "backup", desk.path("copy.discal")},
        {"journal", "salvage", desk.path("saved.discal")},
        {"journal", "erase", "--person", "KLM", "--why", "asked"},
        {"parcel", "write", desk.path("own")},
        {"parcel", "read", desk.path("own")},
    };
    for (auto words : calls) {
        words.emplace_back("--json");
        const Ran ran = desk.run(words);
        std::string typed;
        for (const auto& word : words)
            typed += word + " ";
        INFO(typed << "-> " << ran.exit << "\n" << ran.out << "\n" << ran.err);
        CHECK(ran.exit == (words[0] == "settle" ? 1 : 0));
        std::vector<boost::json::object> objects;
        CHECK_NOTHROW(objects = Desk::objects(ran.out));
        CHECK(objects.empty() == (words[0] == "settle"));
    }
    const Ran generated = other.run({"generate", "--releases", "2", "--seed", "5", "--json"});
    CHECK(generated.exit == 0);
    const auto lines = Desk::objects(generated.out);
    REQUIRE(lines.size() > 4);
    CHECK(lines.front().at("seq").as_int64() == 1);
    CHECK(lines.front().at("kind").as_string() == "device.started");
    CHECK(other.json({"journal", "status"}).front().at("sample").as_string() == "generated");
    CHECK(Desk::objects(desk.bare({"parcel", "verify", desk.path("own"), "--json"}).out).size() == 1);
}

TEST_CASE("A rebuilt state is the state that was there", "[cli]") {
    const Desk desk;
    (void)desk.done({"generate", "--releases", "40", "--seed", "11"});
    const std::string before = desk.done({"journal", "dump"});
    (void)desk.done({"journal", "rebuild"});
    const std::string after = desk.done({"journal", "dump"});
    // Rebuilding is a writing verb: it began a chain here only if the key was not this journal's.
    CHECK(before == after);
}

TEST_CASE("A backup is whole, and goes on under a device id of its own", "[cli]") {
    const Desk desk;
    (void)desk.done({"stock", "add", "RKD 001", "5"});
    (void)desk.done({"note", "--sex", "female", "--wild"});
    const std::string lines = desk.done({"journal", "list", "--raw"});
    (void)desk.done({"journal", "backup", desk.path("copy.discal")});
    CHECK(desk.bare({"journal", "list", "--raw", "--journal", desk.path("copy.discal")}).out == lines);
    const Ran note = desk.bare({"note", "RKD 002", "--sex", "male", "--journal", desk.path("copy.discal")});
    CHECK(note.exit == 0);
    CHECK(has(note.err, "goes on under a new device id"));
    CHECK(desk.done({"journal", "list", "--raw"}) == lines);
}
