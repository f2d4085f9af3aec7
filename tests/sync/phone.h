#pragma once

#include "core/journal/line.h"
#include "core/journal/signing.h"
#include "reference.h"
#include "storage/journal.h"

#include <memory>
#include <string>
#include <vector>

namespace discal::tests {

/// A key that is the same in every run.
[[nodiscard]] journal::KeyPair keyOf(std::uint8_t number);

/// A legal line. Different numbers give different lines.
[[nodiscard]] std::string lineOf(std::string kind, std::uint8_t number, boost::json::object body = {});

/// A piece of a chain with any lines, signed; as an honest device sends it, or a hostile one.
[[nodiscard]] storage::Delivery signedDelivery(const journal::KeyPair& key,
                                               const std::vector<std::string>& lines);
/// The head after the lines, and its signature by `key`, put into the delivery again.
void signAgain(storage::Delivery& delivery, const journal::KeyPair& key);

[[nodiscard]] bool isSame(const storage::Delivery& a, const storage::Delivery& b);

/// A journal in a folder of its own. Its key is keyOf(number).
class Phone {
public:
    explicit Phone(std::uint8_t number);
    [[nodiscard]] storage::Journal& journal() { return *m_journal; }
    void write(const std::string& line, const std::vector<storage::Blob>& blobs = {});
    /// All lines of a device that it holds.
    [[nodiscard]] std::vector<std::string> lines(const journal::DeviceId& device);

private:
    TemporaryFolder m_folder;
    std::unique_ptr<storage::Journal> m_journal;
};

} // namespace discal::tests
