#pragma once

// A line as a newer Discal might write it.

#include "storage/journal.h"

#include <stdexcept>

namespace discal::tests {

/// Appends a line of that kind and version, in all else like the last one of this device. Returns its id.
inline journal::Uuid appendNewer(storage::Journal& journal, std::string kind, int version,
                                 std::vector<journal::Uuid> about, boost::json::object body = {}) {
    const auto last = journal.file().line(journal.device(), journal.head().seq);
    auto line = last && *last ? journal::parseLine(**last) : Result<journal::Line>(fail(Code::NotFound));
    if (!line)
        throw std::runtime_error("no line to follow");
    const std::string wanted = line->id.text().substr(0, 24) + (line->id.text().ends_with("77") ? "78" : "77");
    line->id = journal::Uuid::parse(wanted + line->id.text().substr(26)).value();
    line->act = line->id;
    line->kind = std::move(kind);
    line->version = version;
    line->about = std::move(about);
    line->body = std::move(body);
    ++line->lamport;
    const auto bytes = journal::encodeLine(*line);
    if (!bytes || !journal.append({*bytes}))
        throw std::runtime_error("a newer line can't be appended");
    return line->id;
}

} // namespace discal::tests
