#pragma once

#include <filesystem>
#include <optional>

namespace discal::devices {

/// The battery of a Linux machine, as the kernel tells it in files (Documentation/ABI/testing/sysfs-class-power).
class Battery {
public:
    explicit Battery(std::filesystem::path folder = "/sys/class/power_supply") : m_folder(std::move(folder)) {}

    struct Charge {
        int percent{0};  ///< 0 to 100
        bool isRunningDown{false};
    };
    /// Of the fullest battery of the machine itself; mice and pens have theirs too. Nothing where there is none or it
    /// says nothing that makes sense.
    [[nodiscard]] std::optional<Charge> charge() const;

private:
    std::filesystem::path m_folder;
};

} // namespace discal::devices
