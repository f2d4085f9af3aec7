#include "sync/parcel.h"

#include "core/journal/chain.h"
#include "core/journal/line.h"
#include "core/text/base_n.h"
#include "sync/guarded.h"
#include "sync/zstd_frame.h"

#include <algorithm>
#include <boost/json.hpp>
#include <optional>

namespace discal::sync {

namespace json = boost::json;
using journal::DeviceId;
using journal::Hash;
using journal::Head;
using storage::Blob;
using storage::Delivery;

namespace {

constexpr std::size_t kBlobRandom = 16;
constexpr std::size_t kLargestBlob = storage::kLargestBlobContent + kBlobRandom;
/// Unpadded (RFC 4648, 3.2): 4 characters for 3 bytes, rounded up.
constexpr std::size_t kLongestBase64 = (kLargestBlob * 4 + 2) / 3;

/// Walks a parcel's text line by line.
class Lines {
public:
    explicit Lines(std::string_view text) : m_rest(text) {}
    [[nodiscard]] bool areDone() const { return m_rest.empty(); }
    /// The next line without its LF; nothing if there is no LF any more.
    [[nodiscard]] std::optional<std::string_view> next() {
        const auto end = m_rest.find('\n');
        if (end == std::string_view::npos)
            return std::nullopt;
        const std::string_view line = m_rest.substr(0, end);
        m_rest.remove_prefix(end + 1);
        return line;
    }

private:
    std::string_view m_rest;
};

/// Walks one flat JSON object of plain strings. journal::parseObject is for lines, which are shorter than a
/// blob.
class FlatObject {
public:
    explicit FlatObject(std::string_view text) : m_rest(text) {}
    /// Whether `c` comes next, after JSON's white space; if so it is taken.
    [[nodiscard]] bool take(char c) {
        skipBlanks();
        if (!m_rest.starts_with(c))
            return false;
        m_rest.remove_prefix(1);
        return true;
    }
    [[nodiscard]] std::optional<std::string_view> takeString() {
        if (!take('"'))
            return std::nullopt;
        std::size_t size = 0;
        while (size < m_rest.size() && isPlain(m_rest[size]))
            ++size;
        if (size == m_rest.size() || m_rest[size] != '"')
            return std::nullopt;
        const std::string_view value = m_rest.substr(0, size);
        m_rest.remove_prefix(size + 1);
        return value;
    }
    [[nodiscard]] bool isDone() {
        skipBlanks();
        return m_rest.empty();
    }

private:
    [[nodiscard]] static bool isPlain(char c) { return c >= 0x20 && c < 0x7F && c != '"' && c != '\\'; }
    void skipBlanks() { m_rest.remove_prefix(std::min(m_rest.find_first_not_of(" \t\r\n"), m_rest.size())); }

    std::string_view m_rest;
};

/// 64 lower-case digits and nothing else: one hash has one spelling.
std::optional<Hash> hashIn(std::string_view hex) {
    const auto isUpper = [](char c) { return c >= 'A' && c <= 'F'; };
    if (std::any_of(hex.begin(), hex.end(), isUpper))
        return std::nullopt;
    const auto hash = journal::hashFromHex(hex);
    return hash ? std::optional(*hash) : std::nullopt;
}

/// A member of the header through `read`, which gives nothing for another type.
template <class Read>
auto member(const json::object& header, std::string_view name, Read&& read)
    -> Result<typename decltype(read(header, name))::value_type> {
    if (!header.contains(name))
        return fail(Code::MissingMember, std::string(name));
    const auto value = read(header, name);
    if (!value)
        return fail(Code::WrongType, std::string(name));
    return *value;
}

/// Puts the header into `delivery`; gives the count of lines.
Result<std::size_t> readHeader(std::string_view line, Delivery& delivery) {
    const auto header = journal::parseObject(line);
    if (!header)
        return fail(header.error());
    const auto device = member(*header, "device", journal::textIn);
    const auto publicKey = member(*header, "public_key", journal::textIn);
    const auto from = member(*header, "from", journal::numberIn);
    const auto prev = member(*header, "prev", journal::textIn);
    const auto count = member(*header, "count", journal::numberIn);
    const auto jws = member(*header, "jws", journal::textIn);
    for (const auto* text : {&device, &publicKey, &prev, &jws})
        if (!*text)
            return fail(text->error());
    for (const auto* number : {&from, &count})
        if (!*number)
            return fail(number->error());

    const auto id = DeviceId::parse(*device);
    if (!id)
        return fail(Code::BadInput, "device");
    const auto key = text::fromBase64url(*publicKey);
    if (!key || key->size() != delivery.publicKey.size())
        return fail(Code::BadInput, "public_key");
    const auto hash = hashIn(*prev);
    if (!hash)
        return fail(Code::BadInput, "prev");
    if (*count < 1 || *count > static_cast<std::int64_t>(kMostLines))
        return fail(Code::OutOfRange, "count", *count);
    delivery.device = *id;
    std::copy(key->begin(), key->end(), delivery.publicKey.begin());
    delivery.from = *from;
    delivery.prev = *hash;
    delivery.jws = *jws;
    return static_cast<std::size_t>(*count);
}

Result<Blob> readBlob(std::string_view line) {
    FlatObject object(line);
    std::optional<std::string_view> name;
    std::optional<std::string_view> base64;
    if (!object.take('{'))
        return fail(Code::NotJson, "blob");
    do {
        const auto key = object.takeString();
        if (!key || !object.take(':'))
            return fail(Code::NotJson, "blob");
        const auto value = object.takeString();
        if (!value)
            return fail(Code::NotJson, "blob");
        auto* known = *key == "blob" ? &name : *key == "base64" ? &base64 : nullptr;
        if (known == nullptr)
            continue;
        if (*known)
            return fail(Code::DuplicateKey, std::string(*key));
        *known = value;
    } while (object.take(','));
    if (!object.take('}') || !object.isDone())
        return fail(Code::NotJson, "blob");
    if (!name || !base64)
        return fail(Code::MissingMember, !name ? "blob" : "base64");

    const auto hash = hashIn(*name);
    if (!hash)
        return fail(Code::BadInput, "blob");
    if (base64->size() > kLongestBase64)
        return fail(Code::OutOfRange, "blob", static_cast<std::int64_t>(base64->size()));
    const auto bytes = text::fromBase64url(*base64);
    if (!bytes)
        return fail(Code::BadInput, "base64");
    Blob blob{*hash, std::string(bytes->begin(), bytes->end())};
    if (auto checked = checkBlob(blob); !checked)
        return fail(checked.error());
    return blob;
}

/// The head after the lines, computed; `head` and `jws` of the delivery are not looked at.
Result<Head> headOver(const Delivery& d) {
    if (DeviceId::of(d.publicKey) != d.device)
        return fail(Code::WrongDevice, d.device.text());
    if (d.lines.empty() || d.lines.size() > kMostLines)
        return fail(Code::OutOfRange, "count", static_cast<std::int64_t>(d.lines.size()));
    const auto count = static_cast<std::int64_t>(d.lines.size());
    if (d.from < 1 || d.from > journal::kLargestNumber - count)
        return fail(Code::OutOfRange, "from", d.from);
    if (d.from == 1 && d.prev != journal::chainStart(d.publicKey))
        return fail(Code::BrokenChain, d.device.text(), d.from);
    Head head{d.from - 1, d.prev};
    for (const std::string& line : d.lines) {
        ++head.seq;
        if (line.size() < journal::kShortestLine)
            return fail(Code::LineTooShort, {}, head.seq);
        if (line.size() > journal::kLongestLine)
            return fail(Code::LineTooLong, {}, head.seq);
        head.hash = journal::chainNext(head.hash, line);
    }
    return head;
}

Result<Delivery> decode(std::string_view text) {
    if (text.size() > kLargestUnpacked)
        return fail(Code::OutOfRange, "unpacked", static_cast<std::int64_t>(text.size()));
    Lines lines(text);
    const auto header = lines.next();
    if (!header)
        return fail(Code::Corrupt, "line feed");
    Delivery delivery;
    const auto count = readHeader(*header, delivery);
    if (!count)
        return fail(count.error());
    while (delivery.lines.size() < *count) {
        const auto line = lines.next();
        if (!line)
            return fail(Code::Corrupt, "line feed");
        delivery.lines.emplace_back(*line);
    }
    const auto head = headOver(delivery);
    if (!head)
        return fail(head.error());
    delivery.head = *head;
    if (auto verified = journal::verifyHead(delivery.publicKey, delivery.head, delivery.jws); !verified)
        return fail(verified.error());
    while (!lines.areDone()) {
        const auto line = lines.next();
        if (!line)
            return fail(Code::Corrupt, "line feed");
        auto blob = readBlob(*line);
        if (!blob)
            return fail(blob.error());
        delivery.blobs.push_back(std::move(*blob));
    }
    return delivery;
}

Result<std::string> encode(const Delivery& d) {
    const auto head = headOver(d);
    if (!head)
        return fail(head.error());
    if (*head != d.head)
        return fail(Code::BrokenChain, d.device.text(), head->seq);
    if (auto verified = journal::verifyHead(d.publicKey, d.head, d.jws); !verified)
        return fail(verified.error());
    std::string out = json::serialize(json::object{{"device", d.device.text()},
                                                   {"public_key", text::base64url(d.publicKey)},
                                                   {"from", d.from},
                                                   {"prev", journal::hexOf(d.prev)},
                                                   {"count", d.lines.size()},
                                                   {"jws", d.jws}});
    if (out.size() > journal::kLongestLine)
        return fail(Code::LineTooLong);
    out += '\n';
    for (const std::string& line : d.lines) {
        if (line.find('\n') != std::string::npos)
            return fail(Code::LineFeedInLine);
        out += line;
        out += '\n';
        if (out.size() > kLargestUnpacked)
            return fail(Code::OutOfRange, "unpacked");
    }
    for (const Blob& blob : d.blobs) {
        if (auto checked = checkBlob(blob); !checked)
            return fail(checked.error());
        out += R"({"blob":")" + journal::hexOf(blob.sha256) + R"(","base64":")" +
               text::base64url(text::bytesOf(blob.bytes)) + "\"}\n";
        if (out.size() > kLargestUnpacked)
            return fail(Code::OutOfRange, "unpacked");
    }
    return out;
}

} // namespace

Result<void> checkBlob(const Blob& blob) {
    if (blob.bytes.size() < kBlobRandom || blob.bytes.size() > kLargestBlob)
        return fail(Code::OutOfRange, "blob", static_cast<std::int64_t>(blob.bytes.size()));
    if (journal::sha256(blob.bytes) != blob.sha256)
        return fail(Code::Corrupt, "blob " + journal::hexOf(blob.sha256));
    return {};
}

Result<std::string> encodeUnpacked(const Delivery& delivery) {
    return guarded([&] { return encode(delivery); });
}

Result<Delivery> decodeUnpacked(std::string_view text) {
    return guarded([&] { return decode(text); });
}

Result<std::string> encodeParcel(const Delivery& delivery) {
    const auto text = encodeUnpacked(delivery);
    if (!text)
        return fail(text.error());
    auto bytes = packFrame(*text);
    if (bytes && bytes->size() > kLargestParcel)
        return fail(Code::OutOfRange, "parcel", static_cast<std::int64_t>(bytes->size()));
    return bytes;
}

Result<Delivery> decodeParcel(std::string_view bytes) {
    if (bytes.size() > kLargestParcel)
        return fail(Code::OutOfRange, "parcel", static_cast<std::int64_t>(bytes.size()));
    const auto text = unpackFrame(bytes, kLargestUnpacked);
    if (!text)
        return fail(text.error());
    return decodeUnpacked(*text);
}

} // namespace discal::sync
