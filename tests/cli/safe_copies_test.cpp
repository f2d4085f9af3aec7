// Copies beside the journal, as whoever types verbs meets them.

#include "cli/program.h"

#include "catch_compat.hpp"

#include <fstream>

using namespace discal::tests;

namespace {

namespace fs = std::filesystem;

std::vector<fs::path> copiesOf(const Desk& desk) {
    std::vector<fs::path> out;
    const fs::path folder = desk.journal() + ".copies";
    if (fs::is_directory(folder))
        for (const auto& entry : fs::directory_iterator(folder))
            out.push_back(entry.path());
    return out;
}

} // namespace

TEST_CASE("Closing a session leaves a copy beside the journal that opens as one", "[cli]") {
    const Desk desk;
    (void)desk.done({"stock", "add", "RKD 001", "10"});
    (void)desk.done({"note", "--sex", "female", "--wild", "--by", "QXW"});
    (void)desk.done({"release"});
    CHECK(copiesOf(desk).empty());
    (void)desk.done({"session", "close", "--minutes", "10"});
    REQUIRE(copiesOf(desk).size() == 1);
    const std::string copy = copiesOf(desk).front().string();
    CHECK(desk.bare({"journal", "list", "--raw", "--journal", copy}).out ==
          desk.done({"journal", "list", "--raw"}));
    REQUIRE(readFile(copy).find("QXW") != std::string::npos);

    // Erasing reaches it, and leaves no file beside it.
    (void)desk.done({"journal", "erase", "--person", "QXW", "--why", "asked"});
    CHECK(readFile(copy).find("QXW") == std::string::npos);
    CHECK(copiesOf(desk).size() == 1);
    CHECK(desk.bare({"journal", "verify", "--journal", copy}).exit == 0);
}

TEST_CASE("A copy that can't be made is a warning, and the verb is done", "[cli]") {
    const Desk desk;
    std::ofstream(desk.journal() + ".copies") << "a file in the way";
    (void)desk.done({"stock", "add", "RKD 001", "10"});
    (void)desk.done({"note", "--sex", "female", "--wild"});
    const Ran closed = desk.run({"session", "close", "--json"});
    CHECK(closed.exit == 0);
    CHECK(has(closed.err, "What was written is saved, but the copy in " + desk.journal() + ".copies"));
    CHECK(Desk::objects(closed.out).size() == 1);
    CHECK(has(desk.done({"journal", "verify"}), "all whole."));
}

TEST_CASE("A generated season makes no copies", "[cli]") {
    const Desk desk;
    (void)desk.done({"generate", "--releases", "60", "--seed", "1"});
    CHECK_FALSE(fs::exists(desk.journal() + ".copies"));
}
