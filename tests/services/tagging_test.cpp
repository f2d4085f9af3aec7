#include "catch_compat.hpp"
#include "desk.h"

using namespace discal;
using namespace discal::tests;
using butterfly::Carried;
using butterfly::Fate;
using services::FieldSession;
using services::Tagging;
using std::chrono::hours;
using std::chrono::minutes;
using TagOn = Tagging::TagOn;

namespace {

/// Codes with what they are to the butterfly: "RKD 001 spoiled, RKD 002 on".
std::string codesOf(const butterfly::Butterfly& b) {
    std::string out;
    for (const Carried& c : b.codes) {
        out += (out.empty() ? "" : ", ") + c.code;
        switch (c.bond) {
        case Carried::Bond::On:
            out += " on";
            break;
        case Carried::Bond::Spoiled:
            out += " spoiled";
            break;
        case Carried::Bond::Free:
            out += " free";
            break;
        case Carried::Bond::Seen:
            out += " seen";
            break;
        }
    }
    return out;
}

std::string tagFate(Desk& desk, const std::string& code) {
    return std::string(textOf(need(desk.projections().tag(need(tag::Code::fromText(code)))).fate));
}

} // namespace

TEST_CASE("A butterfly is written down before its sticker is on", "[services][tagging]") {
    Desk desk;
    desk.receiveSheet();
    const auto recorder = need(desk.station().person("MH")).id;
    desk.writer().setRecorder(recorder);
    Tagging::Note note;
    note.sex = "female";
    note.origin = "wild";
    note.measures = {51'000, 2, "1-5", true, "T7", "on goldenrod"};
    const auto noted = need(desk.tagging().note(note));
    const auto b = desk.find("RKD 001");
    CHECK(b.fate == Fate::Noted);
    CHECK(b.isOpen());
    CHECK(b.sex == "female");
    CHECK(b.origin == "wild");
    CHECK(b.recorder == recorder.text());
    CHECK(b.tagger.empty());
    CHECK(journal::numberIn(b.measures, "forewing_um") == 51'000);
    CHECK(journal::numberIn(b.measures, "wear") == 2);
    CHECK(journal::textIn(b.measures, "wear_scale") == "1-5");
    CHECK(journal::claimIn(b.measures, "mated") == true);
    CHECK(journal::textIn(b.measures, "parasite_sample") == "T7");
    CHECK(journal::blobIn(b.measures, "note").has_value());
    CHECK(tagFate(desk, "RKD 001") == "on");
    // It survives the phone's death at once.
    desk.restart();
    CHECK(desk.fateOf("RKD 001") == "noted");
    need(desk.tagging().release(std::nullopt));
    CHECK(desk.fateOf("RKD 001") == "released");
    CHECK(noted.repaired == false);
}

TEST_CASE("What can't be a sex, an origin, a length or a scale is refused", "[services][tagging]") {
    Desk desk;
    desk.receiveSheet();
    const auto refusal = [&](auto change) {
        Tagging::Note note;
        change(note);
        const auto done = desk.tagging().note(note);
        REQUIRE_FALSE(done);
        return done.error().code;
    };
    CHECK(refusal([](auto& n) { n.sex = "f"; }) == Code::BadInput);
    CHECK(refusal([](auto& n) { n.origin = "bought"; }) == Code::BadInput);
    CHECK(refusal([](auto& n) { n.measures.forewingUm = 51; }) == Code::OutOfRange);
    CHECK(refusal([](auto& n) { n.measures.wear = 2; }) == Code::OutOfRange);
    CHECK(refusal([](auto& n) { n.measures.wear = 0, n.measures.wearScale = "1-5"; }) == Code::OutOfRange);
    CHECK(refusal([](auto& n) { n.measures.wear = 5, n.measures.wearScale = "0-4"; }) == Code::OutOfRange);
    CHECK(need(desk.projections().butterflyCount()) == 0);
    CHECK(desk.nextCode() == "RKD 001");
}

TEST_CASE("The next note closes the open one in the same tap, as inferred", "[services][tagging]") {
    Desk desk;
    desk.receiveSheet();
    desk.hearFix(5'000);
    desk.note();
    desk.pass(minutes(3));
    desk.hearFix(5'000, 435'600'000);
    const auto second = desk.note();
    REQUIRE(second.saved.lines.size() == 2);
    CHECK(second.saved.lines[0].kind == "butterfly.released");
    CHECK(second.saved.lines[0].act == second.saved.lines[1].act);
    const auto first = desk.find("RKD 001");
    CHECK(first.fate == Fate::Released);
    CHECK(first.isInferred);
    CHECK(first.earliest == "2026-09-05T13:30:00.000Z");
    CHECK(first.latest == "2026-09-05T13:33:00.000Z");
    // Where we are now says nothing of where it was let go.
    CHECK(first.released == first.taken);

    SECTION("into the cage, where that is the habit") {
        desk.carry([&](auto& p) { p.habit = FieldSession::Habit::IntoCage; });
        desk.carry([&](auto& p) { p.cage = "net cage"; });
        desk.pass(minutes(1));
        desk.note();
        const auto b = desk.find("RKD 002");
        CHECK(b.fate == Fate::Held);
        CHECK(b.cage == "net cage");
        CHECK(b.isInferred);
    }
    SECTION("not one of another phone") {
        Desk other("B");
        other.receiveSheet("RKE 001");
        other.note();
        exchange(other, desk);
        desk.pass(minutes(1));
        CHECK(desk.note().saved.lines.size() == 2);
        CHECK(desk.fateOf("RKE 001") == "noted");
        CHECK(desk.fateOf("RKD 002") == "released");
    }
    SECTION("a recapture closes it too") {
        desk.pass(minutes(1));
        need(desk.tagging().recaptured({"RKD 001", "readable", "male", "", {}}));
        CHECK(desk.fateOf("RKD 002") == "released");
    }
}

TEST_CASE("One left open overnight is released on the day it was noted", "[services][tagging]") {
    Desk desk;
    desk.receiveSheet();
    desk.note();
    desk.pass(hours(20));
    desk.note();
    const auto first = desk.find("RKD 001");
    CHECK(first.fate == Fate::Released);
    CHECK(first.releasedAt == "2026-09-05T13:30:00.000Z");
    CHECK(first.latest == "2026-09-06T09:30:00.000Z");
    desk.carry([&](auto& p) { p.habit = FieldSession::Habit::IntoCage; });
    desk.pass(hours(20));
    desk.note();
    CHECK(desk.find("RKD 002").heldSince == "2026-09-06T09:30:00.000Z");
}

TEST_CASE("A cage is let go in one act, except those named, and one undo takes it back",
          "[services][tagging]") {
    Desk desk;
    desk.receiveSheet();
    for (int i = 0; i < 5; ++i) {
        desk.note({}, "male", "reared");
        need(desk.tagging().hold(std::nullopt, "net cage"));
    }
    desk.note({}, "male", "reared");
    need(desk.tagging().hold(std::nullopt, "other cage"));
    const auto site = need(desk.station().site({"Goldenrod field", {}, 100'000}));
    desk.carry([&](auto& p) { p.site = site.id.text(); });
    const auto empty = desk.tagging().releaseCage("no such cage", {});
    REQUIRE_FALSE(empty);
    CHECK(empty.error().code == Code::NothingToDo);
    CHECK_FALSE(desk.tagging().releaseCage("net cage", {"RKD 025"}));

    const auto gone = need(desk.tagging().releaseCage("net cage", {"RKD 002", "RKD 004"}));
    REQUIRE(gone.lines.size() == 3);
    for (const auto& line : gone.lines)
        CHECK(line.act == gone.act());
    CHECK(desk.fateOf("RKD 001") == "released");
    CHECK(desk.fateOf("RKD 002") == "held");
    CHECK(desk.fateOf("RKD 004") == "held");
    CHECK(desk.fateOf("RKD 006") == "held"); // in the other cage
    CHECK(journal::textIn(desk.find("RKD 003").released, "site") == site.id.text());
    CHECK_FALSE(desk.find("RKD 003").isInferred);

    need(desk.amending().withdraw(*need(desk.amending().lastAct()), "too early"));
    CHECK(need(desk.projections().butterfliesWithFate(Fate::Held)).size() == 6);

    SECTION("exceptions can be said afterwards") {
        need(desk.tagging().releaseCage("net cage", {}));
        need(desk.tagging().exceptAfterwards("RKD 003", Tagging::Except::Stayed));
        need(desk.tagging().exceptAfterwards("RKD 005", Tagging::Except::Died));
        CHECK(desk.fateOf("RKD 001") == "released");
        const auto stayed = desk.find("RKD 003");
        CHECK(stayed.fate == Fate::Held);
        CHECK(stayed.cage == "net cage");
        CHECK(stayed.released.empty());
        CHECK(desk.fateOf("RKD 005") == "died");
        CHECK(tagFate(desk, "RKD 005") == "on");
        // It goes with the next ones.
        need(desk.tagging().releaseCage("", {}));
        CHECK(desk.fateOf("RKD 003") == "released");
        CHECK(desk.fateOf("RKD 006") == "released");
        CHECK(desk.doubts().empty());
    }
    SECTION("not of one that was never let go") {
        const auto refused = desk.tagging().exceptAfterwards("RKD 006", Tagging::Except::Stayed);
        REQUIRE_FALSE(refused);
        CHECK(refused.error().code == Code::NothingToDo);
    }
}

TEST_CASE("A spoiled tag: the same butterfly gets the next code", "[services][tagging]") {
    Desk desk;
    desk.receiveSheet();
    const auto noted = desk.note();
    need(desk.tagging().spoiled(std::nullopt, std::nullopt));
    auto b = desk.find("RKD 002");
    CHECK(b.id == noted.butterfly);
    CHECK(codesOf(b) == "RKD 001 spoiled, RKD 002 on");
    CHECK(b.fate == Fate::Noted);
    CHECK(tagFate(desk, "RKD 001") == "spoiled");
    CHECK(desk.nextCode() == "RKD 003");
    // Again, this time with a tag of one's choice, when it is already in the cage.
    need(desk.tagging().hold(std::nullopt, "net cage"));
    need(desk.tagging().spoiled("RKD 002", "RKD 010"));
    b = desk.find("RKD 010");
    CHECK(b.fate == Fate::Held);
    CHECK(codesOf(b) == "RKD 001 spoiled, RKD 002 spoiled, RKD 010 on");
    CHECK(desk.doubts().empty());
}

TEST_CASE("One that flew: with its tag on it is released, without one the tag is free",
          "[services][tagging]") {
    Desk desk;
    desk.receiveSheet();
    desk.note();
    need(desk.tagging().escaped(std::nullopt, TagOn::Wing));
    CHECK(desk.fateOf("RKD 001") == "released");
    CHECK(tagFate(desk, "RKD 001") == "on");
    const auto noted = desk.note();
    need(desk.tagging().escaped(std::nullopt, TagOn::Nothing));
    const auto b = desk.find(noted.butterfly.text());
    CHECK(b.fate == Fate::Escaped);
    CHECK(codesOf(b) == "RKD 002 free");
    CHECK(tagFate(desk, "RKD 002") == "free");
    CHECK(desk.note().code.text() == "RKD 002");
    CHECK(desk.doubts().empty());
}

TEST_CASE("A dead one keeps the tag on its wing; one that never went on is free", "[services][tagging]") {
    Desk desk;
    desk.receiveSheet();
    desk.note();
    need(desk.tagging().died(std::nullopt, TagOn::Wing));
    CHECK(desk.fateOf("RKD 001") == "died");
    CHECK(tagFate(desk, "RKD 001") == "on");
    desk.note();
    need(desk.tagging().died(std::nullopt, TagOn::Nothing));
    CHECK(desk.nextCode() == "RKD 002");
    // Afterwards nobody lets it go without a doubt.
    const auto dead = desk.find("RKD 001");
    need(desk.tagging().release("RKD 001"));
    CHECK(desk.doubts() == std::vector<std::string>{"butterfly.story-contradicted " + dead.id.text()});
}

TEST_CASE("A hurt or worn one is counted without a code", "[services][tagging]") {
    Desk desk;
    desk.receiveSheet();
    SECTION("never noted") {
        need(desk.tagging().untagged(std::nullopt, {"worn", "female", "wild"}));
        CHECK(need(desk.projections().butterflyCount()) == 1);
        const auto session = need(desk.projections().butterfliesOfSession(desk.session().current()->text()));
        REQUIRE(session.size() == 1);
        CHECK(session[0].fate == Fate::Untagged);
        CHECK(session[0].sex == "female");
        CHECK(session[0].origin == "wild");
        CHECK_FALSE(session[0].currentCode());
        CHECK(desk.nextCode() == "RKD 001");
    }
    SECTION("the open one: its tag is free again") {
        const auto noted = desk.note({}, "male");
        need(desk.tagging().untagged(std::nullopt, {"hurt", "unknown", ""}));
        const auto b = desk.find(noted.butterfly.text());
        CHECK(b.fate == Fate::Untagged);
        CHECK(b.sex == "male");
        CHECK(b.origin == "wild");
        CHECK(need(desk.projections().butterflyCount()) == 1);
        CHECK(desk.nextCode() == "RKD 001");
    }
    SECTION("with a reason") {
        const auto refused = desk.tagging().untagged(std::nullopt, {"tired", "unknown", ""});
        REQUIRE_FALSE(refused);
        CHECK(refused.error().code == Code::BadInput);
    }
}

TEST_CASE("A retagged one keeps both codes", "[services][tagging]") {
    Desk desk;
    desk.receiveSheet();
    const auto noted = desk.note();
    need(desk.tagging().release(std::nullopt));
    need(desk.tagging().retagged("RKD 001", std::nullopt));
    const auto b = desk.find("RKD 001");
    CHECK(b.id == noted.butterfly);
    CHECK(desk.find("RKD 002").id == noted.butterfly);
    CHECK(codesOf(b) == "RKD 001 on, RKD 002 on");
    CHECK(b.currentCode() == "RKD 002");
    CHECK(desk.nextCode() == "RKD 003");
    CHECK(desk.doubts().empty());
}

TEST_CASE("A recapture of a known one goes to its story", "[services][tagging]") {
    Desk desk;
    desk.receiveSheet();
    const auto noted = desk.note({}, "female");
    need(desk.tagging().release(std::nullopt));
    desk.pass(minutes(40));
    Tagging::Recapture what;
    what.code = "rkd-001";
    what.measures.wear = 3;
    what.measures.wearScale = "1-5";
    const auto again = need(desk.tagging().recaptured(what));
    CHECK(again.butterfly == noted.butterfly);
    REQUIRE(again.known);
    CHECK(again.known->sex == "female");
    CHECK(again.known->fate == Fate::Released);
    const auto b = desk.find("RKD 001");
    CHECK(b.recaptures == 1);
    CHECK(b.fate == Fate::Released);
    CHECK(b.sex == "female");
    CHECK(journal::numberIn(b.measures, "wear") == 3);
    CHECK(desk.doubts().empty());
    CHECK(need(desk.projections().butterflyCount()) == 1);
}

TEST_CASE("A recapture of a foreign one is a story of its own, and known the next time",
          "[services][tagging]") {
    Desk desk;
    desk.receiveSheet();
    const auto first = need(desk.tagging().recaptured({"ZQM 417", "readable", "male", "wild", {}}));
    CHECK_FALSE(first.known);
    const auto b = desk.find("ZQM 417");
    CHECK(b.fate == Fate::Seen);
    CHECK(codesOf(b) == "ZQM 417 seen");
    CHECK(b.currentCode() == "ZQM 417");
    const auto second = need(desk.tagging().recaptured({"ZQM 417", "readable", "male", "", {}}));
    CHECK(second.butterfly == first.butterfly);
    CHECK(desk.find("ZQM 417").recaptures == 2);
    CHECK(desk.doubts().empty());
}

TEST_CASE("A mark that is worn, unreadable or gone is kept as far as it could be read",
          "[services][tagging]") {
    Desk desk;
    desk.receiveSheet();
    desk.note();
    need(desk.tagging().release(std::nullopt));
    const auto worn = need(desk.tagging().recaptured({"RKD 0", "worn", "male", "", {}}));
    CHECK_FALSE(worn.known);
    const auto line = desk.lineOf(worn.saved.lines.back());
    CHECK(journal::textIn(line.body, "text") == "RKD 0");
    CHECK_FALSE(line.body.contains("code"));
    CHECK_FALSE(desk.find(worn.butterfly.text()).currentCode());
    const auto unreadable = need(desk.tagging().recaptured({std::nullopt, "unreadable", "female", "", {}}));
    CHECK(desk.fateOf(unreadable.butterfly.text()) == "seen");
    const auto gone = need(desk.tagging().recaptured({std::nullopt, "gone", "female", "", {}}));
    CHECK(gone.butterfly != unreadable.butterfly);
    // One that is said to be readable must be read.
    const auto refused = desk.tagging().recaptured({"RKD", "readable", "male", "", {}});
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == Code::NotACode);
    CHECK(desk.fateOf("RKD 001") == "released");
    CHECK(desk.doubts().empty());
}

TEST_CASE("One recaptured that was never let go in writing must have flown in between",
          "[services][tagging]") {
    Desk desk;
    desk.receiveSheet();
    desk.note();
    need(desk.tagging().hold(std::nullopt, "net cage"));
    desk.pass(minutes(60));
    need(desk.tagging().recaptured({"RKD 001", "readable", "male", "", {}}));
    const auto b = desk.find("RKD 001");
    CHECK(b.fate == Fate::Released);
    CHECK(b.isInferred);
    CHECK(b.earliest == "2026-09-05T13:30:00.000Z");
    CHECK(b.latest == "2026-09-05T14:30:00.000Z");
    CHECK(b.recaptures == 1);
    CHECK(desk.doubts().empty());
}

TEST_CASE("Measuring adds to the story; measuring nothing is refused", "[services][tagging]") {
    Desk desk;
    desk.receiveSheet();
    desk.note();
    services::Measures measures;
    measures.forewingUm = 50'500;
    need(desk.tagging().measured(std::nullopt, measures));
    CHECK(journal::numberIn(desk.find("RKD 001").measures, "forewing_um") == 50'500);
    const auto nothing = desk.tagging().measured(std::nullopt, {});
    REQUIRE_FALSE(nothing);
    CHECK(nothing.error().code == Code::NothingToDo);
}

TEST_CASE("Without an open butterfly there is none to speak of", "[services][tagging]") {
    Desk desk;
    desk.receiveSheet();
    const auto nobody = desk.tagging().release(std::nullopt);
    REQUIRE_FALSE(nobody);
    CHECK(nobody.error().code == Code::NotFound);
    CHECK_FALSE(desk.tagging().hold("RKD 001", "net cage"));
    CHECK_FALSE(desk.tagging().spoiled("01a071b0-b040-7990-9dd4-245e6d2e891c", std::nullopt));
    CHECK(desk.journal().head().seq == 2);
}

TEST_CASE("Where the paper says another code than offered, all since the last look are in doubt and it goes "
          "on there",
          "[services][tagging]") {
    Desk desk;
    desk.receiveSheet();
    std::vector<journal::Uuid> since;
    for (int i = 0; i < 4; ++i)
        since.push_back(desk.note().butterfly);
    since.erase(since.begin());
    const auto offered = need(tag::Code::fromText(desk.nextCode()));
    const auto says = need(tag::Code::fromText("RKD 007"));
    const auto saved = need(desk.tagging().comparedApart(offered, says, since));
    REQUIRE(saved.lines.size() == 1);
    const auto line = desk.lineOf(saved.lines.front());
    CHECK(line.kind == "tag.compared");
    CHECK(line.about == since);
    CHECK(journal::textIn(line.body, "offered") == "RKD 005");
    CHECK(journal::textIn(line.body, "says") == "RKD 007");
    CHECK(desk.doubts().size() == 3);
    CHECK(desk.find("RKD 001").comparedApart.empty());
    CHECK(desk.find("RKD 003").comparedApart == std::vector<journal::Uuid>{line.id});

    CHECK(desk.nextCode() == "RKD 007");
    SECTION("also when the program was ended before") {
        desk.restart();
        CHECK(desk.nextCode() == "RKD 007");
    }
    SECTION("and on from it") {
        CHECK(desk.note().code.text() == "RKD 007");
        CHECK(desk.nextCode() == "RKD 008");
    }
    SECTION("one undo takes it back") {
        CHECK(need(desk.amending().lastAct()) == saved.act());
        need(desk.amending().withdraw(saved.act(), "read it wrong"));
        CHECK(desk.doubts().empty());
        CHECK(desk.nextCode() == "RKD 005");
    }
    SECTION("a correction of what was read moves it") {
        need(desk.amending().correct(line.id, "says", "rkd oo6", "read it wrong"));
        CHECK(desk.nextCode() == "RKD 006");
        CHECK(desk.doubts().size() == 3);
    }
}

TEST_CASE("A comparison needs two codes that differ, and butterflies", "[services][tagging]") {
    Desk desk;
    desk.receiveSheet();
    const auto one = desk.note().butterfly;
    const auto head = desk.journal().head().seq;
    const auto offered = need(tag::Code::fromText("RKD 002"));
    const auto says = need(tag::Code::fromText("RKD 003"));
    const auto ofNobody = desk.tagging().comparedApart(offered, says, {});
    REQUIRE_FALSE(ofNobody);
    CHECK(ofNobody.error().code == Code::BadInput);
    const auto equal = desk.tagging().comparedApart(offered, offered, {one});
    REQUIRE_FALSE(equal);
    CHECK(equal.error().code == Code::BadInput);
    CHECK(desk.journal().head().seq == head);
    CHECK(desk.nextCode() == "RKD 002");
}

TEST_CASE("A comparison of more butterflies than a line can hold is still one act", "[services][tagging]") {
    Desk desk;
    desk.receiveSheet();
    const auto noted = desk.note().butterfly;
    std::vector<journal::Uuid> many{noted, noted};
    auto commit = desk.writer().begin();
    while (many.size() < 700)
        many.push_back(commit.newId());
    const auto saved = need(desk.tagging().comparedApart(need(tag::Code::fromText("RKD 002")),
                                                         need(tag::Code::fromText("RKD 003")), many));
    std::vector<journal::Uuid> about;
    for (const auto& line : saved.lines) {
        CHECK(line.act == saved.act());
        const auto read = desk.lineOf(line);
        about.insert(about.end(), read.about.begin(), read.about.end());
    }
    many.erase(many.begin());
    CHECK(about == many);
    CHECK(desk.doubts().size() == 1);
}

TEST_CASE("A code from the camera is written with how sure it was, and its picture if one is kept", "[services][tagging]") {
    Desk desk;
    desk.receiveSheet();
    Tagging::Note note;
    note.code = "RKD 001";
    note.sex = "male";
    note.read = services::CodeRead{987, {}};
    auto line = desk.lineOf(need(desk.tagging().note(note)).saved.lines.back());
    CHECK(journal::numberIn(line.body, "read_per_mille") == 987);
    CHECK_FALSE(line.body.contains("picture"));

    note.code = "RKD 002";
    note.read = services::CodeRead{1000, std::string(services::CodeRead::kMostPictureBytes, 'p')};
    line = desk.lineOf(need(desk.tagging().note(note)).saved.lines.back());
    const auto hash = journal::hashFromHex(journal::blobIn(line.body, "picture").value_or(""));
    REQUIRE(hash);
    const auto blob = need(desk.journal().file().blob(*hash));
    REQUIRE(blob);
    CHECK(blob->content() == note.read->picture);

    Tagging::Recapture again;
    again.code = "RKD 001";
    again.read = services::CodeRead{0, "p"};
    line = desk.lineOf(need(desk.tagging().recaptured(again)).saved.lines.back());
    CHECK(journal::numberIn(line.body, "read_per_mille") == 0);
    CHECK(journal::blobIn(line.body, "picture"));

    // Typed, nothing is said of it.
    line = desk.lineOf(desk.note("RKD 003").saved.lines.back());
    CHECK_FALSE(line.body.contains("read_per_mille"));
}

TEST_CASE("A reading that can't be, or a picture that is too large, is refused and nothing written", "[services][tagging]") {
    Desk desk;
    desk.receiveSheet();
    const auto head = desk.journal().head().seq;
    const std::string tooLarge(services::CodeRead::kMostPictureBytes + 1, 'p');
    for (const auto& read : {services::CodeRead{-1, {}}, services::CodeRead{1001, {}}, services::CodeRead{900, tooLarge}}) {
        Tagging::Note note;
        note.read = read;
        const auto noted = desk.tagging().note(note);
        REQUIRE_FALSE(noted);
        CHECK(noted.error().code == Code::OutOfRange);
        Tagging::Recapture recapture;
        recapture.code = "RKD 001";
        recapture.read = read;
        CHECK_FALSE(desk.tagging().recaptured(recapture));
    }
    CHECK(desk.journal().head().seq == head);
}
