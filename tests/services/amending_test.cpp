#include "catch_compat.hpp"
#include "desk.h"

using namespace discal;
using namespace discal::tests;
using journal::Uuid;

TEST_CASE("A correction says a field anew and keeps the old value", "[services][amending]") {
    Desk desk;
    desk.receiveSheet();
    const auto noted = desk.note({}, "male");
    const Uuid line = noted.saved.lines.back().id;
    need(desk.amending().correct(line, "sex", "female", "thick veins"));
    CHECK(desk.find("RKD 001").sex == "female");
    CHECK(journal::textIn(desk.lineOf(noted.saved.lines.back()).body, "sex") == "male");
    need(desk.amending().correct(line, "sex", "unknown", "rubbed"));
    CHECK(desk.find("RKD 001").sex == "unknown");
    CHECK(desk.doubts().empty());
}

TEST_CASE("A corrected code frees the tag that was named, and reads as typed", "[services][amending]") {
    Desk desk;
    desk.receiveSheet();
    const auto noted = desk.note("RKD 005");
    need(desk.amending().correct(noted.saved.lines.back().id, "code", "rkd o06", ""));
    CHECK(desk.find("RKD 006").id == noted.butterfly);
    CHECK_FALSE(desk.tagging().find("RKD 005"));
    CHECK(need(desk.projections().tag(need(tag::Code::fromText("RKD 005")))).fate == tag::Fate::Free);
    CHECK(desk.nextCode() == "RKD 007");
}

TEST_CASE("Numbers, claims and times are corrected as what they are", "[services][amending]") {
    Desk desk;
    desk.receiveSheet();
    const auto noted = desk.note();
    const Uuid line = noted.saved.lines.back().id;
    need(desk.amending().correct(line, "forewing_um", "51500", ""));
    need(desk.amending().correct(line, "mated", "yes", ""));
    need(desk.amending().correct(line, "at", "2026-09-05T08:00:00-05:00", "typed in the evening"));
    const auto b = desk.find("RKD 001");
    CHECK(journal::numberIn(b.measures, "forewing_um") == 51'500);
    CHECK(journal::claimIn(b.measures, "mated") == true);
    CHECK(b.notedAt == "2026-09-05T13:00:00.000Z");

    for (const auto& [field, value] :
         std::vector<std::pair<std::string, std::string>>{{"forewing_um", "51.5"},
                                                          {"forewing_um", ""},
                                                          {"mated", "true"},
                                                          {"at", "08:00"},
                                                          {"sex", "f"},
                                                          {"origin", "cage"}}) {
        INFO(field << " " << value);
        const auto refused = desk.amending().correct(line, field, value, "");
        REQUIRE_FALSE(refused);
        CHECK(refused.error().code == Code::BadInput);
    }
    const auto nowhere = desk.amending().correct(Uuid{}, "sex", "male", "");
    REQUIRE_FALSE(nowhere);
    CHECK(nowhere.error().code == Code::NotFound);
}

TEST_CASE("What a line does not say is not corrected", "[services][amending]") {
    // 2026-11: only the command line looked at the field's name, and a line could be made to say anything.
    Desk desk;
    desk.receiveSheet();
    const auto noted = desk.note();
    const Uuid line = noted.saved.lines.back().id;
    const auto seq = desk.journal().head().seq;
    for (const char* field : {"colour", "session", "place", "cage", "note", ""}) {
        INFO(field);
        const auto refused = desk.amending().correct(line, field, "x", "");
        REQUIRE_FALSE(refused);
        CHECK(refused.error().code == Code::BadInput);
        CHECK(refused.error().detail.find("code, sex, origin") != std::string::npos);
    }
    const auto correction = need(desk.amending().correct(line, "sex", "female", ""));
    const auto ofThat = desk.amending().correct(correction.lines.back().id, "why", "x", "");
    REQUIRE_FALSE(ofThat);
    CHECK(ofThat.error().code == Code::NotAllowed);
    const auto scale = desk.amending().correct(line, "wear", "2", "");
    REQUIRE_FALSE(scale);
    CHECK(scale.error().code == Code::OutOfRange);
    need(desk.amending().correct(line, "wear_scale", "0-4", ""));
    need(desk.amending().correct(line, "wear", "2", ""));
    CHECK(desk.journal().head().seq == seq + 3);
}

TEST_CASE("Places are corrected as a whole, and the butterfly's row follows", "[services][amending]") {
    Desk desk;
    desk.receiveSheet();
    const auto site = need(desk.station().site({"Ridge meadow", {}, 50'000})).id;
    const auto other = need(desk.station().site({"Long Meadow", {}, 50'000})).id;
    desk.carry([&](auto& p) { p.site = site.text(); });
    desk.hearFix(5'000);
    const auto noted = desk.note();
    const Uuid taken = noted.saved.lines.back().id;
    const Uuid released = need(desk.tagging().release(std::nullopt)).lines.back().id;
    place::Position typed;
    typed.origin = place::Position::Origin::Typed;
    typed.latE7 = 435'571'000;
    typed.lonE7 = -908'893'000;
    typed.uncertaintyMm = 15'000;

    need(desk.amending().correctPlace(released, "place", {other, {}}, "the other gate"));
    CHECK(desk.find("RKD 001").released == boost::json::object{{"site", other.text()}});
    need(desk.amending().correctPlace(released, "place", {other, typed}, "off the map"));
    CHECK(desk.find("RKD 001").released ==
          boost::json::object{{"site", other.text()}, {"position", services::toJson(typed)}});
    need(desk.amending().correctPlace(taken, "taken", {{}, typed}, ""));
    const auto b = desk.find("RKD 001");
    CHECK(b.taken == boost::json::object{{"position", services::toJson(typed)}});
    need(desk.amending().correct(released, "at", "2026-09-05T14:00:00Z", ""));
    CHECK(desk.find("RKD 001").releasedAt == "2026-09-05T14:00:00.000Z");
    CHECK(desk.doubts().empty());
    const std::string before = need(desk.projections().dump());
    need(desk.projections().rebuild());
    CHECK(need(desk.projections().dump()) == before);

    const auto refusal = [&](const Uuid& line, const char* field, services::Amending::Where where) {
        const auto refused = desk.amending().correctPlace(line, field, where, "");
        REQUIRE_FALSE(refused);
        return refused.error().code;
    };
    CHECK(refusal(released, "place", {}) == Code::BadInput);
    CHECK(refusal(released, "taken", {other, {}}) == Code::BadInput);
    CHECK(refusal(released, "at", {other, {}}) == Code::BadInput);
    CHECK(refusal(released, "place", {Uuid{}, {}}) == Code::NotFound);
    CHECK(refusal(released, "place", {{}, place::Position{}}) == Code::NotAPosition);
    CHECK_FALSE(desk.amending().correct(released, "place", "Long Meadow", ""));
}

TEST_CASE("What was inferred from a note follows its correction, and one undo takes both back",
          "[services][amending]") {
    Desk desk;
    desk.receiveSheet();
    const auto site = need(desk.station().site({"Ridge meadow", {}, 50'000})).id;
    const auto other = need(desk.station().site({"Long Meadow", {}, 50'000})).id;
    desk.carry([&](auto& p) { p.site = site.text(); });
    const auto noted = desk.note();
    const Uuid line = noted.saved.lines.back().id;
    desk.pass(std::chrono::minutes(3));
    const auto next = desk.note();
    const Uuid letGo = next.saved.lines.front().id;

    need(desk.amending().correct(line, "at", "2026-09-04T13:30:00Z", "the phone was a day ahead"));
    CHECK(desk.find("RKD 001").releasedAt == "2026-09-04T13:30:00.000Z");
    const auto placed = need(desk.amending().correctPlace(line, "taken", {other, {}}, ""));
    CHECK(placed.lines.size() == 2);
    CHECK(desk.find("RKD 001").released == boost::json::object{{"site", other.text()}});
    need(desk.amending().withdraw(placed.act(), ""));
    CHECK(desk.find("RKD 001").taken == boost::json::object{{"site", site.text()}});
    CHECK(desk.find("RKD 001").released == desk.find("RKD 001").taken);

    // What a person has said of the release itself stays.
    need(desk.amending().correctPlace(letGo, "place", {other, {}}, ""));
    need(desk.amending().correct(letGo, "at", "2026-09-05T13:32:00Z", ""));
    CHECK(desk.find("RKD 001").releasedAt == "2026-09-05T13:32:00.000Z");
    CHECK(need(desk.amending().correctPlace(line, "taken", {other, {}}, "")).lines.size() == 1);
    need(desk.amending().correct(line, "at", "2026-09-05T13:31:00Z", ""));
    CHECK(desk.find("RKD 001").releasedAt == "2026-09-05T13:32:00.000Z");
}

TEST_CASE("One undo takes back one tap, the last that stands", "[services][amending]") {
    Desk desk;
    CHECK_FALSE(need(desk.amending().lastAct())); // nothing but device.started
    desk.receiveSheet();
    desk.note();
    desk.pass(std::chrono::minutes(1));
    desk.note(); // closes the first one in the same tap
    CHECK(desk.fateOf("RKD 001") == "released");
    need(desk.amending().withdraw(*need(desk.amending().lastAct()), ""));
    CHECK(desk.fateOf("RKD 001") == "noted");
    CHECK_FALSE(desk.tagging().find("RKD 002"));
    desk.restart(); // every act has undo, also after a restart
    need(desk.amending().withdraw(*need(desk.amending().lastAct()), ""));
    CHECK_FALSE(desk.tagging().find("RKD 001"));
    CHECK(desk.nextCode() == "RKD 001");
}

TEST_CASE("Taking back a withdrawal brings its lines again", "[services][amending]") {
    Desk desk;
    desk.receiveSheet();
    const auto noted = desk.note();
    const auto undone = need(desk.amending().withdraw(noted.saved.act(), ""));
    CHECK_FALSE(desk.tagging().find("RKD 001"));
    need(desk.amending().withdraw(undone.act(), "it was right"));
    CHECK(desk.fateOf("RKD 001") == "noted");
    const auto nowhere = desk.amending().withdraw(Uuid{}, "");
    REQUIRE_FALSE(nowhere);
    CHECK(nowhere.error().code == Code::NotFound);
}

TEST_CASE("Two corrections made without knowing of each other are at odds", "[services][amending]") {
    Desk field("A");
    Desk office("B");
    need(office.station().found("Thistledown Ridge Nature Centre"));
    field.receiveSheet();
    const auto noted = field.note();
    exchange(field, office);
    exchange(office, field);
    need(field.amending().correct(noted.saved.lines.back().id, "sex", "female", ""));
    need(office.amending().correct(noted.saved.lines.back().id, "sex", "unknown", ""));
    exchange(field, office);
    exchange(office, field);
    const std::string key = "correction.at-odds line " + noted.saved.lines.back().id.text();
    CHECK(field.doubts() == std::vector<std::string>{key});
    CHECK(office.doubts() == field.doubts());
    CHECK(office.find("RKD 001").sex == field.find("RKD 001").sex);
    // Whoever corrects now has seen both.
    need(office.amending().correct(noted.saved.lines.back().id, "sex", "female", "from the photo"));
    CHECK(office.doubts().empty());
    exchange(office, field);
    CHECK(field.doubts().empty());
    CHECK(field.find("RKD 001").sex == "female");
}

TEST_CASE("An office settles a doubt, until further evidence appears", "[services][amending]") {
    Desk desk;
    desk.receiveSheet();
    desk.note("RKD 003");
    desk.note("RKD 003");
    const std::string key = "code.used-twice code RKD 003";
    const auto notYet = desk.amending().settle(key, "both stand", "");
    REQUIRE_FALSE(notYet);
    CHECK(notYet.error().code == Code::NotAllowed);
    need(desk.station().found("Thistledown Ridge Nature Centre"));
    const auto unknown = desk.amending().settle("code.used-twice code RKD 004", "?", "");
    REQUIRE_FALSE(unknown);
    CHECK(unknown.error().code == Code::NotFound);
    need(desk.amending().settle(key, "both stand", "printed twice"));
    CHECK(desk.doubts().empty());
    desk.note("RKD 003");
    CHECK(desk.doubts() == std::vector<std::string>{key});
}

TEST_CASE("A person's initials and notes are erased for good", "[services][amending]") {
    Desk desk;
    desk.receiveSheet();
    const auto person = need(desk.station().person("MH"));
    desk.writer().setRecorder(person.id);
    services::Tagging::Note note;
    note.measures.note = "by the fence of MH's aunt";
    const auto noted = need(desk.tagging().note(note));
    CHECK(need(desk.station().findPerson("MH")) == person.id);
    CHECK(need(desk.journal().file().blobNames()).size() == 2);
    const auto erased = need(desk.amending().erasePerson(person.id, "asked to"));
    CHECK(erased.lines.size() == 2);
    CHECK(need(desk.journal().file().blobNames()).empty());
    CHECK_FALSE(need(desk.station().findPerson("MH")));
    CHECK(desk.find("RKD 001").recorder == person.id.text());
    CHECK(need(desk.journal().file().verify()).isSound());
    const auto nobody = desk.amending().erasePerson(noted.butterfly, "");
    REQUIRE_FALSE(nobody);
    CHECK(nobody.error().code == Code::NotFound);
}

TEST_CASE("Where there is an office, only it erases", "[services][amending]") {
    Desk office("A");
    Desk field("B");
    need(office.station().found("Thistledown Ridge Nature Centre"));
    const auto person = need(field.station().person("JT"));
    exchange(office, field);
    const auto refused = field.amending().erasePerson(person.id, "");
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == Code::NotAllowed);
    exchange(field, office);
    need(office.amending().erasePerson(person.id, "asked to"));
    exchange(office, field);
    CHECK(need(field.journal().file().blobNames()).empty());
}
