#include "devices/battery.h"

#include <charconv>
#include <fstream>
#include <string>

namespace discal::devices {

namespace fs = std::filesystem;

namespace {

std::string wordIn(const fs::path& file) {
    std::ifstream in(file);
    std::string word;
    std::getline(in, word);
    return word;
}

} // namespace

std::optional<Battery::Charge> Battery::charge() const {
    std::optional<Charge> fullest;
    std::error_code ec;
    for (fs::directory_iterator entry(m_folder, ec), end; !ec && entry != end; entry.increment(ec)) {
        const fs::path& supply = entry->path();
        if (wordIn(supply / "type") != "Battery" || wordIn(supply / "scope") == "Device")
            continue;
        const std::string capacity = wordIn(supply / "capacity");
        int percent = -1;
        std::from_chars(capacity.data(), capacity.data() + capacity.size(), percent);
        if (percent < 0 || percent > 100)
            continue;
        if (!fullest || percent > fullest->percent)
            fullest = Charge{percent, wordIn(supply / "status") == "Discharging"};
    }
    return fullest;
}

} // namespace discal::devices
