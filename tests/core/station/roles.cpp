#include "core/station/roles.h"

#include "core/lines.h"

#include "catch_compat.hpp"

#include <algorithm>
#include <vector>

using namespace discal;
using journal::Amended;
using journal::Order;
using station::Role;
using station::Roles;
using tests::device;
using tests::id;
using tests::Lines;

namespace {

struct History {
    Lines lines;
    std::vector<Amended> events;

    Amended found(char by, Lines::Options options = {}) {
        options.device = device(by);
        if (options.about.empty())
            options.about = {id(1)};
        events.push_back(lines.event("station.founded", {{"name", "Nature centre"}}, std::move(options)));
        return events.back();
    }
    Amended enrol(char by, char whom, std::string_view role, Lines::Options options = {}) {
        options.device = device(by);
        events.push_back(lines.event("device.enrolled", {{"device", device(whom).text()}, {"role", role}},
                                     std::move(options)));
        return events.back();
    }
    [[nodiscard]] Roles roles() const { return Roles::from(events); }
};

} // namespace

TEST_CASE("Without any line nobody has a role", "[station]") {
    const Roles roles = Roles::from({});
    CHECK(roles.now(device('a')) == Role::None);
    CHECK(roles.station().empty());
    CHECK(roles.withoutAuthority().empty());
}

TEST_CASE("Who founds the station is its first office, from the next line on", "[station]") {
    History h;
    const Order founding = h.found('a').order;
    CHECK(h.roles().now(device('a')) == Role::Office);
    CHECK(h.roles().station() == id(1).text());
    CHECK(h.roles().at(device('a'), founding) == Role::None);
    CHECK(h.roles().at(device('a'), Order{founding.lamport, device('a'), founding.seq + 1}) == Role::Office);
    CHECK(h.roles().now(device('b')) == Role::None);
}

TEST_CASE("An office enrols, and may change a role later", "[station]") {
    History h;
    h.found('a');
    const Order first = h.enrol('a', 'b', "recorder").order;
    h.enrol('a', 'c', "visitor");
    const Order second = h.enrol('a', 'b', "office").order;
    const Order third = h.enrol('b', 'd', "recorder").order; // b is an office now
    const Order fourth = h.enrol('a', 'b', "none").order;
    const Roles roles = h.roles();
    CHECK(roles.at(device('b'), first) == Role::None);
    CHECK(roles.at(device('b'), second) == Role::Recorder);
    CHECK(roles.at(device('b'), third) == Role::Office);
    CHECK(roles.at(device('b'), fourth) == Role::Office);
    CHECK(roles.now(device('b')) == Role::None);
    CHECK(roles.now(device('c')) == Role::Visitor);
    CHECK(roles.now(device('d')) == Role::Recorder);
    CHECK(roles.withoutAuthority().empty());
    CHECK(roles.changes().size() == 6);
}

TEST_CASE("Only an office enrols", "[station]") {
    History h;
    const auto before = h.enrol('a', 'a', "office"); // before there is a station
    h.found('a');
    h.enrol('a', 'b', "recorder");
    const auto byRecorder = h.enrol('b', 'b', "office");
    const auto byStranger = h.enrol('x', 'y', "recorder");
    const Roles roles = h.roles();
    CHECK(roles.now(device('b')) == Role::Recorder);
    CHECK(roles.now(device('y')) == Role::None);
    CHECK(roles.withoutAuthority() == std::vector{before.line.id, byRecorder.line.id, byStranger.line.id});
}

TEST_CASE("An enrolment by a device that was made an office only later counts for nothing", "[station]") {
    History h;
    h.found('a');
    const auto early = h.enrol('b', 'c', "recorder");
    h.enrol('a', 'b', "office");
    CHECK(h.roles().now(device('c')) == Role::None);
    CHECK(h.roles().withoutAuthority() == std::vector{early.line.id});
}

TEST_CASE("A second founding founds nothing", "[station]") {
    History h;
    h.found('b', {.about = {id(1)}});
    const auto second = h.found('a', {.about = {id(2)}});
    CHECK(h.roles().station() == id(1).text());
    CHECK(h.roles().now(device('a')) == Role::None);
    CHECK(h.roles().withoutAuthority() == std::vector{second.line.id});
    SECTION("The first is the first in the order, not in arrival") {
        const auto third = h.found('c', {.about = {id(3)}, .lamport = 1}); // equal lamport: b before c
        CHECK(h.roles().station() == id(1).text());
        CHECK(h.roles().withoutAuthority().size() == 2);
        CHECK(third.order > h.events.front().order);
    }
}

TEST_CASE("A founding that names no station, and an enrolment that names no device, count for nothing",
          "[station]") {
    History h;
    h.events.push_back(h.lines.event("station.founded", {}, {.device = device('a')}));
    CHECK(h.roles().station().empty());
    CHECK(h.roles().now(device('a')) == Role::None);
    h.found('a');
    h.events.push_back(h.lines.event("device.enrolled", {{"device", "nobody"}, {"role", "office"}}));
    CHECK(h.roles().changes().size() == 1);
    CHECK(h.roles().withoutAuthority().size() == 2);
}

TEST_CASE("A role that we don't know is none", "[station]") {
    History h;
    h.found('a');
    h.enrol('a', 'b', "recorder");
    h.enrol('a', 'b', "emperor");
    CHECK(h.roles().now(device('b')) == Role::None);
    for (const Role role : {Role::None, Role::Visitor, Role::Recorder, Role::Office})
        CHECK(station::roleOf(station::textOf(role)) == role);
}

TEST_CASE("Lines of a newer Discal give no role", "[station]") {
    History h;
    h.found('a');
    h.enrol('a', 'b', "office", {.version = 2});
    CHECK(h.roles().now(device('b')) == Role::None);
    CHECK(h.roles().withoutAuthority().empty());
}

// design.md, section 5: a pure function of the set of lines.
TEST_CASE("Roles do not depend on the order in which their lines arrive", "[station]") {
    History h;
    h.found('a');
    h.enrol('a', 'b', "office");
    h.enrol('b', 'c', "recorder");
    h.found('d', {.about = {id(2)}});
    h.enrol('c', 'e', "office");
    const Roles wanted = h.roles();
    std::sort(h.events.begin(), h.events.end(),
              [](const auto& x, const auto& y) { return x.line.id < y.line.id; });
    int permutations = 0;
    do {
        CHECK(Roles::from(h.events) == wanted);
        ++permutations;
    } while (std::next_permutation(h.events.begin(), h.events.end(),
                                   [](const auto& x, const auto& y) { return x.line.id < y.line.id; }));
    CHECK(permutations == 120);
}
