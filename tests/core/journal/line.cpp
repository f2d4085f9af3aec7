#include "core/journal/line.h"

#include "core/lines.h"

#include "catch_compat.hpp"

#include <optional>
#include <rapidcheck.h>
#include <string>
#include <string_view>

using namespace discal;
using journal::Line;
using journal::parseLine;
using journal::parseObject;
using journal::Uuid;
using tests::id;

namespace {

namespace json = boost::json;

/// Why the bytes are no object of ours; nothing if they are.
std::optional<Code> refusal(std::string_view bytes) {
    const auto read = parseObject(bytes);
    return read ? std::nullopt : std::optional(read.error().code);
}

json::object legalObject() {
    return json::parse(R"({
        "id": "019a0000-0000-7000-8000-000000000001", "kind": "butterfly.noted", "v": 1,
        "act": "019a0000-0000-7000-8000-000000000001", "about": ["019a0000-0000-7000-8000-0000000000b1"],
        "lamport": 12, "by": "019a0000-0000-7000-8000-0000000000c1", "at": "2026-08-30T17:05:09.250Z",
        "offset_min": -420, "zone": "America/Los_Angeles", "boot": "b0", "up_ms": 123456,
        "body": {"code": "RKD 014", "sex": "female", "forewing_um": 52100}})")
        .as_object();
}

/// What parseLine says of the legal object with one member changed.
template <class Change>
std::optional<std::pair<Code, std::string>> refusalOf(Change change) {
    json::object object = legalObject();
    change(object);
    const auto read = parseLine(json::serialize(object));
    return read ? std::nullopt : std::optional(std::pair(read.error().code, read.error().detail));
}

std::optional<std::pair<Code, std::string>> refusalWith(std::string_view member, json::value value) {
    return refusalOf([&](json::object& object) { object[member] = std::move(value); });
}

std::pair<Code, std::string> because(Code code, std::string detail) {
    return {code, std::move(detail)};
}

bool equal(const Line& a, const Line& b) {
    return a.id == b.id && a.kind == b.kind && a.version == b.version && a.act == b.act &&
           a.about == b.about && a.lamport == b.lamport && a.by == b.by && a.at == b.at &&
           a.offset == b.offset && a.zone == b.zone && a.boot == b.boot && a.upMs == b.upMs &&
           a.body == b.body;
}

std::string nested(std::size_t depth) {
    // The object itself is the first level.
    return R"({"a":)" + std::string(depth - 1, '[') + std::string(depth - 1, ']') + "}";
}

} // namespace

TEST_CASE("Every member of a line is read", "[journal]") {
    const auto read = parseLine(json::serialize(legalObject()));
    REQUIRE(read);
    CHECK(read->id == Uuid::parse("019a0000-0000-7000-8000-000000000001").value());
    CHECK(read->kind == "butterfly.noted");
    CHECK(read->version == 1);
    CHECK(read->act == read->id);
    CHECK(read->about == std::vector{Uuid::parse("019a0000-0000-7000-8000-0000000000b1").value()});
    CHECK(read->lamport == 12);
    CHECK(read->by == Uuid::parse("019a0000-0000-7000-8000-0000000000c1").value());
    CHECK(read->at == tests::instant("2026-08-30T17:05:09.250Z"));
    CHECK(read->offset == std::chrono::minutes(-420));
    CHECK(read->zone == "America/Los_Angeles");
    CHECK(read->boot == "b0");
    CHECK(read->upMs == 123456);
    CHECK(json::serialize(read->body) == R"({"code":"RKD 014","sex":"female","forewing_um":52100})");
}

// design.md, section 5: the known-answer line "checks bytes only; it lacks members".
TEST_CASE("The known-answer line of the design is an object but not yet a line", "[journal]") {
    const std::string bytes =
        R"({"id":"019a0000-0000-7000-8000-000000000001","kind":"device.started","v":1,"body":{}})";
    CHECK_FALSE(refusal(bytes));
    const auto read = parseLine(bytes);
    REQUIRE_FALSE(read);
    CHECK(read.error().code == Code::MissingMember);
    CHECK(read.error().detail == "act");
}

TEST_CASE("Every missing member is named", "[journal]") {
    for (const char* member : {"id", "kind", "v", "act", "about", "lamport", "by", "at", "offset_min", "zone",
                               "boot", "up_ms", "body"})
        CHECK(refusalOf([&](json::object& o) { o.erase(member); }) == because(Code::MissingMember, member));
}

TEST_CASE("A member of another type or out of range is named", "[journal]") {
    CHECK_FALSE(refusalOf([](json::object&) {})); // so what follows is the change's fault
    for (const char* member :
         {"id", "kind", "v", "act", "about", "lamport", "at", "offset_min", "boot", "up_ms", "body"})
        CHECK(refusalWith(member, nullptr) == because(Code::WrongType, member));
    for (const char* member : {"id", "kind", "act", "about", "by", "at", "zone", "boot", "body"})
        CHECK(refusalWith(member, 7) == because(Code::WrongType, member));
    for (const char* member : {"v", "lamport", "offset_min", "up_ms"})
        CHECK(refusalWith(member, "7") == because(Code::WrongType, member));
    for (const char* member : {"id", "act", "by"})
        CHECK(refusalWith(member, "019a0000-0000-7000-8000-00000000000") == because(Code::WrongType, member));
    CHECK(refusalWith("about", json::array{"RKD 014"}) == because(Code::WrongType, "about"));
    CHECK(refusalWith("about", json::array{7}) == because(Code::WrongType, "about"));
    CHECK(refusalWith("body", json::array{}) == because(Code::WrongType, "body"));
    CHECK(refusalWith("v", 0) == because(Code::OutOfRange, "v"));
    CHECK(refusalWith("v", -1) == because(Code::OutOfRange, "v"));
    CHECK(refusalWith("lamport", 0) == because(Code::OutOfRange, "lamport"));
    CHECK(refusalWith("offset_min", 1441) == because(Code::OutOfRange, "offset_min"));
    CHECK(refusalWith("offset_min", -1441) == because(Code::OutOfRange, "offset_min"));
    CHECK(refusalWith("up_ms", -1) == because(Code::OutOfRange, "up_ms"));
    CHECK_FALSE(refusalWith("lamport", journal::kLargestNumber));
    CHECK_FALSE(refusalWith("offset_min", 840));
    CHECK_FALSE(refusalWith("by", nullptr));
    CHECK_FALSE(refusalWith("zone", nullptr));
    CHECK_FALSE(refusalWith("about", json::array{}));
    CHECK_FALSE(refusalWith("kind", "moon.risen")); // a newer Discal's
    CHECK_FALSE(refusalWith("v", 2));
    CHECK_FALSE(refusalWith("colour", "blue")); // a further member is ignored
}

TEST_CASE("A line's time is in UTC", "[journal]") {
    for (const char* at : {"2026-08-30T10:05:09.250-07:00", "2026-08-30T17:05:09.250+00:00",
                           "2026-08-30T17:05:09.250z", "2026-08-30", "", "2026-12-31T23:59:60Z"})
        CHECK(refusalWith("at", at) == because(Code::NotATime, "at"));
    CHECK_FALSE(refusalWith("at", "2026-08-30T17:05:09Z"));
}

// design.md, section 5: 2 to 16,384 bytes, no byte 0x0A, UTF-8, one JSON object.
TEST_CASE("A line has 2 to 16,384 bytes", "[journal]") {
    CHECK(refusal("") == Code::LineTooShort);
    CHECK(refusal("{") == Code::LineTooShort);
    CHECK_FALSE(refusal("{}"));
    const auto ofSize = [](std::size_t n) { return R"({"a":")" + std::string(n - 8, 'x') + R"("})"; };
    REQUIRE(ofSize(16'384).size() == 16'384);
    CHECK_FALSE(refusal(ofSize(16'384)));
    CHECK(refusal(ofSize(16'385)) == Code::LineTooLong);
    CHECK(refusal(std::string(1'000'000, '[')) == Code::LineTooLong);
    // As many members, items, and characters of a key as fit.
    std::string items = R"({"a":[0)";
    while (items.size() + 4 <= 16'384)
        items += ",0";
    CHECK_FALSE(refusal(items + "]}"));
    CHECK_FALSE(refusal(R"({")" + std::string(16'000, 'k') + R"(":1})"));
}

TEST_CASE("A line holds no line feed anywhere", "[journal]") {
    CHECK(refusal("{}\n") == Code::LineFeedInLine);
    CHECK(refusal("\n{}") == Code::LineFeedInLine);
    CHECK(refusal("{\"a\":\n1}") == Code::LineFeedInLine);
    CHECK(refusal("{\"a\":\"\n\"}") == Code::LineFeedInLine);
    CHECK_FALSE(refusal(R"({"a":"\n"})")); // escaped: no byte 0x0A
    CHECK_FALSE(refusal("{\r\t \"a\":1}"));
}

// The Unicode Standard 15.0, table 3-7.
TEST_CASE("A line that is not well-formed UTF-8 is refused, in keys and strings and outside", "[journal]") {
    CHECK(refusal("{\"a\":\"\xC3\"}") == Code::NotUtf8);
    CHECK(refusal("{\"\xFF\":1}") == Code::NotUtf8);
    CHECK(refusal("{\"a\":\"\xED\xA0\xBD\xED\xB8\x80\"}") == Code::NotUtf8);
    CHECK(refusal("{\"a\":\"\xC0\x80\"}") == Code::NotUtf8);
    CHECK(refusal("{}\x80") == Code::NotUtf8);
    CHECK_FALSE(refusal("{\"a\":\"\xF0\x9F\xA6\x8B\"}"));
}

// RFC 8259: sections 2 (grammar), 7 (strings), 8.1 (a byte order mark must not be added).
TEST_CASE("Anything but one JSON object is refused", "[journal]") {
    for (const std::string_view bytes : {"[]",
                                         "\"\"",
                                         "12",
                                         "null",
                                         "true",
                                         "{}{}",
                                         "{} {}",
                                         "{},",
                                         "{}x",
                                         "{\"a\":1}}",
                                         "\xEF\xBB\xBF{}",
                                         "{",
                                         "{\"a\"}",
                                         "{\"a\":}",
                                         "{\"a\":1,}",
                                         "{,}",
                                         "{a:1}",
                                         "{'a':1}",
                                         "{\"a\":01}",
                                         "{\"a\":+1}",
                                         "{\"a\":.5}",
                                         "{\"a\":1.}",
                                         "{\"a\":0x1}",
                                         "{\"a\":NaN}",
                                         "{\"a\":Infinity}",
                                         "{\"a\":-Infinity}",
                                         "{\"a\":nul}",
                                         "{\"a\":\"\t\"}",
                                         "{\"a\":\"\\x\"}",
                                         "{\"a\":\"\\u12\"}",
                                         "{\"a\":\"\\ud800\"}",
                                         "{\"a\":\"\\udc00\"}",
                                         "{\"a\":\"\\ud800\\u0041\"}",
                                         "{}//",
                                         "/**/{}",
                                         "{\"a\":[1,]}",
                                         "  ",
                                         "{\"a\":1 \"b\":2}",
                                         "{\"a\":1;}",
                                         "{\"a\":\"",
                                         "{\"a\":1",
                                         "{\"a\":-}"}) {
        INFO(bytes);
        const auto why = refusal(bytes);
        REQUIRE(why);
        CHECK(*why == (bytes == "{" ? Code::LineTooShort : Code::NotJson));
    }
    CHECK(refusal(std::string_view("{}\0", 3)) == Code::NotJson);
    CHECK(refusal(std::string_view("{\"a\":\"\0\"}", 9)) == Code::NotJson);
    CHECK_FALSE(refusal(" {} "));
}

TEST_CASE("Objects and arrays nest 32 deep and no deeper", "[journal]") {
    CHECK_FALSE(refusal(nested(32)));
    CHECK(refusal(nested(33)) == Code::NotJson);
    CHECK(refusal(nested(8'000)) == Code::NotJson);
    std::string objects = "1";
    for (int i = 0; i < 32; ++i)
        objects = R"({"a":)" + objects + "}";
    CHECK_FALSE(refusal(objects));
    CHECK(refusal(R"({"a":)" + objects + "}") == Code::NotJson);
}

// RFC 8259, section 4: names should be unique; readers differ on which of two counts. So two are refused.
TEST_CASE("A key that comes twice in one object is refused, wherever the object is and however it is spelt",
          "[journal]") {
    CHECK(refusal(R"({"a":1,"a":1})") == Code::DuplicateKey);
    CHECK(refusal(R"({"a":1,"b":2,"a":3})") == Code::DuplicateKey);
    CHECK(refusal(R"({"b":{"a":1,"a":2}})") == Code::DuplicateKey);
    CHECK(refusal(R"({"b":[[{"a":1,"a":2}]]})") == Code::DuplicateKey);
    CHECK(refusal(R"({"b":[{"a":1},{"a":1,"c":[],"a":{}}]})") == Code::DuplicateKey);
    CHECK(refusal(R"({"a":1,"\u0061":2})") == Code::DuplicateKey);
    CHECK(refusal(R"({"x":{"\u00e9":1,"é":2}})") == Code::DuplicateKey);
    CHECK(refusal(R"({"\ud83e\udd8b":1,"🦋":2})") == Code::DuplicateKey);
    CHECK(refusal(R"({"/":1,"\/":2})") == Code::DuplicateKey);
    CHECK(refusal(R"({"":1,"":2})") == Code::DuplicateKey);
    // A key whose first value held keys itself: they are lost with it, and still the count does not come out
    // even.
    CHECK(refusal(R"({"a":{"p":1,"q":2},"a":{"p":1}})") == Code::DuplicateKey);
    CHECK(refusal(R"({"a":{"p":1},"a":{"p":1,"q":2}})") == Code::DuplicateKey);
    CHECK_FALSE(refusal(R"({"a":{"a":{"a":1}},"b":[{"a":1},{"a":2}]})"));
    CHECK_FALSE(refusal(R"({"a":1,"A":2,"a ":3,"\u0000a":4,"":5})"));
    // Two spellings that look alike are two keys: nothing is normalized (U+00E9; e and U+0301).
    CHECK_FALSE(refusal("{\"\xC3\xA9\":1,\"e\xCC\x81\":2}"));
}

// RFC 8259, section 6: integers from -(2^53)+1 to (2^53)-1 are read alike by all.
TEST_CASE("Numbers are whole and below 2^53, wherever they stand", "[journal]") {
    for (const std::string number :
         {"1.5", "1.0", "-0.5", "1e2", "1E2", "1e-1", "0e0", "9007199254740992", "-9007199254740992",
          "9223372036854775807", "-9223372036854775808", "9223372036854775808", "18446744073709551615",
          "18446744073709551616", "-9223372036854775809", "100000000000000000000000000000000", "1e300"}) {
        INFO(number);
        CHECK(refusal(R"({"a":)" + number + "}") == Code::NumberNotWhole);
        CHECK(refusal(R"({"a":{"b":[{"c":)" + number + "}]}}") == Code::NumberNotWhole);
    }
    for (const std::string number : {"0", "1", "-1", "9007199254740991", "-9007199254740991"}) {
        const auto read = parseObject(R"({"a":)" + number + "}");
        REQUIRE(read);
        CHECK(journal::numberIn(*read, "a") == std::stoll(number));
    }
    // Beyond any double: refused, by whichever name.
    CHECK(refusal(R"({"a":1e400})"));
    CHECK(refusal(R"({"a":1e99999999999999999999})"));
}

TEST_CASE("What is written is read back the same", "[journal]") {
    Line line = parseLine(json::serialize(legalObject())).value();
    line.body["text"] = "quote \" back \\ line \n tab \t nul " + std::string(1, '\0') + " é 🦋 \x7F";
    line.body["deep"] = json::array{json::object{{"a", -9007199254740991}}, nullptr, true, ""};
    line.about = {id(3), id(1), id(2)};
    for (const bool full : {true, false}) {
        if (!full) {
            line.by.reset();
            line.zone.reset();
            line.about.clear();
            line.body = {};
        }
        const auto bytes = journal::encodeLine(line);
        REQUIRE(bytes);
        CHECK(bytes->find('\n') == std::string::npos);
        const auto read = parseLine(*bytes);
        REQUIRE(read);
        CHECK(equal(*read, line));
        CHECK(journal::encodeLine(*read).value() == *bytes);
    }
}

TEST_CASE("A line that could not be read back is not written", "[journal]") {
    const Line line = parseLine(json::serialize(legalObject())).value();
    const auto refused = [&](auto change) -> std::optional<Code> {
        Line other = line;
        change(other);
        const auto bytes = journal::encodeLine(other);
        return bytes ? std::nullopt : std::optional(bytes.error().code);
    };
    CHECK_FALSE(refused([](Line&) {}));
    CHECK(refused([](Line& l) { l.body["a"] = 1.5; }) == Code::NumberNotWhole);
    CHECK(refused([](Line& l) { l.body["a"] = std::int64_t{1} << 53; }) == Code::NumberNotWhole);
    CHECK(refused([](Line& l) { l.body["a"] = "\xFF"; }) == Code::NotUtf8);
    CHECK(refused([](Line& l) { l.kind = "a\xC3"; }) == Code::NotUtf8);
    CHECK(refused([](Line& l) { l.body["a"] = std::string(16'384, 'x'); }) == Code::LineTooLong);
    CHECK(refused([](Line& l) { l.lamport = 0; }) == Code::OutOfRange);
    CHECK(refused([](Line& l) { l.lamport = std::int64_t{1} << 53; }) == Code::NumberNotWhole);
    CHECK(refused([](Line& l) { l.version = 0; }) == Code::OutOfRange);
    CHECK(refused([](Line& l) { l.upMs = -1; }) == Code::OutOfRange);
    CHECK(refused([](Line& l) { l.offset = std::chrono::hours(25); }) == Code::OutOfRange);
    json::value deep = 1;
    for (int i = 0; i < 40; ++i)
        deep = json::array{deep};
    CHECK(refused([&](Line& l) { l.body["a"] = deep; }) == Code::NotJson);
}

// A regression test: any body of strings, whole numbers, lists and objects survives.
TEST_CASE("Any line that is written is read back the same", "[journal]") {
    const bool held = rc::check([] {
        Line line;
        line.id = Uuid{*rc::gen::container<std::array<std::uint8_t, 16>>(rc::gen::arbitrary<std::uint8_t>())};
        line.act = line.id;
        line.kind = *rc::gen::container<std::string>(rc::gen::inRange<char>(0, 127));
        line.version = *rc::gen::inRange(1, 1'000'001);
        line.lamport = *rc::gen::inRange<std::int64_t>(1, journal::kLargestNumber);
        line.upMs = *rc::gen::inRange<std::int64_t>(0, journal::kLargestNumber);
        line.offset = std::chrono::minutes(*rc::gen::inRange(-1440, 1441));
        line.at = time::Instant(std::chrono::milliseconds(
            *rc::gen::inRange<std::int64_t>(-62'167'219'200'000, 253'402'300'800'000)));
        line.boot = *rc::gen::container<std::string>(rc::gen::inRange<char>(0, 127));
        for (const auto& key : *rc::gen::container<std::vector<std::string>>(
                 rc::gen::container<std::string>(rc::gen::inRange<char>(0, 127)))) {
            json::array items{
                key, *rc::gen::inRange<std::int64_t>(-journal::kLargestNumber, journal::kLargestNumber)};
            line.body[key] = json::object{{key, items}, {key + "'", nullptr}};
        }
        const auto bytes = journal::encodeLine(line);
        RC_PRE(bytes.has_value() || bytes.error().code != Code::LineTooLong);
        RC_ASSERT(bytes.has_value());
        RC_ASSERT(equal(parseLine(*bytes).value(), line));
    });
    CHECK(held);
}

TEST_CASE("An entry that is no line keeps its bytes and stands first in the order", "[journal]") {
    const auto odd = journal::makeEntry(tests::device('b'), 3, "not a line");
    CHECK_FALSE(odd.line);
    CHECK(odd.bytes == "not a line");
    CHECK(odd.order() == journal::Order{0, tests::device('b'), 3});
    const auto fine = journal::makeEntry(tests::device('a'), 1, json::serialize(legalObject()));
    REQUIRE(fine.line);
    CHECK(fine.order() == journal::Order{12, tests::device('a'), 1});
    CHECK(odd.order() < fine.order());
}

// design.md, section 5: projections read lines by (lamport, device, seq).
TEST_CASE("Lines stand in the order of lamport, then device, then seq", "[journal]") {
    using journal::Order;
    CHECK(Order{1, tests::device('b'), 9} < Order{2, tests::device('a'), 1});
    CHECK(Order{2, tests::device('a'), 9} < Order{2, tests::device('b'), 1});
    CHECK(Order{2, tests::device('a'), 1} < Order{2, tests::device('a'), 2});
}

TEST_CASE("Members of a body are read by name and type only", "[journal]") {
    const auto body = json::parse(R"({"text":"a","empty":"","number":-3,"yes":true,"nothing":null,
        "id":"019a0000-0000-7000-8000-000000000001","object":{"a":1},"list":[1],
        "picture":{"blob":"00ff"},
        "ids":["019a0000-0000-7000-8000-000000000001",7,"x","019a0000-0000-7000-8000-000000000002"],
        "order":[4,"aaaaaaaaaaaaaaaaaaaaaaaaaa",2],"bad":[4,"a"]})")
                          .as_object();
    CHECK(journal::textIn(body, "text") == "a");
    CHECK(journal::textIn(body, "empty") == "");
    for (const char* name : {"number", "nothing", "object", "absent"})
        CHECK_FALSE(journal::textIn(body, name));
    CHECK(journal::numberIn(body, "number") == -3);
    for (const char* name : {"text", "yes", "nothing", "absent"})
        CHECK_FALSE(journal::numberIn(body, name));
    CHECK(journal::claimIn(body, "yes") == true);
    for (const char* name : {"number", "text", "nothing", "absent"})
        CHECK_FALSE(journal::claimIn(body, name));
    CHECK(journal::idIn(body, "id") == Uuid::parse("019a0000-0000-7000-8000-000000000001").value());
    CHECK_FALSE(journal::idIn(body, "text"));
    CHECK(journal::objectIn(body, "object") != nullptr);
    for (const char* name : {"list", "nothing", "absent"})
        CHECK(journal::objectIn(body, name) == nullptr);
    CHECK(journal::blobIn(body, "picture") == "00ff");
    CHECK_FALSE(journal::blobIn(body, "object"));
    const auto ids = journal::idsIn(body, "ids");
    CHECK(ids.size() == 2);
    CHECK(journal::idsToJson(ids) ==
          json::array{"019a0000-0000-7000-8000-000000000001", "019a0000-0000-7000-8000-000000000002"});
    CHECK(journal::idsIn(body, "object").empty());
    const journal::Order order{4, tests::device('a'), 2};
    CHECK(journal::orderIn(body, "order") == order);
    CHECK(journal::orderToJson(order) == body.at("order").as_array());
    CHECK(journal::orderIn(body, "bad") == journal::Order{});
}
