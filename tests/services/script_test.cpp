#include "catch_compat.hpp"
#include "desk.h"
#include "services/sample/script.h"

#include <set>

using namespace discal;
using namespace discal::tests;
using namespace discal::services::sample;

namespace {

const std::string kHeader =
    R"({"session":"s","seed":1,"start":"2026-09-05T23:00:00-05:00","zone":"America/Chicago","phones":["A","B"]})";

Error refusal(const std::string& text) {
    const auto script = parseScript(text);
    INFO(text);
    REQUIRE_FALSE(script);
    return script.error();
}

Error refusalOfAct(const std::string& act) {
    return refusal(kHeader + "\n\n" + act + "\n");
}

Act act(const std::string& act) {
    const auto script = parseScript(kHeader + "\n" + act);
    if (!script)
        throw std::runtime_error(script.error().detail);
    return script->acts.at(0);
}

} // namespace

TEST_CASE("A script is read with its header and acts", "[sample][script]") {
    const auto script = need(parseScript(
        kHeader + "\r\n\n" +
        R"({"at":"23:10","do":"note","sex":"male","as":"one","expect":{"code":"RKD 001"}})" + "\n" +
        R"({"at":"00:05:30.250","do":"release","butterfly":"@one","phone":"B","refused":true,"say":"not here"})"));
    CHECK(script.session == "s");
    CHECK(script.seed == 1);
    CHECK(script.offset == std::chrono::hours(-5));
    CHECK(script.zone == "America/Chicago");
    CHECK(script.phones == std::vector<std::string>{"A", "B"});
    REQUIRE(script.acts.size() == 2);
    CHECK(script.acts[0].line == 3);
    CHECK(script.acts[0].what == Do::Note);
    CHECK(script.acts[0].phone == "A");
    CHECK(script.acts[0].expect->code == "RKD 001");
    CHECK(time::formatUtc(script.acts[0].at) == "2026-09-06T04:10:00.000Z");
    CHECK(script.acts[1].phone == "B");
    CHECK(script.acts[1].isRefused);
    // After midnight it is the next day.
    CHECK(time::formatUtc(script.acts[1].at) == "2026-09-06T05:05:30.250Z");
    CHECK(need(parseScript(R"({"session":"s","seed":0,"start":"2026-09-05T23:00:00+00:00"})")).phones ==
          std::vector<std::string>{"A"});
}

TEST_CASE("Time never goes back in a script", "[sample][script]") {
    CHECK(refusalOfAct(R"({"at":"22:59","do":"idle"})").code == Code::BadInput);
    const auto slip =
        refusal(kHeader + "\n" + R"({"at":"23:30","do":"idle"})" + "\n" + R"({"at":"23:29:59","do":"idle"})");
    CHECK(slip.number == 3);
    CHECK(slip.detail.find("not before 23:30") != std::string::npos);
    CHECK(refusalOfAct(R"({"at":"2026-09-05T22:59:59-05:00","do":"idle"})").number == 3);
    CHECK(time::formatUtc(act(R"({"at":"10:59","do":"idle"})").at) == "2026-09-06T15:59:00.000Z");
    CHECK(refusalOfAct(R"({"at":"11:01","do":"idle"})").code == Code::BadInput);
    CHECK(time::formatUtc(act(R"({"at":"2026-09-08T11:01:00-05:00","do":"idle"})").at) ==
          "2026-09-08T16:01:00.000Z");
    for (const char* at :
         {"7:30", "24:00", "23:60", "23:10:60", "23:10:1", "23:10:10.5", "23-10", "", "now", "23:1O"}) {
        INFO(at);
        CHECK(refusalOfAct(std::string(R"({"at":")") + at + R"(","do":"idle"})").detail.substr(0, 3) ==
              "at:");
    }
}

TEST_CASE("A wrong line is refused with its number and what is expected", "[sample][script]") {
    struct Case {
        const char* act;
        const char* expected;
    };
    const Case cases[] = {
        {R"({"at":"23:10","do":"nota"})", "do: one of name found"},
        {R"({"at":"23:10"})", "do: one of"},
        {R"({"do":"idle"})", "at: such as"},
        {R"({"at":"23:10","do":"note","sx":"male"})", "of note only code sex"},
        {R"({"at":"23:10","do":"note","sex":"m"})", "sex: one of female male unknown"},
        {R"({"at":"23:10","do":"note","sex":7})", "sex: one of"},
        {R"({"at":"23:10","do":"note","forewing_mm":"wide"})",
         "forewing_mm: a whole number, or a decimal in quotes"},
        {R"({"at":"23:10","do":"note","tagger":true})", "tagger: initials"},
        {R"({"at":"23:10","do":"sheet"})", "sheet needs first"},
        {R"({"at":"23:10","do":"sheet","first":"RKD 001","count":0})", "count: a whole number from 1"},
        {R"({"at":"23:10","do":"hand","first":"RKD 001","to":"A"})", "to: another one of A B"},
        {R"({"at":"23:10","do":"parcel","to":"C"})", "to: another one of A B"},
        {R"({"at":"23:10","do":"idle","phone":"C"})", "phone: one of A B"},
        {R"({"at":"23:10","do":"release","butterfly":"@who"})", "butterfly: a code, or"},
        {R"({"at":"23:10","do":"release-cage","except":"RKD 001"})", "except: a list"},
        {R"({"at":"23:10","do":"release-cage","except":["RKD 001",2]})", "except: a list"},
        {R"({"at":"23:10","do":"withdraw","what":"RKD 001"})", "what: \"@\""},
        {R"({"at":"23:10","do":"spoiled","code":"RKD 001","next":"RKD 002"})", "spoiled with code"},
        {R"({"at":"23:10","do":"correct","field":"sex","value":"male"})",
         "correct with butterfly or with line"},
        {R"({"at":"23:10","do":"correct","butterfly":"RKD 001","field":"sx","value":"male"})",
         "field: one of code sex"},
        {R"({"at":"23:10","do":"cage"})", "cage with name or habit"},
        {R"({"at":"23:10","do":"site","name":"x","position":"43.5571,-90.8893"})",
         "position: decimal degrees"},
        {R"({"at":"23:10","do":"site","name":"x","position":"91.0 -90.8893"})", "position: decimal degrees"},
        {R"({"at":"23:10","do":"zone","offset":"-5","zone":null})", "offset: such as -05:00"},
        {R"({"at":"23:10","do":"clock","skew_s":"1"})", "skew_s: whole seconds"},
        {R"({"at":"23:10","do":"idle","refused":"yes"})", "refused: true or false"},
        {R"({"at":"23:10","do":"idle","say":1})", "say: a text"},
        {R"({"at":"23:10","do":"idle","as":""})", "as: a short name"},
        {R"({"at":"23:10","do":"idle","expect":{"code":"RKD 001"}})", "expect with butterfly"},
        {R"({"at":"23:10","do":"note","expect":{"doubt":1}})", "of expect only butterfly"},
        {R"({"at":"23:10","do":"note","expect":{"fate":"gone"}})", "expect fate: one of noted"},
        {R"({"at":"23:10","do":"note","expect":[]})", "expect: an object"},
        {R"({"at":"23:10","do":"read","for":"new","expect":{"verdict":"refused"}})", "read needs frames"},
        {R"({"at":"23:10","do":"read","frames":[],"for":"new"})", "frames: a list of 1 to 10 names"},
        {R"({"at":"23:10","do":"read","frames":["../a.jpg"],"for":"new"})", "frames: a list"},
        {R"({"at":"23:10","do":"read","frames":["/a.jpg"],"for":"new"})", "frames: a list"},
        {R"({"at":"23:10","do":"read","frames":[".."],"for":"new"})", "frames: a list"},
        {R"({"at":"23:10","do":"read","frames":"a.jpg","for":"new"})", "frames: a list"},
        {R"({"at":"23:10","do":"read","frames":["1","2","3","4","5","6","7","8","9","10","11"],"for":"new"})",
         "frames: a list"},
        {R"({"at":"23:10","do":"read","frames":["a.jpg"],"for":"old"})", "for: one of new recapture label"},
        {R"({"at":"23:10","do":"read","frames":["a.jpg"],"for":"new"})", "read with expect verdict"},
        {R"({"at":"23:10","do":"read","frames":["a.jpg"],"for":"new","expect":{"lines":0}})",
         "read with expect verdict"},
        {R"({"at":"23:10","do":"read","frames":["a.jpg"],"for":"label","expect":{"count":25}})",
         "read with expect first, or verdict"},
        {R"({"at":"23:10","do":"read","frames":["a.jpg"],"for":"label","expect":{"first":"RKD 001","code":"RKD 001"}})",
         "of a label's expect first and count"},
        {R"({"at":"23:10","do":"read","frames":["a"],"for":"new","expect":{"verdict":"accepted","first":"RKD 001"}})",
         "first and count only of a label"},
        {R"({"at":"23:10","do":"read","frames":["a.jpg"],"for":"new","expect":{"verdict":"accepted","why":"glare"}})",
         "expect why only where"},
        {R"({"at":"23:10","do":"read","frames":["a.jpg"],"for":"new","expect":{"verdict":"read"}})",
         "expect verdict: one of accepted unlisted refused"},
        {R"({"at":"23:10","do":"read","frames":["a.jpg"],"for":"new","expect":{"verdict":"refused","why":"dark"}})",
         "expect why: one of no-tag too-far blurred glare covered unsure"},
        {R"({"at":"23:10","do":"read","frames":["a.jpg"],"for":"new","expect":{"verdict":"refused","fate":"noted"}})",
         "without butterfly and fate"},
        {R"({"at":"23:10","do":"read","frames":["a.jpg"],"for":"new","refused":true,"expect":{"verdict":"refused"}})",
         "read without refused"},
        {R"({"at":"23:10","do":"idle","expect":{"verdict":"accepted"}})", "expect verdict only of read"},
        {R"({"at":"23:10","do":"note","wear":2.5})", "whole numbers"},
        {R"({"at":"23:10","do":"note","do":"idle"})", "each member once"},
        {R"(["at"])", "one JSON object"},
        {"# a comment", "one JSON object"},
        {"{\"at\":\"\xff\"}", "UTF-8"},
    };
    for (const Case& c : cases) {
        const Error error = refusalOfAct(c.act);
        INFO(c.act);
        INFO(error.detail);
        CHECK(error.number == 3);
        CHECK(error.detail.find(c.expected) != std::string::npos);
    }
    const auto twice = refusal(kHeader + "\n" + R"({"at":"23:10","do":"idle","as":"x"})" + "\n" +
                               R"({"at":"23:11","do":"idle","as":"x"})");
    CHECK(twice.detail == "as: a name that no act above has");
    const auto late = refusal(kHeader + "\n" + R"({"at":"23:10","do":"idle"})" + "\n" +
                              R"({"at":"23:11","do":"name","name":"x"})");
    CHECK(late.detail == "name as the first act of its phone");
}

TEST_CASE("A look at frames is read with what is expected of it", "[sample][script]") {
    const Act tag = act(
        R"({"at":"23:10","do":"read","frames":["a","b-2"],"for":"new",)"
        R"("expect":{"verdict":"accepted","code":"RKD 001"}})");
    CHECK(tag.what == Do::Read);
    CHECK(tag.members.at("frames").as_array().size() == 2);
    CHECK(tag.expect->verdict == services::Verdict::Accepted);
    CHECK(tag.expect->code == "RKD 001");
    const Act blurred = act(
        R"({"at":"23:10","do":"read","frames":["a"],"for":"recapture",)"
        R"("expect":{"verdict":"refused","why":"blurred"}})");
    CHECK(blurred.expect->verdict == services::Verdict::Refused);
    CHECK(blurred.expect->why == services::Refusal::Blurred);
    const Act label =
        act(R"({"at":"23:10","do":"read","frames":["a.jpg"],"for":"label","expect":{"first":"RKD 001","count":25}})");
    CHECK(label.expect->first == "RKD 001");
    CHECK(label.expect->count == 25);
}

TEST_CASE("A wrong header is refused", "[sample][script]") {
    for (const char* header :
         {"", "\n\n", R"({"seed":1,"start":"2026-09-05T23:00:00-05:00"})", R"({"session":"","seed":1})",
          R"({"session":"s","seed":-1,"start":"2026-09-05T23:00:00-05:00"})",
          R"({"session":"s","seed":1,"start":"2026-09-05T23:00:00Z"})",
          R"({"session":"s","seed":1,"start":"2026-09-05 23:00"})",
          R"({"session":"s","seed":1,"start":"2026-09-05T23:00:00-05:00","phones":[]})",
          R"({"session":"s","seed":1,"start":"2026-09-05T23:00:00-05:00","phones":["A","A"]})",
          R"({"session":"s","seed":1,"start":"2026-09-05T23:00:00-05:00","phones":["../A"]})",
          R"({"session":"s","seed":1,"start":"2026-09-05T23:00:00-05:00","zone":5})",
          R"({"session":"s","seed":1,"start":"2026-09-05T23:00:00-05:00","wether":"fine"})"}) {
        CHECK(refusal(header).code == Code::BadInput);
    }
    CHECK(refusal(std::string(kLargestScript + 1, ' ')).detail == "at most 8 MiB");
}

TEST_CASE("The table for people names every act and member", "[sample][script]") {
    // sample-sessions/README.md: rows "| `do` | *needed*, may |".
    const std::string readme = readFile(sampleSession("README.md"));
    REQUIRE_FALSE(readme.empty());
    for (const ActForm& form : actForms()) {
        std::string row = "| `" + std::string(form.word) + "` | ";
        std::string members;
        for (const MemberForm& member : form.members) {
            const std::string name(member.name);
            members += (members.empty() ? "" : ", ") + (member.isRequired ? "*" + name + "*" : name);
        }
        row += members.empty() ? "|" : members + " |";
        INFO(row);
        CHECK(readme.find(row) != std::string::npos);
    }
}
