#include "phone.h"

#include "catch_compat.hpp"
#include "core/journal/chain.h"

namespace discal::tests {

journal::KeyPair keyOf(std::uint8_t number) {
    std::array<std::uint8_t, 32> seed{};
    seed.fill(number);
    return journal::KeyPair::fromSeed(seed);
}

std::string lineOf(std::string kind, std::uint8_t number, boost::json::object body) {
    journal::Line line;
    line.id.bytes.fill(number);
    line.act = line.id;
    line.kind = std::move(kind);
    line.lamport = number;
    line.at = time::parseUtc("2025-09-14T16:20:00.000Z").value();
    line.boot = "boot";
    line.body = std::move(body);
    return journal::encodeLine(line).value();
}

void signAgain(storage::Delivery& delivery, const journal::KeyPair& key) {
    delivery.head = {delivery.from - 1, delivery.prev};
    for (const std::string& line : delivery.lines)
        delivery.head = {delivery.head.seq + 1, journal::chainNext(delivery.head.hash, line)};
    delivery.jws = journal::signHead(key, delivery.head);
}

storage::Delivery signedDelivery(const journal::KeyPair& key, const std::vector<std::string>& lines) {
    storage::Delivery delivery;
    delivery.device = key.device();
    delivery.publicKey = key.publicKey;
    delivery.prev = journal::chainStart(key.publicKey);
    delivery.lines = lines;
    signAgain(delivery, key);
    return delivery;
}

bool isSame(const storage::Delivery& a, const storage::Delivery& b) {
    const auto sameBlob = [](const storage::Blob& x, const storage::Blob& y) {
        return x.sha256 == y.sha256 && x.bytes == y.bytes;
    };
    return a.device == b.device && a.publicKey == b.publicKey && a.from == b.from && a.prev == b.prev &&
           a.lines == b.lines && a.head == b.head && a.jws == b.jws &&
           std::equal(a.blobs.begin(), a.blobs.end(), b.blobs.begin(), b.blobs.end(), sameBlob);
}

Phone::Phone(std::uint8_t number) {
    storage::Journal::WriteOptions options;
    options.program = "test";
    options.newSeed = [number] { return keyOf(number).seed; };
    auto opened = storage::Journal::openForWriting(storage::Place(m_folder.path() / "journal"), options);
    if (!opened)
        FAIL("code " << static_cast<int>(opened.error().code) << ", " << opened.error().detail);
    m_journal = std::move(*opened);
}

void Phone::write(const std::string& line, const std::vector<storage::Blob>& blobs) {
    REQUIRE(m_journal->append({line}, blobs));
}

std::vector<std::string> Phone::lines(const journal::DeviceId& device) {
    std::vector<std::string> out;
    REQUIRE(
        m_journal->file().visit(device, 1, [&](std::int64_t, std::string_view line, const journal::Hash&) {
            out.emplace_back(line);
            return true;
        }));
    return out;
}

} // namespace discal::tests
