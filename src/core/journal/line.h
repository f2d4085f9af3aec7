#pragma once

#include "core/journal/id.h"
#include "core/journal/order.h"
#include "core/time/instant.h"

#include <boost/json.hpp>
#include <chrono>
#include <optional>
#include <string>
#include <vector>

namespace discal::journal {

inline constexpr std::size_t kShortestLine = 2;
inline constexpr std::size_t kLongestLine = 16'384;
/// Integers in lines stay below 2^53, so that any JSON reader keeps them exact (RFC 8259, section 6).
inline constexpr std::int64_t kLargestNumber = (std::int64_t{1} << 53) - 1;

/// What one line says. The bytes on disk are the truth; this is our reading of them.
struct Line {
    Uuid id;
    std::string kind;  ///< see kind.h; may be one that we don't know
    int version{1};    ///< of the body
    Uuid act;          ///< id of the first line of the same tap
    std::vector<Uuid> about;  ///< its subjects, the most important first
    std::int64_t lamport{0};
    std::optional<Uuid> by;  ///< the recorder's person id
    time::Instant at{};      ///< the phone's wall clock, UTC
    std::chrono::minutes offset{0};   ///< local time = at + offset
    std::optional<std::string> zone;  ///< IANA name
    std::string boot;       ///< id of the phone's current boot
    std::int64_t upMs{0};   ///< milliseconds since that boot, running on in sleep
    boost::json::object body;
};

/// Reads one object with the rules below and returns its members. The one reader of line bytes: used before
/// appending, when reading, and on arrival, so that no two of them can disagree.
/// Refuses: under 2 or over 16,384 bytes (LineTooShort, LineTooLong), a byte 0x0A (LineFeedInLine), ill-formed UTF-8
/// (NotUtf8), anything but one JSON object nested at most 32 deep (NotJson), a key twice in one object
/// (DuplicateKey), a number that is not an integer below 2^53 (NumberNotWhole).
[[nodiscard]] Result<boost::json::object> parseObject(std::string_view bytes);

/// parseObject, then every member of a line with its type: MissingMember, WrongType or OutOfRange name the member.
/// Further members are allowed and ignored.
[[nodiscard]] Result<Line> parseLine(std::string_view bytes);

/// The bytes to append. They are checked with parseLine, so that what we write can be read: its errors.
[[nodiscard]] Result<std::string> encodeLine(const Line& line);

/// A line at its place in a chain, or what stands there when it can't be read as a line.
struct Entry {
    DeviceId device;
    std::int64_t seq{0};
    std::string bytes;
    Result<Line> line = fail(Code::NotJson);

    [[nodiscard]] Order order() const { return {line ? line->lamport : 0, device, seq}; }
};

[[nodiscard]] Entry makeEntry(DeviceId device, std::int64_t seq, std::string bytes);

/// Members of a body, by name and type; nullopt when absent, null or of another type.
[[nodiscard]] std::optional<std::string_view> textIn(const boost::json::object& body, std::string_view name);
[[nodiscard]] std::optional<std::int64_t> numberIn(const boost::json::object& body, std::string_view name);
[[nodiscard]] std::optional<bool> claimIn(const boost::json::object& body, std::string_view name);
[[nodiscard]] std::optional<Uuid> idIn(const boost::json::object& body, std::string_view name);
[[nodiscard]] const boost::json::object* objectIn(const boost::json::object& body, std::string_view name);
/// {"blob": SHA-256 in hex}: a text or picture that is kept beside the lines and can be erased.
[[nodiscard]] std::optional<std::string_view> blobIn(const boost::json::object& body, std::string_view name);

/// Lists of ids and places in the order, as projections and bodies hold them. What is not an id is left out.
[[nodiscard]] boost::json::array idsToJson(const std::vector<Uuid>& ids);
[[nodiscard]] std::vector<Uuid> idsIn(const boost::json::object& body, std::string_view name);
[[nodiscard]] boost::json::array orderToJson(const Order& order);
[[nodiscard]] Order orderIn(const boost::json::object& body, std::string_view name);

} // namespace discal::journal
