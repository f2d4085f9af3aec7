#include "services/system/system_clock.h"

#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <fstream>

namespace discal::services {

namespace {

std::optional<std::string> zoneName() {
    constexpr const char* kZones = "/usr/share/zoneinfo/";
    std::error_code ec;
    std::string name;
    if (const char* tz = std::getenv("TZ"); tz != nullptr) {
        name = tz;
        if (name.starts_with(':'))
            name.erase(0, 1);
        if (name.starts_with(kZones))
            name.erase(0, std::string(kZones).size());
        // "EST5EDT,M3.2.0,M11.1.0" and the like are rules and no names.
        const bool isName = !name.empty() && name.find_first_of(",<>") == std::string::npos &&
                            std::filesystem::is_regular_file(kZones + name, ec);
        return isName ? std::optional(name) : std::nullopt;
    }
    const auto link = std::filesystem::read_symlink("/etc/localtime", ec).string();
    const auto at = link.find("zoneinfo/");
    if (ec || at == std::string::npos)
        return std::nullopt;
    return link.substr(at + 9);
}

std::string bootId() {
    std::ifstream in("/proc/sys/kernel/random/boot_id");
    std::string id;
    std::getline(in, id);
    return id;
}

} // namespace

SystemClock::SystemClock() : m_zone(zoneName()), m_boot(bootId()) {
    ::tzset();
}

Moment SystemClock::now() {
    Moment moment;
    const auto wall = std::chrono::system_clock::now();
    moment.wall = std::chrono::floor<std::chrono::milliseconds>(wall);
    const std::time_t seconds = std::chrono::system_clock::to_time_t(wall);
    std::tm local{};
    if (::localtime_r(&seconds, &local) != nullptr)
        moment.offset = std::chrono::minutes(local.tm_gmtoff / 60);
    moment.zone = m_zone;
    moment.boot = m_boot;
    std::timespec up{};
    if (::clock_gettime(CLOCK_BOOTTIME, &up) == 0)
        moment.upMs = std::int64_t{up.tv_sec} * 1000 + up.tv_nsec / 1'000'000;
    return moment;
}

} // namespace discal::services
