// Any bytes, to the reader of lines. What it lets through is read by everything else: so each way to read the
// bytes has to agree with the others, and what was read has to survive being written.

#include "core/journal/line.h"
#include "core/journal/subjects.h"
#include "core/text/utf8.h"

#include <boost/json.hpp>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>

using namespace discal;
using namespace discal::journal;

namespace {

namespace json = boost::json;

void require(bool holds) {
    if (!holds)
        std::abort();
}

bool isPlain(const json::value& value, int depth) {
    require(depth <= 32);
    if (const auto* object = value.if_object()) {
        for (const auto& member : *object)
            if (!text::isUtf8(member.key()) || !isPlain(member.value(), depth + 1))
                return false;
        return true;
    }
    if (const auto* array = value.if_array()) {
        for (const auto& item : *array)
            if (!isPlain(item, depth + 1))
                return false;
        return true;
    }
    if (const auto* s = value.if_string())
        return text::isUtf8(*s);
    if (value.is_double() || value.is_uint64())
        return false;
    if (const auto* n = value.if_int64())
        return *n <= kLargestNumber && *n >= -kLargestNumber;
    return true;
}

bool isEqual(const Line& a, const Line& b) {
    return a.id == b.id && a.kind == b.kind && a.version == b.version && a.act == b.act &&
           a.about == b.about && a.lamport == b.lamport && a.by == b.by && a.at == b.at &&
           a.offset == b.offset && a.zone == b.zone && a.boot == b.boot && a.upMs == b.upMs &&
           a.body == b.body;
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view bytes(reinterpret_cast<const char*>(data), size);
    const auto object = parseObject(bytes);
    const auto line = parseLine(bytes);

    if (object) {
        require(bytes.size() >= kShortestLine && bytes.size() <= kLongestLine);
        require(bytes.find('\n') == std::string_view::npos && text::isUtf8(bytes));
        require(isPlain(*object, 1));
        // Another reader, that of the library, reads the same.
        json::error_code ec;
        const auto other = json::parse(bytes, ec);
        require(!ec && other.is_object() && other.as_object() == *object);
        // Written anew it is no longer than it was, and it means the same.
        const std::string again = json::serialize(*object);
        require(again.size() <= bytes.size());
        const auto reread = parseObject(again);
        require(reread && *reread == *object);
    }

    require(!line || object);
    if (!object)
        require(line.error().code == object.error().code);
    if (line) {
        const auto written = encodeLine(*line);
        if (!written) {
            // Only a time without milliseconds gets longer, by ".000".
            require(written.error().code == Code::LineTooLong && bytes.size() > kLongestLine - 5);
        } else {
            const auto reread = parseLine(*written);
            require(reread && isEqual(*reread, *line));
            require(encodeLine(*reread) == *written);
        }
        const auto device = DeviceId::of(PublicKey{});
        const auto subjects = subjectsOf(*line, device, line->body);
        for (std::size_t i = 1; i < subjects.size(); ++i)
            require(subjects[i - 1] < subjects[i]);
    }

    const Entry entry = makeEntry(DeviceId::of(PublicKey{}), 1, std::string(bytes));
    require(entry.line.has_value() == line.has_value() && entry.bytes == bytes);
    return 0;
}
