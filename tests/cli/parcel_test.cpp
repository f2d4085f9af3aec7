#include "catch_compat.hpp"
#include "cli/program.h"

#include <fstream>

using namespace discal::tests;

namespace {

std::string deviceOf(const Desk& desk) {
    return std::string(desk.json({"journal", "status"}).front().at("device").as_string());
}

} // namespace

TEST_CASE("A parcel brings one journal's lines to another; a device nobody knows waits for a person",
          "[cli]") {
    const Desk phone("phone.discal");
    const Desk office("office.discal");
    (void)office.done({"station", "found", "Thistledown Ridge Nature Centre"});
    (void)office.done({"stock", "add", "RKD 001", "10"});
    (void)phone.done({"station", "person", "KLM"});
    const std::string phoneId = deviceOf(phone);
    const std::string officeId = deviceOf(office);

    // The office hands ten tags on; the phone has never heard of the office.
    (void)office.done({"stock", "hand", "RKD 001", "5", "--to", phoneId});
    const std::string parcel = phone.path("office.discal-parcel");
    (void)office.done({"parcel", "write", parcel});
    CHECK(has(office.bare({"parcel", "verify", parcel}).out,
              "whole and signed, lines 1 to 4 of device " + officeId));
    const Ran waits = phone.run({"parcel", "read", parcel});
    CHECK(waits.exit == 1);
    CHECK(has(waits.err, "it waits. 4 lines of device " + officeId));
    CHECK(has(waits.err, "--accept"));
    CHECK(phone.json({"journal", "status"}).front().at("others").as_array().empty());
    CHECK(has(phone.done({"parcel", "read", parcel, "--accept"}), "4 new lines of "));
    CHECK(has(phone.done({"parcel", "read", parcel}), "0 new lines of "));
    CHECK(phone.done({"stock", "next", "9"}) == "RKD 001\nRKD 002\nRKD 003\nRKD 004\nRKD 005\n");
    CHECK(office.done({"stock", "next"}) == "RKD 006\n");

    // The phone's day comes back in two parcels, read in the wrong order. The office knows the phone since it
    // enrolled it.
    (void)office.done({"station", "enrol", phoneId, "--role", "recorder"});
    (void)phone.done({"note", "--sex", "female", "--wild", "--by", "KLM", "--note", "by the pond"});
    (void)phone.done({"release"});
    (void)phone.done({"parcel", "write", phone.path("1")});
    const auto seen = phone.json({"journal", "status"}).front().at("lines").as_int64();
    (void)phone.done({"note", "--sex", "male"});
    (void)phone.done({"parcel", "write", phone.path("2"), "--from", std::to_string(seen + 1)});
    const Ran gap = office.run({"parcel", "read", phone.path("2")});
    CHECK(gap.exit == 1);
    CHECK(has(gap.err, "Lines are missing before this parcel"));
    CHECK(has(gap.err, "from line 1 on"));
    const Ran both = office.run({"parcel", "read", phone.path("2"), phone.path("1")});
    INFO(both.err);
    CHECK(both.exit == 0);
    CHECK(has(office.done({"journal", "show", "RKD 001"}), "note: by the pond"));
    const std::string listed = office.done({"journal", "list"});
    CHECK(has(listed, phoneId.substr(0, 6)));
    CHECK(has(office.done({"journal", "status"}), "Also held: "));
    CHECK(office.done({"journal", "verify"}).find("2 chains") != std::string::npos);

    // The office passes the phone's lines on without their writer.
    const Desk third("third.discal");
    (void)office.done({"parcel", "write", third.path("3"), "--device", phoneId.substr(0, 8)});
    CHECK(has(third.done({"parcel", "read", third.path("3"), "--accept"}), "new lines of "));
    CHECK(has(third.done({"journal", "show", "RKD 001"}), "RKD 001 noted, female, wild"));

    // A helper who had not heard of it recaptured it.
    const Desk fourth("fourth.discal");
    (void)fourth.done({"recapture", "RKD 001", "--sex", "female"});
    CHECK(fourth.json({"doubts"}).empty());
    (void)fourth.done({"parcel", "read", third.path("3"), "--accept"});
    CHECK(has(fourth.done({"doubts"}), "RKD 001 was noted, and was recaptured where nobody had that line"));

    // A recorder may not correct the office's lines: kept, without effect, a doubt.
    const auto sheet = phone.json({"journal", "list"});
    std::string received;
    for (const auto& line : sheet)
        if (line.at("kind").as_string() == "sheet.received")
            received = std::string(line.at("id").as_string());
    const auto correction = phone.json({"correct", received, "count", "9"}).front();
    CHECK(has(std::string(correction.at("says").as_string()), "without effect until an office looks at it"));
    CHECK(correction.at("doubts").as_array().size() == 1);
}

TEST_CASE("A parcel that was changed on its way is refused, and the others are taken", "[cli]") {
    const Desk phone("phone.discal");
    const Desk office("office.discal");
    (void)phone.done({"station", "person", "KLM"});
    (void)phone.done({"parcel", "write", phone.path("good")});
    std::string bytes = readFile(phone.path("good"));
    bytes[bytes.size() / 2] = static_cast<char>(bytes[bytes.size() / 2] ^ 1);
    std::ofstream(phone.path("bad"), std::ios::binary) << bytes;
    const Ran checked = phone.bare({"parcel", "verify", phone.path("bad"), phone.path("good"), "--json"});
    CHECK(checked.exit == 1);
    const auto objects = Desk::objects(checked.out);
    REQUIRE(objects.size() == 2);
    CHECK_FALSE(objects[0].at("whole").as_bool());
    CHECK(objects[1].at("whole").as_bool());
    const Ran read = office.run({"parcel", "read", phone.path("bad"), phone.path("good"), "--accept"});
    CHECK(read.exit == 1);
    CHECK(has(read.out, "2 new lines of "));
    CHECK(has(read.err, phone.path("bad") + ": "));
    CHECK(office.run({"journal", "verify"}).exit == 0);
}
