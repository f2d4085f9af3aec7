#pragma once

#include "storage/journal.h"

#include <map>
#include <optional>
#include <string>

namespace discal::cli {

/// Ids as people say them: people by initials, sites and lots by name, devices by the name given at their
/// first start. Reads what the journal holds when first asked for a thing and remembers it. Borrows the
/// journal.
class Names {
public:
    explicit Names(storage::Journal& journal) : m_journal(journal) {}

    [[nodiscard]] std::string person(const std::string& id);
    [[nodiscard]] std::string site(const std::string& id);
    [[nodiscard]] std::string lot(const std::string& id);
    /// "this device", or the name and the first 6 characters of the id: "meadow phone (eh7ddx)".
    [[nodiscard]] std::string device(const std::string& id);
    /// The name alone; empty while its first line is not here.
    [[nodiscard]] std::string deviceName(const journal::DeviceId& id);
    [[nodiscard]] static std::string shortDevice(const journal::DeviceId& id) {
        return id.text().substr(0, 6);
    }

    /// A device by its whole id, or by the first 6 or more characters of one that this journal knows.
    /// BadInput when it is neither; NotAllowed when several begin so.
    [[nodiscard]] Result<journal::DeviceId> findDevice(const std::string& typed);

    /// {"blob": ...} as text; "(erased)" when the bytes are gone.
    [[nodiscard]] std::string blobText(const boost::json::object& body, std::string_view member);

    /// A line as it was written; nothing when it is not here or can't be read.
    [[nodiscard]] std::optional<journal::Line> lineWithId(const journal::Uuid& id);

    /// The code by which people know a butterfly now; empty when it has none.
    [[nodiscard]] std::string codeOf(const std::string& butterfly);

private:
    [[nodiscard]] std::string named(journal::RecordType type, const std::string& id, std::string_view what);

    storage::Journal& m_journal;
    std::map<std::string, std::string> m_known;
};

} // namespace discal::cli
