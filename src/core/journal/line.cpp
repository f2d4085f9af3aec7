#include "core/journal/line.h"

#include "core/text/utf8.h"

#include <boost/json/basic_parser_impl.hpp>
#include <algorithm>

namespace discal::journal {

namespace json = boost::json;

namespace {

/// Builds the value as Boost.JSON's own parser does, but counts keys (a key that comes twice would silently win)
/// and lets no number through that another JSON reader might round.
struct Builder {
    static constexpr std::size_t max_array_size = kLongestLine;
    static constexpr std::size_t max_object_size = kLongestLine;
    static constexpr std::size_t max_string_size = kLongestLine;
    static constexpr std::size_t max_key_size = kLongestLine;

    json::value_stack stack;
    std::size_t keys{0};
    bool hasOddNumber{false};

    bool on_document_begin(json::error_code&) { return true; }
    bool on_document_end(json::error_code&) { return true; }
    bool on_object_begin(json::error_code&) { return true; }
    bool on_object_end(std::size_t n, json::error_code&) {
        keys += n;
        stack.push_object(n);
        return true;
    }
    bool on_array_begin(json::error_code&) { return true; }
    bool on_array_end(std::size_t n, json::error_code&) {
        stack.push_array(n);
        return true;
    }
    bool on_key_part(json::string_view s, std::size_t, json::error_code&) {
        stack.push_chars(s);
        return true;
    }
    bool on_key(json::string_view s, std::size_t, json::error_code&) {
        stack.push_key(s);
        return true;
    }
    bool on_string_part(json::string_view s, std::size_t, json::error_code&) {
        stack.push_chars(s);
        return true;
    }
    bool on_string(json::string_view s, std::size_t, json::error_code&) {
        stack.push_string(s);
        return true;
    }
    bool on_number_part(json::string_view, json::error_code&) { return true; }
    bool on_int64(std::int64_t i, json::string_view, json::error_code&) {
        if (i > kLargestNumber || i < -kLargestNumber)
            hasOddNumber = true;
        stack.push_int64(i);
        return true;
    }
    bool on_uint64(std::uint64_t, json::string_view, json::error_code&) {
        hasOddNumber = true;
        stack.push_null();
        return true;
    }
    bool on_double(double, json::string_view, json::error_code&) {
        hasOddNumber = true;
        stack.push_null();
        return true;
    }
    bool on_bool(bool b, json::error_code&) {
        stack.push_bool(b);
        return true;
    }
    bool on_null(json::error_code&) {
        stack.push_null();
        return true;
    }
    bool on_comment_part(json::string_view, json::error_code&) { return true; }
    bool on_comment(json::string_view, json::error_code&) { return true; }
};

std::size_t keysIn(const json::value& value) {
    std::size_t n = 0;
    if (const auto* object = value.if_object()) {
        n += object->size();
        for (const auto& member : *object)
            n += keysIn(member.value());
    } else if (const auto* array = value.if_array()) {
        for (const auto& item : *array)
            n += keysIn(item);
    }
    return n;
}

class Members {
public:
    explicit Members(json::object& object) : m_object(object) {}

    json::value* find(std::string_view name) { return m_object.if_contains(name); }

    bool text(std::string_view name, std::string& out) {
        auto* value = need(name);
        if (value == nullptr)
            return false;
        if (!value->is_string())
            return wrong(name);
        out.assign(value->as_string().data(), value->as_string().size());
        return true;
    }
    bool id(std::string_view name, Uuid& out) {
        std::string s;
        if (!text(name, s))
            return false;
        const auto parsed = Uuid::parse(s);
        if (!parsed)
            return wrong(name);
        out = *parsed;
        return true;
    }
    bool number(std::string_view name, std::int64_t low, std::int64_t high, std::int64_t& out) {
        auto* value = need(name);
        if (value == nullptr)
            return false;
        if (!value->is_int64())
            return wrong(name);
        out = value->as_int64();
        if (out < low || out > high) {
            error = Error{Code::OutOfRange, std::string(name)};
            return false;
        }
        return true;
    }
    bool wrong(std::string_view name) {
        error = Error{Code::WrongType, std::string(name)};
        return false;
    }
    json::value* need(std::string_view name) {
        auto* value = find(name);
        if (value == nullptr)
            error = Error{Code::MissingMember, std::string(name)};
        return value;
    }

    Error error{Code::WrongType};

private:
    json::object& m_object;
};

} // namespace

Result<json::object> parseObject(std::string_view bytes) {
    if (bytes.size() < kShortestLine)
        return fail(Code::LineTooShort);
    if (bytes.size() > kLongestLine)
        return fail(Code::LineTooLong);
    if (bytes.find('\n') != std::string_view::npos)
        return fail(Code::LineFeedInLine);
    if (!text::isUtf8(bytes))
        return fail(Code::NotUtf8);
    json::parse_options options;
    options.max_depth = 32;
    json::basic_parser<Builder> parser(options);
    parser.handler().stack.reset();
    json::error_code ec;
    const std::size_t used = parser.write_some(false, bytes.data(), bytes.size(), ec);
    if (ec || used != bytes.size() || !parser.done())
        return fail(Code::NotJson);
    json::value value = parser.handler().stack.release();
    if (!value.is_object())
        return fail(Code::NotJson);
    if (parser.handler().hasOddNumber)
        return fail(Code::NumberNotWhole);
    if (keysIn(value) != parser.handler().keys)
        return fail(Code::DuplicateKey);
    return std::move(value.as_object());
}

Result<Line> parseLine(std::string_view bytes) {
    auto object = parseObject(bytes);
    if (!object)
        return fail(object.error());
    Members members(*object);
    Line line;
    std::int64_t version = 0;
    std::int64_t offset = 0;
    std::string at;
    const bool plain = members.id("id", line.id) && members.text("kind", line.kind) &&
                       members.number("v", 1, 1'000'000, version) && members.id("act", line.act) &&
                       members.number("lamport", 1, kLargestNumber, line.lamport) && members.text("at", at) &&
                       members.number("offset_min", -24 * 60, 24 * 60, offset) && members.text("boot", line.boot) &&
                       members.number("up_ms", 0, kLargestNumber, line.upMs);
    if (!plain)
        return fail(members.error);
    line.version = static_cast<int>(version);
    line.offset = std::chrono::minutes(offset);
    const auto instant = time::parseUtc(at);
    if (!instant || !at.ends_with('Z'))
        return fail(Code::NotATime, "at");
    line.at = *instant;

    const auto* about = members.need("about");
    if (about == nullptr)
        return fail(members.error);
    if (!about->is_array())
        return fail(Code::WrongType, "about");
    for (const auto& item : about->as_array()) {
        const auto id = item.is_string() ? Uuid::parse(item.as_string()) : fail(Code::WrongType);
        if (!id)
            return fail(Code::WrongType, "about");
        line.about.push_back(*id);
    }
    const auto* by = members.need("by");
    if (by == nullptr)
        return fail(members.error);
    if (!by->is_null()) {
        Uuid person;
        if (!members.id("by", person))
            return fail(members.error);
        line.by = person;
    }
    const auto* zone = members.need("zone");
    if (zone == nullptr)
        return fail(members.error);
    if (!zone->is_null()) {
        std::string name;
        if (!members.text("zone", name))
            return fail(members.error);
        line.zone = name;
    }
    auto* body = members.need("body");
    if (body == nullptr)
        return fail(members.error);
    if (!body->is_object())
        return fail(Code::WrongType, "body");
    line.body = std::move(body->as_object());
    return line;
}

Result<std::string> encodeLine(const Line& line) {
    json::object object;
    object["id"] = line.id.text();
    object["kind"] = line.kind;
    object["v"] = line.version;
    object["act"] = line.act.text();
    json::array about;
    for (const Uuid& id : line.about)
        about.emplace_back(id.text());
    object["about"] = std::move(about);
    object["lamport"] = line.lamport;
    object["by"] = line.by ? json::value(line.by->text()) : json::value(nullptr);
    object["at"] = time::formatUtc(line.at);
    object["offset_min"] = line.offset.count();
    object["zone"] = line.zone ? json::value(*line.zone) : json::value(nullptr);
    object["boot"] = line.boot;
    object["up_ms"] = line.upMs;
    object["body"] = line.body;
    std::string bytes = json::serialize(object);
    if (auto checked = parseLine(bytes); !checked)
        return fail(checked.error());
    return bytes;
}

Entry makeEntry(DeviceId device, std::int64_t seq, std::string bytes) {
    auto line = parseLine(bytes);
    return {std::move(device), seq, std::move(bytes), std::move(line)};
}

std::optional<std::string_view> textIn(const json::object& body, std::string_view name) {
    const auto* value = body.if_contains(name);
    if (value == nullptr || !value->is_string())
        return std::nullopt;
    return std::string_view(value->as_string());
}

std::optional<std::int64_t> numberIn(const json::object& body, std::string_view name) {
    const auto* value = body.if_contains(name);
    if (value == nullptr || !value->is_int64())
        return std::nullopt;
    return value->as_int64();
}

std::optional<bool> claimIn(const json::object& body, std::string_view name) {
    const auto* value = body.if_contains(name);
    if (value == nullptr || !value->is_bool())
        return std::nullopt;
    return value->as_bool();
}

std::optional<Uuid> idIn(const json::object& body, std::string_view name) {
    const auto s = textIn(body, name);
    if (!s)
        return std::nullopt;
    const auto id = Uuid::parse(*s);
    return id ? std::optional(*id) : std::nullopt;
}

const json::object* objectIn(const json::object& body, std::string_view name) {
    const auto* value = body.if_contains(name);
    return value != nullptr ? value->if_object() : nullptr;
}

std::optional<std::string_view> blobIn(const json::object& body, std::string_view name) {
    const auto* cited = objectIn(body, name);
    return cited != nullptr ? textIn(*cited, "blob") : std::nullopt;
}

json::array idsToJson(const std::vector<Uuid>& ids) {
    json::array out;
    for (const Uuid& id : ids)
        out.emplace_back(id.text());
    return out;
}

std::vector<Uuid> idsIn(const json::object& body, std::string_view name) {
    std::vector<Uuid> ids;
    const auto* list = body.if_contains(name);
    if (list == nullptr || !list->is_array())
        return ids;
    for (const auto& item : list->as_array())
        if (item.is_string())
            if (const auto id = Uuid::parse(item.as_string()))
                ids.push_back(*id);
    return ids;
}

json::array orderToJson(const Order& order) { return {order.lamport, order.device.text(), order.seq}; }

Order orderIn(const json::object& body, std::string_view name) {
    const auto* value = body.if_contains(name);
    const auto* row = value != nullptr ? value->if_array() : nullptr;
    if (row == nullptr || row->size() != 3 || !row->at(0).is_int64() || !row->at(1).is_string() ||
        !row->at(2).is_int64())
        return {};
    return {row->at(0).as_int64(), DeviceId::parse(row->at(1).as_string()).value_or(DeviceId()),
            row->at(2).as_int64()};
}

} // namespace discal::journal
