#include "sync/delivery.h"

#include "core/journal/chain.h"
#include "sync/guarded.h"
#include "sync/parcel.h"

#include <algorithm>
#include <set>
#include <string_view>
#include <utility>
#include <vector>

namespace discal::sync {

using journal::DeviceId;
using journal::Hash;
using journal::Head;
using storage::Chain;
using storage::Delivery;

namespace {

Result<Chain> signedChainOf(storage::Journal& journal, const DeviceId& device) {
    if (device == journal.device())
        return journal.signedChain();
    auto chain = journal.file().chain(device);
    if (!chain)
        return fail(chain.error());
    if (!*chain)
        return fail(Code::NotFound, device.text());
    return std::move(**chain);
}

/// Calls `found` for each {"blob": HEX} in the line. By its bytes, not as JSON: a line that no reader
/// understands cites blobs all the same. Inside a string the quotes are escaped, so text doesn't pass for a
/// citation.
template <class Found>
void forCitedBlobs(std::string_view line, Found&& found) {
    constexpr std::string_view kKey = "\"blob\"";
    constexpr std::string_view kBlanks = " \t\r";
    constexpr std::size_t kDigits = 64;
    for (auto at = line.find(kKey); at != std::string_view::npos; at = line.find(kKey, at + kKey.size())) {
        std::string_view rest = line.substr(at + kKey.size());
        for (const char expected : {':', '"'}) {
            rest.remove_prefix(std::min(rest.find_first_not_of(kBlanks), rest.size()));
            if (!rest.starts_with(expected)) {
                rest = {};
                break;
            }
            rest.remove_prefix(1);
        }
        if (rest.size() <= kDigits || rest[kDigits] != '"')
            continue;
        if (const auto name = journal::hashFromHex(rest.substr(0, kDigits)))
            found(*name);
    }
}

/// Puts the lines from `delivery.from` to `delivery.head` into it, if they are the chain that was signed.
Result<void> collectLines(storage::JournalFile& file, Delivery& delivery, std::size_t& size) {
    const auto prev = file.hash(delivery.device, delivery.from - 1);
    if (!prev)
        return fail(prev.error());
    if (!*prev)
        return fail(Code::Corrupt, delivery.device.text(), delivery.from - 1);
    delivery.prev = **prev;
    Head at{delivery.from - 1, delivery.prev};
    const auto visited =
        file.visit(delivery.device, delivery.from, [&](std::int64_t seq, std::string_view line, const Hash&) {
            if (seq != at.seq + 1 || seq > delivery.head.seq)
                return false;
            at = {seq, journal::chainNext(at.hash, line)};
            size += line.size() + 1;
            delivery.lines.emplace_back(line);
            return size <= kLargestUnpacked && delivery.lines.size() <= kMostLines;
        });
    if (!visited)
        return visited;
    if (delivery.lines.size() > kMostLines)
        return fail(Code::OutOfRange, "count");
    if (size > kLargestUnpacked)
        return fail(Code::OutOfRange, "unpacked");
    if (at != delivery.head)
        return fail(Code::BrokenChain, delivery.device.text(), at.seq);
    return {};
}

Result<void> collectBlobs(storage::Journal& journal, Delivery& delivery, std::size_t& size) {
    std::set<Hash> seen;
    std::vector<Hash> cited;
    for (const std::string& line : delivery.lines)
        forCitedBlobs(line, [&](const Hash& name) {
            if (seen.insert(name).second)
                cited.push_back(name);
        });
    for (const Hash& name : cited) {
        // Erased means gone for good, also where its bytes could not be removed yet.
        const auto isErased = journal.projections().isErased(name);
        if (!isErased)
            return fail(isErased.error());
        if (*isErased)
            continue;
        auto blob = journal.file().blob(name);
        if (!blob)
            return fail(blob.error());
        if (!*blob)
            continue;
        if (auto checked = checkBlob(**blob); !checked)
            return checked;
        size += (*blob)->bytes.size();
        if (size > kLargestUnpacked)
            return fail(Code::OutOfRange, "unpacked");
        delivery.blobs.push_back(std::move(**blob));
    }
    return {};
}

} // namespace

Result<Delivery> deliveryOf(storage::Journal& journal, const DeviceId& device, std::int64_t from,
                            Blobs blobs) {
    return guarded([&]() -> Result<Delivery> {
        if (from < 1)
            return fail(Code::OutOfRange, "from", from);
        auto chain = signedChainOf(journal, device);
        if (!chain)
            return fail(chain.error());
        if (!chain->jws || from > chain->signedHead.seq)
            return fail(Code::NothingToDo, device.text(), chain->signedHead.seq);
        Delivery delivery;
        delivery.device = device;
        delivery.publicKey = chain->publicKey;
        delivery.from = from;
        delivery.head = chain->signedHead;
        delivery.jws = std::move(*chain->jws);
        std::size_t size = 0;
        if (auto collected = collectLines(journal.file(), delivery, size); !collected)
            return fail(collected.error());
        if (blobs == Blobs::With)
            if (auto collected = collectBlobs(journal, delivery, size); !collected)
                return fail(collected.error());
        return delivery;
    });
}

} // namespace discal::sync
