#include "devices/battery.h"
#include "reference.h"

#include "catch_compat.hpp"

#include <fstream>

using namespace discal;
using namespace discal::tests;
using devices::Battery;

namespace {

void supply(const TemporaryFolder& folder, const std::string& name,
            const std::vector<std::pair<std::string, std::string>>& files) {
    std::filesystem::create_directories(folder.path() / name);
    for (const auto& [file, word] : files)
        std::ofstream(folder.path() / name / file) << word << "\n";
}

} // namespace

// Names of files and their words: Linux, Documentation/ABI/testing/sysfs-class-power
TEST_CASE("The charge is read as the kernel tells it", "[battery]") {
    const TemporaryFolder folder;
    const Battery battery(folder.path());
    CHECK_FALSE(battery.charge());
    supply(folder, "AC", {{"type", "Mains"}, {"online", "1"}});
    supply(folder, "mouse", {{"type", "Battery"}, {"scope", "Device"}, {"capacity", "90"}, {"status", "Discharging"}});
    CHECK_FALSE(battery.charge());
    supply(folder, "BAT0", {{"type", "Battery"}, {"capacity", "14"}, {"status", "Discharging"}});
    REQUIRE(battery.charge());
    CHECK(battery.charge()->percent == 14);
    CHECK(battery.charge()->isRunningDown);
    supply(folder, "BAT0", {{"status", "Charging"}});
    CHECK_FALSE(battery.charge()->isRunningDown);
    supply(folder, "BAT1", {{"type", "Battery"}, {"capacity", "60"}, {"status", "Discharging"}});
    CHECK(battery.charge()->percent == 60);
}

TEST_CASE("A battery that says nonsense is none", "[battery]") {
    const TemporaryFolder folder;
    const std::string capacity = GENERATE("", "full", "-3", "101", "99999999999999");
    supply(folder, "BAT0", {{"type", "Battery"}, {"capacity", capacity}, {"status", "Discharging"}});
    CHECK_FALSE(Battery(folder.path()).charge());
}

TEST_CASE("Without the kernel's folder there is no battery", "[battery]") {
    const TemporaryFolder folder;
    CHECK_FALSE(Battery(folder.path() / "none").charge());
}
