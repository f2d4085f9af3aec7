#include "catch_compat.hpp"
#include "cli/program.h"
#include "storage/writer_lock.h"

#include <algorithm>
#include <cstdio>
#include <fstream>
#include <sys/stat.h>

using namespace discal::tests;

namespace {

struct Wrong {
    std::vector<std::string> words;
    int exit;
    const char* says;
};

/// All verbs, as words.
const std::vector<std::vector<std::string>> kVerbs{{"note"},
                                                   {"hold"},
                                                   {"release"},
                                                   {"except"},
                                                   {"escaped"},
                                                   {"died"},
                                                   {"untagged"},
                                                   {"spoiled"},
                                                   {"retag"},
                                                   {"measure"},
                                                   {"recapture"},
                                                   {"correct"},
                                                   {"withdraw"},
                                                   {"doubts"},
                                                   {"settle"},
                                                   {"stock", "add"},
                                                   {"stock", "list"},
                                                   {"stock", "next"},
                                                   {"stock", "hand"},
                                                   {"stock", "take"},
                                                   {"stock", "return"},
                                                   {"stock", "spoil"},
                                                   {"stock", "missing"},
                                                   {"stock", "paper"},
                                                   {"stock", "give"},
                                                   {"station", "found"},
                                                   {"station", "enrol"},
                                                   {"station", "person"},
                                                   {"station", "site"},
                                                   {"station", "lot"},
                                                   {"station", "show"},
                                                   {"session", "close"},
                                                   {"session", "show"},
                                                   {"journal", "list"},
                                                   {"journal", "show"},
                                                   {"journal", "status"},
                                                   {"journal", "verify"},
                                                   {"journal", "dump"},
                                                   {"journal", "backup"},
                                                   {"journal", "salvage"},
                                                   {"place"},
                                                   {"flight"},
                                                   {"journal", "rebuild"},
                                                   {"journal", "erase"},
                                                   {"parcel", "write"},
                                                   {"parcel", "read"},
                                                   {"parcel", "verify"},
                                                   {"replay"},
                                                   {"generate"}};

} // namespace

TEST_CASE("Every verb has help with an example, and takes --json", "[cli]") {
    const Desk desk;
    for (auto words : kVerbs) {
        const std::string verb = words.size() > 1 ? words[0] + " " + words[1] : words[0];
        words.emplace_back("--help");
        const Ran ran = desk.bare(words);
        INFO(verb);
        CHECK(ran.exit == 0);
        CHECK(has(ran.out, "Example:\n  discalctl " + verb));
        CHECK(has(ran.out, "--json"));
    }
    CHECK(desk.bare({"--help"}).exit == 0);
    CHECK(desk.bare({"--version"}).exit == 0);
}

TEST_CASE("What can't be understood exits 2, and writes nothing", "[cli]") {
    const Desk desk;
    const std::vector<Wrong> table{
        {{}, 2, "A subcommand is required"},
        {{"stock"}, 2, "A subcommand is required"},
        {{"fly"}, 2, "A subcommand is required"},
        {{"note", "RKD 001"}, 2, "--sex is required"},
        {{"note", "--sex", "queen"}, 2, "--sex"},
        {{"note", "--sex", "male", "--wild", "--reared"}, 2, "excludes"},
        {{"note", "--sex", "male", "--wear", "2"}, 2, "requires"},
        {{"note", "--sex", "male", "--wear", "much", "--wear-scale", "1-5"}, 2, "--wear"},
        {{"note", "--sex", "male", "--colour", "orange"}, 2, "--colour"},
        {{"except", "RKD 001"}, 2, "--stayed"},
        {{"escaped", "RKD 001"}, 2, "--with-tag"},
        {{"escaped", "--with-tag", "--without-tag"}, 2, "--with-tag"},
        {{"untagged"}, 2, "--why is required"},
        {{"release", "RKD 001", "--cage", "tent"}, 2, "excludes"},
        {{"correct", "RKD 001"}, 2, "WHAT"},
        {{"settle", "KEY"}, 2, "required"},
        {{"stock", "add", "RKD 001"}, 2, "FIRST_COUNT"},
        {{"stock", "give", "RKD 001"}, 2, "--to is required"},
        {{"station", "enrol", "abc", "--role", "boss"}, 2, "--role"},
        {{"parcel", "write"}, 2, "OUT is required"},
        {{"parcel", "write", "x", "--from", "0"}, 2, "--from"},
        {{"generate", "--seed", "1"}, 2, "--releases is required"},
        {{"generate", "--releases", "many", "--seed", "1"}, 2, "--releases"},
        {{"replay"}, 2, "DIR is required"},
    };
    for (const auto& wrong : table) {
        const Ran ran = desk.bare(wrong.words);
        INFO((wrong.words.empty() ? "nothing" : wrong.words.front()) << ": " << ran.err);
        CHECK(ran.exit == wrong.exit);
        CHECK(has(ran.err, wrong.says));
        CHECK(ran.out.empty());
    }
    CHECK_FALSE(std::filesystem::exists(desk.journal()));
}

TEST_CASE("What is refused exits 1, with a reason that says what to do", "[cli]") {
    const Desk desk;
    for (const auto& reading : std::vector<std::vector<std::string>>{{"journal", "list"},
                                                                     {"journal", "status"},
                                                                     {"doubts"},
                                                                     {"stock", "list"},
                                                                     {"stock", "next"},
                                                                     {"station", "show"},
                                                                     {"session", "show"},
                                                                     {"journal", "backup", desk.path("x")}}) {
        const Ran ran = desk.run(reading);
        INFO(reading.front());
        CHECK(ran.exit == 1);
        CHECK(has(ran.err, "Not found: a journal at "));
        CHECK_FALSE(std::filesystem::exists(desk.journal()));
    }
    (void)desk.done({"stock", "add", "RKD 001", "3"});
    (void)desk.done({"note", "--sex", "female", "--wild"});
    (void)desk.done({"release"});
    const std::vector<Wrong> table{
        {{"note", "RK", "--sex", "male"}, 1, "That is not a tag code"},
        {{"note", "RK0 014", "--sex", "male"}, 1, "look at the tag again"},
        {{"note", "--sex", "male", "--site", "Nowhere"}, 1, "a site named Nowhere"},
        {{"note", "--sex", "male", "--lot", "Nothing"}, 1, "a rearing lot named Nothing"},
        {{"note", "--sex", "male", "--forewing", "broad"}, 1, "a number, such as 51.5 or 51,5"},
        {{"note", "--sex", "male", "--forewing", "0,2"}, 1, "forewing: 1 to 200 mm"},
        {{"note", "--sex", "male", "--wear", "9", "--wear-scale", "1-5"}, 1, "1 to 5"},
        {{"note", "--sex", "male", "--at-position", "91,0,5"}, 1, "not a place on Earth"},
        {{"note", "--sex", "male", "--at-position", "44.9,-93.1"}, 1, "LATITUDE,LONGITUDE,UNCERTAINTY"},
        {{"note", "--sex", "male", "--at-position", "44.9,-93.1,0"}, 1, "not a place on Earth"},
        {{"note", "--sex", "male", "--reared", "--at-position", "44.9,-93.1,5"}, 1, "when it is released"},
        {{"hold"}, 1, "No butterfly is in hand"},
        {{"hold", "RKD 002"}, 1, "a butterfly with RKD 002"},
        {{"release", "--cage", "tent"}, 1, "Nothing to do"},
        {{"except", "RKD 001", "--stayed", "--journal", desk.path("other.discal")}, 1, "RKD 001"},
        {{"measure", "RKD 001"}, 1, "nothing measured"},
        {{"correct", "RKD 001", "sex", "queen"}, 1, "one of female male unknown"},
        {{"correct", "RKD 001", "colour", "orange"}, 1, "one of these fields"},
        {{"correct", "RKD 001", "note", "text"}, 1, "measure CODE --note"},
        {{"correct", "RKD 001", "at", "yesterday"}, 1, "2026-09-05T14:03:20Z"},
        {{"correct", "019a0000-0000-7000-8000-000000000001", "sex", "male"}, 1, "Not found"},
        {{"withdraw", "019a0000-0000-7000-8000-000000000001"}, 1, "an act"},
        {{"withdraw", "RKD 001"}, 1, "the id of an act"},
        {{"settle", "code.used-twice code RKD 001", "--choice", "x", "--why", "y"}, 1, "office"},
        {{"stock", "add", "RKD 001", "many"}, 1, "the first code and how many"},
        {{"stock", "add", "RKD 001", "0"}, 1, "too many at once, or none"},
        {{"stock", "add", "ZZZ 999", "2"}, 1, "does not fit"},
        {{"stock", "hand", "RKD 001..RKD 003", "--to", "nobody"}, 1, "a device"},
        {{"stock", "hand", "RKD 003..RKD 001", "--to", std::string(26, 'a')}, 1, "does not fit"},
        {{"stock", "hand", "RKD 002..RKD 009", "--to", std::string(26, 'a')},
         1,
         "RKD 004-009 is not with this device"},
        {{"stock", "return"}, 1, "Nothing to do"},
        {{"stock", "missing", "RKD 001..", "--json"}, 1, "a run"},
        {{"station", "enrol", std::string(26, 'a'), "--role", "recorder"}, 1, "no station is founded"},
        {{"journal", "show", "RKD 003"}, 1, "a butterfly with RKD 003"},
        {{"journal", "erase", "--person", "ZZ", "--why", "x"}, 1, "a person with the initials ZZ"},
        {{"journal", "backup", desk.journal()}, 1, "already"},
        {{"parcel", "write", desk.journal()}, 1, "already"},
        {{"parcel", "write", desk.path("p"), "--from", "900"}, 1, "Nothing to write"},
        {{"parcel", "read", desk.path("nothing")}, 1, "Not found"},
    };
    for (const auto& wrong : table) {
        auto words = wrong.words;
        const bool isElsewhere = std::find(words.begin(), words.end(), "--journal") != words.end();
        const Ran ran = isElsewhere ? desk.bare(words) : desk.run(words);
        std::string typed;
        for (const auto& word : words)
            typed += word + " ";
        INFO(typed << "-> " << ran.exit << " " << ran.err);
        CHECK(ran.exit == wrong.exit);
        CHECK(has(ran.err, wrong.says));
        CHECK(ran.out.empty());
        CHECK_FALSE(has(ran.err, "!"));
    }
    // Nothing of all this left a line behind.
    CHECK(desk.json({"journal", "list"}).size() == 5);
    CHECK(desk.run({"parcel", "verify", desk.journal()}).exit == 2); // it takes no --journal
    CHECK(desk.bare({"parcel", "verify", desk.journal()}).exit == 1);
    CHECK(desk.bare({"replay", desk.path("nowhere")}).exit == 1);
    const Ran kept = desk.run({"generate", "--releases", "3", "--seed", "1"});
    CHECK(kept.exit == 1);
    CHECK(has(kept.err, "not touched"));
}

TEST_CASE("What was saved on the way to a refusal is said", "[cli]") {
    const Desk desk;
    const Ran ran = desk.run({"note", "RK", "--sex", "male", "--by", "KLM"});
    CHECK(ran.exit == 1);
    CHECK(has(ran.err, "That is not a tag code"));
    CHECK(has(ran.err, "Saved before that: Person KLM."));
    CHECK(desk.json({"station", "show"}).front().at("people").as_array().size() == 1);
}

TEST_CASE("A changed line is found, nothing is written to the damaged journal, and what is whole is saved",
          "[cli]") {
    const Desk desk;
    (void)desk.done({"stock", "add", "RKD 001", "5"});
    (void)desk.done({"note", "--sex", "female", "--wild"});
    (void)desk.done({"release"});
    std::string bytes = readFile(desk.journal());
    const auto at = bytes.find("\"sex\":\"female\"");
    REQUIRE(at != std::string::npos);
    bytes.replace(at, 14, "\"sex\":\"unsaid\"");
    std::ofstream(desk.journal(), std::ios::binary) << bytes;
    const Ran checked = desk.run({"journal", "verify"});
    CHECK(checked.exit == 1);
    CHECK(has(checked.err, "line 4 was changed, or one before it was"));
    CHECK(has(checked.err, "journal salvage OUT"));
    for (const auto& words : std::vector<std::vector<std::string>>{{"note", "--sex", "male"},
                                                                   {"journal", "backup", desk.path("copy")},
                                                                   {"parcel", "write", desk.path("own")}}) {
        const Ran ran = desk.run(words);
        INFO(words.front());
        CHECK(ran.exit == 1);
        CHECK(has(ran.err, "journal salvage OUT"));
    }
    CHECK(readFile(desk.journal()) == bytes);
    const Ran saved = desk.run({"journal", "salvage", desk.path("saved.discal")});
    CHECK(saved.exit == 1);
    CHECK(has(saved.err, "Lost of device "));
    CHECK(desk.bare({"journal", "verify", "--journal", desk.path("saved.discal")}).exit == 0);
    CHECK(desk.bare({"note", "RKD 002", "--sex", "male", "--journal", desk.path("saved.discal")}).exit == 0);
}

TEST_CASE("A file of something else is refused and stays as it is", "[cli]") {
    const Desk desk("notes.txt");
    const std::string before = "RKD 014 female\n";
    {
        std::FILE* file = std::fopen(desk.journal().c_str(), "w");
        REQUIRE(file != nullptr);
        std::fputs(before.c_str(), file);
        std::fclose(file);
    }
    const Ran ran = desk.run({"note", "--sex", "male"});
    CHECK(ran.exit == 1);
    CHECK(has(ran.err, "no journal of Discal"));
    CHECK(readFile(desk.journal()) == before);
}

TEST_CASE("While another program writes, reading verbs work and writing verbs say who has it", "[cli]") {
    const Desk desk;
    (void)desk.done({"stock", "add", "RKD 001", "5"});
    (void)desk.done({"note", "--sex", "female", "--wild"});
    const auto lock = discal::storage::WriterLock::acquire(desk.journal() + ".lock", "a field phone");
    REQUIRE(lock.has_value());
    for (const auto& writing :
         std::vector<std::vector<std::string>>{{"note", "--sex", "male"},
                                               {"release"},
                                               {"stock", "add", "RKE 001", "5"},
                                               {"withdraw"},
                                               {"journal", "rebuild"},
                                               {"station", "found", "Thistledown Ridge"},
                                               {"parcel", "write", desk.path("own")},
                                               {"session", "close"}}) {
        const Ran ran = desk.run(writing);
        INFO(writing.front());
        CHECK(ran.exit == 1);
        CHECK(has(ran.err, "being written by a field phone (" + std::to_string(::getpid()) + ")"));
        CHECK(has(ran.err, "nothing was changed"));
    }
    for (const auto& reading :
         std::vector<std::vector<std::string>>{{"journal", "list"},
                                               {"journal", "verify"},
                                               {"journal", "status"},
                                               {"journal", "dump"},
                                               {"journal", "show", "RKD 001"},
                                               {"stock", "list"},
                                               {"stock", "next"},
                                               {"doubts"},
                                               {"station", "show"},
                                               {"session", "show"},
                                               {"journal", "backup", desk.path("copy.discal")}}) {
        const Ran ran = desk.run(reading);
        INFO(reading.back() << ": " << ran.err);
        CHECK(ran.exit == 0);
    }
    CHECK(desk.json({"journal", "list"}).size() == 4);
}

TEST_CASE("A running writer's lines are read while it writes, in an order that only grows", "[cli]") {
    const Desk desk;
    Program writer(desk.folder(),
                   {"generate", "--releases", "100000", "--seed", "3", "--journal", desk.journal()});
    std::size_t before = 0;
    for (int rounds = 0; rounds < 3; ++rounds) {
        std::string seen;
        for (int waits = 0; waits < 600 && std::count(seen.begin(), seen.end(), '\n') < 40 * (rounds + 1);
             ++waits) {
            ::usleep(50'000);
            seen = writer.outSoFar();
        }
        const auto printed = static_cast<std::size_t>(std::count(seen.begin(), seen.end(), '\n'));
        REQUIRE(printed > before);
        const Ran listed = desk.run({"journal", "list", "--raw"});
        INFO(listed.err);
        REQUIRE(listed.exit == 0);
        CHECK(static_cast<std::size_t>(std::count(listed.out.begin(), listed.out.end(), '\n')) >= printed);
        const Ran busy = desk.run({"note", "--sex", "male"});
        CHECK(busy.exit == 1);
        CHECK(has(busy.err, "being written by"));
        before = printed;
    }
}

TEST_CASE("A journal in a folder that can't be written is read, and writing is refused", "[cli]") {
    if (::geteuid() == 0) {
        WARN("skipped: root may write everywhere");
        return;
    }
    const Desk desk;
    (void)desk.done({"stock", "add", "RKD 001", "5"});
    ::chmod(desk.folder().c_str(), 0500);
    const TemporaryFolder elsewhere;
    const Ran listed = Program(elsewhere.path(), {"journal", "list", "--journal", desk.journal()}).wait();
    const Ran noted =
        Program(elsewhere.path(), {"note", "--sex", "male", "--journal", desk.journal()}).wait();
    ::chmod(desk.folder().c_str(), 0700);
    CHECK(listed.exit == 0);
    CHECK(noted.exit == 1);
    CHECK(has(noted.err, "can't be written"));
}

TEST_CASE("Without --journal the user's own is used, and its folder is made when writing", "[cli]") {
    const Desk desk;
    const std::vector<std::string> home{"HOME=" + desk.path("home"), "XDG_DATA_HOME="};
    CHECK(desk.bare({"journal", "list"}, home).exit == 1);
    CHECK_FALSE(std::filesystem::exists(desk.path("home")));
    const Ran first = desk.bare({"stock", "add", "RKD 001", "5"}, home);
    CHECK(first.exit == 0);
    CHECK(has(first.err, "A new journal was begun: " + desk.path("home/.local/share/discal/journal.discal")));
    const Ran second = desk.bare({"stock", "next"}, home);
    CHECK(second.out == "RKD 001\n");
    CHECK(second.err.empty());
    const Ran data = desk.bare({"station", "person", "KLM"}, {"XDG_DATA_HOME=" + desk.path("data")});
    CHECK(data.exit == 0);
    CHECK(std::filesystem::exists(desk.path("data/discal/journal.discal")));
}

TEST_CASE("What opening found is said once: a copy, lines that are missing", "[cli]") {
    const Desk desk;
    (void)desk.done({"stock", "add", "RKD 001", "5"});
    for (const char* companion : {"", ".key", ".lock", ".mark"})
        std::filesystem::copy_file(desk.journal() + companion, desk.path("early.discal") + companion);
    for (int i = 0; i < 3; ++i)
        (void)desk.done({"station", "person", "A" + std::to_string(i)});

    // The earlier state comes back under the key and mark that stayed.
    for (const char* companion : {"-wal", "-shm", ".state", ".state-wal", ".state-shm"})
        std::filesystem::remove(desk.journal() + companion);
    std::filesystem::copy_file(desk.path("early.discal"), desk.journal(),
                               std::filesystem::copy_options::overwrite_existing);
    CHECK(desk.json({"journal", "status"}).front().at("missing").as_int64() == 3);
    const Ran first = desk.run({"station", "person", "KLM"});
    CHECK(first.exit == 0);
    CHECK(has(
        first.err,
        "This journal lacks 3 lines that were written on this device; it goes on under a new device id."));
    CHECK(desk.run({"station", "person", "PQR"}).err.empty());
    const auto status = desk.json({"journal", "status"}).front();
    CHECK(status.at("continues").as_object().at("why").as_string() == "behind mark");
    CHECK(status.at("others").as_array().size() == 1);

    const Ran copy = desk.bare({"station", "person", "KLM", "--journal", desk.path("early.discal")});
    CHECK(copy.exit == 0);
    CHECK(has(copy.err, "is a copy"));
}
