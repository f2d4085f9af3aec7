#include "catch_compat.hpp"
#include "desk.h"

#include <algorithm>

using namespace discal;
using namespace discal::tests;

namespace {

tag::Run run(const std::string& first, std::uint32_t count) {
    return need(tag::parseRun(first, count));
}

tag::TagState stateOf(Desk& desk, const std::string& code) {
    return need(desk.projections().tag(need(tag::Code::fromText(code))));
}

std::string fateOf(Desk& desk, const std::string& code) {
    return std::string(textOf(stateOf(desk, code).fate));
}

bool isDoubted(Desk& desk, const std::string& key) {
    const auto keys = desk.doubts();
    return std::find(keys.begin(), keys.end(), key) != keys.end();
}

} // namespace

TEST_CASE("A code is offered once", "[services][stock]") {
    Desk desk;
    CHECK(desk.nextCode().empty());
    desk.receiveSheet("RKD 001", 3);
    std::vector<std::string> used;
    while (!desk.nextCode().empty())
        used.push_back(desk.note().code.text());
    CHECK(used == std::vector<std::string>{"RKD 001", "RKD 002", "RKD 003"});
    const auto none = desk.tagging().note({});
    REQUIRE_FALSE(none);
    CHECK(none.error().code == Code::NotFound);
}

TEST_CASE("Offering goes on from the code that was used last", "[services][stock]") {
    Desk desk;
    desk.receiveSheet("RKD 001", 10);
    desk.note("RKD 004");
    CHECK(desk.nextCode() == "RKD 005");
    CHECK(need(desk.stock().nextFree(4)).front().text() == "RKD 005");
    desk.restart();
    CHECK(desk.nextCode() == "RKD 005");
    // Over the end of the sheet, what was left out comes.
    desk.note("RKD 010");
    CHECK(desk.nextCode() == "RKD 001");
}

TEST_CASE("A tag that came off unused, or whose note was taken back, comes first", "[services][stock]") {
    Desk desk;
    desk.receiveSheet("RKD 001", 10);
    desk.note();
    need(desk.tagging().escaped(std::nullopt, services::Tagging::TagOn::Nothing));
    CHECK(desk.nextCode() == "RKD 001");
    desk.note();
    const auto second = desk.note();
    CHECK(desk.nextCode() == "RKD 003");
    need(desk.amending().withdraw(second.saved.act(), ""));
    CHECK(desk.nextCode() == "RKD 002");
}

TEST_CASE("Offering goes on at the code that was read off the paper", "[services][stock]") {
    Desk desk;
    const auto codes = [&](std::size_t count) {
        std::vector<std::string> out;
        for (const auto& code : need(desk.stock().nextFree(count)))
            out.push_back(code.text());
        return out;
    };
    const auto goOnAt = [&](const char* code) { desk.stock().goOnAt(need(tag::Code::fromText(code))); };
    using Codes = std::vector<std::string>;
    goOnAt("RKD 003");
    CHECK(desk.nextCode().empty());
    desk.receiveSheet("RKD 001", 6);
    CHECK(codes(9) == Codes{"RKD 003", "RKD 004", "RKD 005", "RKD 006", "RKD 001", "RKD 002"});
    desk.note("RKD 001");

    SECTION("also before a tag that came off unused, which then comes") {
        need(desk.tagging().escaped(std::nullopt, services::Tagging::TagOn::Nothing));
        goOnAt("RKD 004");
        CHECK(codes(3) == Codes{"RKD 004", "RKD 001", "RKD 005"});
        desk.note();
        CHECK(desk.nextCode() == "RKD 001");
    }
    SECTION("before or behind the last one used, until another is used") {
        goOnAt("RKD 004");
        CHECK(codes(2) == Codes{"RKD 004", "RKD 005"});
        goOnAt("RKD 003");
        CHECK(desk.nextCode() == "RKD 003");
        CHECK(codes(0).empty());
        desk.note("RKD 005");
        CHECK(desk.nextCode() == "RKD 006");
    }
    SECTION("on another sheet, and on from there") {
        desk.receiveSheet("RKE 001", 3);
        goOnAt("RKE 002");
        CHECK(desk.nextCode() == "RKE 002");
        desk.note();
        CHECK(desk.nextCode() == "RKE 003");
    }
    SECTION("not at one that is used, or not ours") {
        for (const char* code : {"RKD 001", "RKZ 001"}) {
            goOnAt(code);
            CHECK(codes(2) == Codes{"RKD 002", "RKD 003"});
        }
    }
}

TEST_CASE("What was spoiled, used on paper, missing or given away is not offered", "[services][stock]") {
    Desk desk;
    desk.receiveSheet("RKD 001", 10);
    need(desk.stock().spoil(need(tag::Code::fromText("RKD 001"))));
    need(desk.stock().usedOnPaper(run("RKD 002", 2)));
    need(desk.stock().missing(run("RKD 004", 1)));
    need(desk.stock().giveAway(run("RKD 005", 3), "a school in Viroqua"));
    CHECK(fateOf(desk, "RKD 001") == "spoiled");
    CHECK(fateOf(desk, "RKD 003") == "paper");
    CHECK(fateOf(desk, "RKD 004") == "missing");
    CHECK(fateOf(desk, "RKD 007") == "given");
    CHECK(desk.nextCode() == "RKD 008");
    CHECK(desk.doubts().empty());
}

TEST_CASE("What can't be read as a code is refused with the legal form", "[services][stock]") {
    Desk desk;
    desk.receiveSheet();
    for (const char* typed : {"RKD 01", "RKD", "", "RKD 014 015", "R!D 014"}) {
        services::Tagging::Note note;
        note.code = typed;
        const auto refused = desk.tagging().note(note);
        INFO(typed);
        REQUIRE_FALSE(refused);
        if (refused.error().code == Code::NotACode)
            CHECK(refused.error().detail.find("AAA 000") != std::string::npos);
    }
    const auto tooFew = desk.stock().read("RK 014!");
    REQUIRE_FALSE(tooFew);
    CHECK(tooFew.error().code == Code::NotACode);
    CHECK(tooFew.error().detail == need(tag::Scheme::fromPattern("AAA000")).legalForm());
}

TEST_CASE("A look-alike is repaired where one reading is left, and asked about where several are",
          "[services][stock]") {
    Desk desk;
    desk.receiveSheet();
    services::Tagging::Note note;
    note.code = "rkd o14";
    const auto repaired = need(desk.tagging().note(note));
    CHECK(repaired.code.text() == "RKD 014");
    CHECK(repaired.repaired);
    note.code = "RKD 015";
    CHECK_FALSE(need(desk.tagging().note(note)).repaired);
    note.code = "RK0 016";
    const auto asked = desk.tagging().note(note);
    REQUIRE_FALSE(asked);
    CHECK(asked.error().code == Code::AmbiguousCode);
    CHECK(asked.error().detail.find("RKO016") != std::string::npos);
    CHECK(asked.error().detail.find("RKD016") != std::string::npos);
}

TEST_CASE("A code as printed reads alike whatever other schemes there are", "[services][stock]") {
    Desk desk;
    desk.receiveSheet("RKD 001", 25);
    need(desk.stock().receive({"AB 1000", 25, {}, 0}));
    need(desk.stock().receive({"XYA 001", 25, "AAA000-IO", 0}));
    CHECK(need(desk.stock().read("ab-1003")).code.text() == "AB 1003");
    CHECK(need(desk.stock().read(" RKD014. ")).code.text() == "RKD 014");
    CHECK(need(desk.stock().read("xya 010")).code.text() == "XYA 010");
    // Somebody else's, of a shape that is in no sheet.
    CHECK(need(desk.stock().read("MWMW 77")).code.text() == "MWMW 77");
}

TEST_CASE("A handed run is offered by the taker alone, and comes back", "[services][stock]") {
    Desk giver("A");
    Desk taker("B");
    giver.receiveSheet("RKD 001", 25);
    const auto handed = need(giver.stock().hand(run("RKD 001", 5), taker.journal().device()));
    CHECK(handed.lines.size() == 1);
    CHECK(giver.nextCode() == "RKD 006");
    CHECK(taker.nextCode().empty());
    exchange(giver, taker);
    CHECK(taker.nextCode() == "RKD 001");
    const auto noted = taker.note();
    CHECK(noted.doubts.empty());

    const auto tooMuch = giver.stock().hand(run("RKD 004", 5), taker.journal().device());
    REQUIRE_FALSE(tooMuch);
    CHECK(tooMuch.error().code == Code::NotAllowed);
    const auto toSelf = giver.stock().hand(run("RKD 010", 5), giver.journal().device());
    REQUIRE_FALSE(toSelf);
    CHECK(toSelf.error().code == Code::NotAllowed);

    need(taker.stock().giveBack(run("RKD 001", 5)));
    CHECK(taker.nextCode().empty());
    exchange(taker, giver);
    const auto free = need(giver.stock().nextFree(30));
    REQUIRE(free.size() == 24); // all but the one that was used
    CHECK(fateOf(giver, "RKD 001") == "on");
    CHECK(giver.doubts().empty());
}

TEST_CASE("A run that was handed on twice goes back to the one who handed it here", "[services][stock]") {
    // 2026-11: it went to the one who had received the sheet, past the one who stood waiting for it.
    Desk a("A");
    Desk b("B");
    Desk c("C");
    const auto holderOf = [](Desk& desk, const std::string& code) { return stateOf(desk, code).holder; };
    a.receiveSheet("RKD 001", 25);
    need(a.stock().hand(run("RKD 001", 10), b.journal().device()));
    need(a.stock().hand(run("RKD 011", 5), c.journal().device()));
    exchange(a, b);
    need(b.stock().hand(run("RKD 001", 5), c.journal().device()));
    exchange(b, c);

    // Of two givers each gets its own, in one tap.
    const auto back = need(c.stock().giveBack(run("RKD 001", 15)));
    CHECK(back.lines.size() == 2);
    CHECK(back.lines.front().act == back.lines.back().act);
    CHECK(holderOf(c, "RKD 001") == b.journal().device().text());
    CHECK(holderOf(c, "RKD 011") == a.journal().device().text());
    exchange(c, b);
    exchange(c, a);

    // What came back came from nobody: it is still the first one's to whom the second returns it.
    CHECK(b.nextCode() == "RKD 001");
    need(b.stock().giveBack(run("RKD 001", 10)));
    exchange(b, a);
    CHECK(holderOf(a, "RKD 001") == a.journal().device().text());
    const auto nothing = a.stock().giveBack(run("RKD 001", 25));
    REQUIRE_FALSE(nothing);
    CHECK(nothing.error().code == Code::NothingToDo);
    CHECK(a.doubts().empty());
}

TEST_CASE("A tag is handed back to the one that it was taken from without a line", "[services][stock]") {
    Desk a("A");
    Desk b("B");
    a.receiveSheet("RKD 001", 25);
    exchange(a, b);
    need(b.stock().take(run("RKD 001", 5)));
    need(b.stock().giveBack(run("RKD 001", 5)));
    CHECK(stateOf(b, "RKD 001").holder == a.journal().device().text());
}

TEST_CASE("Paper in hand without a line is a doubt until the holder agrees", "[services][stock]") {
    Desk holder("A");
    Desk taker("B");
    holder.receiveSheet("RKD 001", 25);
    need(taker.stock().take(run("RKD 021", 5)));
    CHECK(taker.nextCode() == "RKD 021");
    const auto noted = taker.note();
    CHECK(noted.code.text() == "RKD 021");
    exchange(holder, taker);
    exchange(taker, holder);
    CHECK_FALSE(holder.doubts().empty());
    CHECK(holder.doubts() == taker.doubts());
}

TEST_CASE("A used code is kept at once, with the doubt on both lines", "[services][stock]") {
    Desk desk;
    desk.receiveSheet();
    const auto first = desk.note("RKD 007");
    CHECK(first.doubts.empty());
    desk.pass(std::chrono::minutes(1));
    const auto second = desk.note("RKD 007");
    CHECK(second.doubts == std::vector<std::string>{"code.used-twice code RKD 007"});
    CHECK(need(desk.projections().marksOf(first.saved.lines.back().id)) == second.doubts);
    CHECK(need(desk.projections().marksOf(second.saved.lines.back().id)) == second.doubts);
    // Which one is meant has to be said by its id then.
    const auto unclear = desk.tagging().release("RKD 007");
    if (!unclear)
        CHECK(unclear.error().code == Code::NotAllowed);
    need(desk.tagging().release(second.butterfly.text()));
    CHECK(desk.fateOf(second.butterfly.text()) == "released");
}

TEST_CASE("A code in no sheet is kept at once, with a doubt that the sheet's arrival ends",
          "[services][stock]") {
    Desk desk;
    desk.receiveSheet("RKD 001", 25);
    const auto noted = desk.note("RKE 001");
    CHECK(noted.doubts == std::vector<std::string>{"code.not-in-stock code RKE 001"});
    CHECK(isDoubted(desk, "code.not-in-stock code RKE 001"));
    desk.receiveSheet("RKE 001", 25);
    CHECK(desk.doubts().empty());
    CHECK(desk.nextCode() == "RKE 002");
}

TEST_CASE("Somebody else's tag is kept at once, with a doubt; used by both, on both lines",
          "[services][stock]") {
    Desk holder("A");
    Desk other("B");
    holder.receiveSheet("RKD 001", 25);
    exchange(holder, other);
    const auto theirs = other.note("RKD 003");
    CHECK(theirs.doubts == std::vector<std::string>{"code.of-another-holder code RKD 003"});
    const auto ours = holder.note("RKD 003");
    exchange(holder, other);
    exchange(other, holder);
    for (Desk* desk : {&holder, &other}) {
        CHECK(isDoubted(*desk, "code.used-twice code RKD 003"));
        CHECK(isDoubted(*desk, "code.of-another-holder code RKD 003"));
        for (const auto& noted : {theirs, ours})
            CHECK_FALSE(need(desk->projections().marksOf(noted.saved.lines.back().id)).empty());
    }
}

TEST_CASE("One sheet received on two phones is offered by neither, once known", "[services][stock]") {
    Desk one("A");
    Desk two("B");
    one.receiveSheet("RKD 001", 25);
    two.receiveSheet("RKD 001", 25);
    CHECK(one.nextCode() == "RKD 001");
    exchange(two, one);
    CHECK(one.nextCode().empty());
    CHECK_FALSE(one.doubts().empty());
}
