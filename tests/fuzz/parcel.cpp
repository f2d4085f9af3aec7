// Feeds arbitrary bytes to the reader of parcels: as a file; after a 'P', as the text inside one; after a 'K'
// and a count, as lines and blobs' lines below a header that is right for them, since no fuzzer forges a
// signature. Run with the files in corpus/parcel/ as a start.

#include "sync/parcel.h"
#include "core/journal/chain.h"
#include "core/text/base_n.h"

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>

using namespace discal;

namespace {

void require(bool holds) {
    if (!holds)
        std::abort();
}

bool isSame(const storage::Delivery& a, const storage::Delivery& b) {
    const auto sameBlob = [](const storage::Blob& x, const storage::Blob& y) {
        return x.sha256 == y.sha256 && x.bytes == y.bytes;
    };
    return a.device == b.device && a.publicKey == b.publicKey && a.from == b.from && a.prev == b.prev &&
           a.lines == b.lines && a.head == b.head && a.jws == b.jws &&
           std::equal(a.blobs.begin(), a.blobs.end(), b.blobs.begin(), b.blobs.end(), sameBlob);
}

void checkGenuine(const storage::Delivery& d) {
    require(journal::DeviceId::of(d.publicKey) == d.device);
    require(d.from >= 1 && !d.lines.empty());
    journal::Head head{d.from - 1, d.prev};
    for (const std::string& line : d.lines) {
        require(line.size() >= journal::kShortestLine && line.size() <= journal::kLongestLine);
        require(line.find('\n') == std::string::npos);
        head = {head.seq + 1, journal::chainNext(head.hash, line)};
    }
    require(head == d.head && journal::verifyHead(d.publicKey, head, d.jws).has_value());
    for (const storage::Blob& blob : d.blobs)
        require(journal::sha256(blob.bytes) == blob.sha256 && sync::checkBlob(blob).has_value());
    const auto bytes = sync::encodeParcel(d);
    require(bytes.has_value());
    const auto again = sync::decodeParcel(*bytes);
    require(again && isSame(*again, d));
}

/// A header that is right for the first `count` lines of `text`.
std::string withHeader(std::size_t count, std::string_view text) {
    std::array<std::uint8_t, 32> seed{};
    const auto key = journal::KeyPair::fromSeed(seed);
    const auto start = journal::chainStart(key.publicKey);
    journal::Head head{0, start};
    std::string_view rest = text;
    for (std::size_t i = 0; i < count && rest.find('\n') != std::string_view::npos; ++i) {
        head = {head.seq + 1, journal::chainNext(head.hash, rest.substr(0, rest.find('\n')))};
        rest.remove_prefix(rest.find('\n') + 1);
    }
    return "{\"device\":\"" + key.device().text() + "\",\"public_key\":\"" + text::base64url(key.publicKey) +
           "\",\"from\":1,\"prev\":\"" + journal::hexOf(start) + "\",\"count\":" + std::to_string(count) +
           ",\"jws\":\"" + journal::signHead(key, head) + "\"}\n" + std::string(text);
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view bytes(reinterpret_cast<const char*>(data), size);
    if (const auto delivery = sync::decodeParcel(bytes))
        checkGenuine(*delivery);
    if (bytes.starts_with('P'))
        if (const auto delivery = sync::decodeUnpacked(bytes.substr(1)))
            checkGenuine(*delivery);
    if (bytes.starts_with('K') && size >= 2)
        if (const auto delivery = sync::decodeUnpacked(withHeader(data[1], bytes.substr(2))))
            checkGenuine(*delivery);
    return 0;
}
