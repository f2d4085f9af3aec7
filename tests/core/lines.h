#pragma once

// Lines as several devices would write them, for tests of what is read out of them.

#include "core/journal/amending.h"

#include <algorithm>
#include <boost/json.hpp>
#include <cstdlib>
#include <map>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace discal::tests {

namespace json = boost::json;

/// A device with a legal id of one letter, repeated: device('a') < device('b').
inline journal::DeviceId device(char letter) {
    return journal::DeviceId::parse(std::string(26, letter)).value();
}

/// A fixed id: id(1), id(2) ... are different subjects, in this order.
inline journal::Uuid id(unsigned n) {
    journal::Uuid out;
    out.bytes = {0x01, 0x9a, 0, 0, 0, 0, 0x70, 0, 0x80};
    for (std::size_t i = 0; i < 4; ++i)
        out.bytes[12 + i] = static_cast<std::uint8_t>(n >> (24 - 8 * i));
    return out;
}

inline time::Instant instant(std::string_view rfc3339) {
    return time::parseUtc(rfc3339).value();
}

/// Writes lines one after the other; each gets the next lamport, an id of its own and a time a minute later.
class Lines {
public:
    struct Options {
        journal::DeviceId device = tests::device('a');
        std::vector<journal::Uuid> about{};
        std::optional<journal::Uuid> act{};
        int version{1};
        std::int64_t lamport{0}; ///< 0: the next one
    };

    journal::Entry entry(std::string kind, json::object body, Options options) {
        journal::Line line;
        line.id = id(0x10000 + ++m_written);
        line.kind = std::move(kind);
        line.version = options.version;
        line.act = options.act.value_or(line.id);
        line.about = std::move(options.about);
        line.lamport = options.lamport > 0 ? options.lamport : ++m_lamport;
        m_lamport = std::max(m_lamport, line.lamport);
        line.by = id(0x20000);
        line.at = instant("2026-08-30T09:00:00Z") + std::chrono::minutes(m_written);
        line.offset = std::chrono::minutes(-420);
        line.zone = "America/Los_Angeles";
        line.boot = "boot-1";
        line.upMs = 1000 * std::int64_t{m_written};
        line.body = std::move(body);
        auto bytes = journal::encodeLine(line);
        if (!bytes)
            throw std::logic_error("a test's line can't be written: " + bytes.error().detail);
        return journal::makeEntry(options.device, ++m_seq[options.device], *bytes);
    }
    journal::Entry entry(std::string kind, json::object body) {
        return entry(std::move(kind), std::move(body), Options{});
    }

    /// The same, as read with nothing that amends it.
    journal::Amended event(std::string kind, json::object body, Options options) {
        return journal::unamended(entry(std::move(kind), std::move(body), std::move(options)));
    }
    journal::Amended event(std::string kind, json::object body) {
        return event(std::move(kind), std::move(body), Options{});
    }

private:
    unsigned m_written{0};
    std::int64_t m_lamport{0};
    std::map<journal::DeviceId, std::int64_t> m_seq;
};

/// Through text and back, as a projection row goes.
inline json::object throughText(const json::object& object) {
    return json::parse(json::serialize(object)).as_object();
}

/// Where a test makes up histories: the same ones each time, or others with DISCAL_SEED set. Say it with
/// INFO.
inline unsigned seed() {
    const char* set = std::getenv("DISCAL_SEED");
    return set != nullptr ? static_cast<unsigned>(std::strtoul(set, nullptr, 10)) : 20260830U;
}

} // namespace discal::tests
