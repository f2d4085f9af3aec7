#include "core/journal/chain.h"

#include "core/text/base_n.h"

#include "catch_compat.hpp"
#include "reference.h"

#include <algorithm>
#include <sstream>
#include <string>

using namespace discal;
using journal::chainNext;
using journal::chainStart;
using journal::hexOf;

namespace {

// RFC 8032, section 7.1, test 1.
constexpr std::string_view kKey = "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a";
constexpr std::string_view kLine =
    R"({"id":"019a0000-0000-7000-8000-000000000001","kind":"device.started","v":1,"body":{}})";

journal::PublicKey key() {
    journal::PublicKey out{};
    const auto bytes = text::fromHex(kKey).value();
    std::copy(bytes.begin(), bytes.end(), out.begin());
    return out;
}

} // namespace

// design.md, section 5 (never change). Computed apart with Python's hashlib: sha256(b"discal journal 1\n" +
// key), then sha256(h0 + line).
TEST_CASE("A chain starts and goes on with the hashes of the design", "[journal]") {
    const auto h0 = chainStart(key());
    CHECK(hexOf(h0) == "aadbda6d9bf48d3b0852d3c65b877a2c5968b95f3baf72648c92218aac67003c");
    CHECK(hexOf(chainNext(h0, kLine)) == "adf306afc5c4d3f9deaa43d559b6a6e86b1e91c039d2448ecb52378a6152d1a5");
}

TEST_CASE("A hash depends on the hash before it and on every byte of the line", "[journal]") {
    const auto h0 = chainStart(key());
    const auto h1 = chainNext(h0, kLine);
    auto otherKey = key();
    otherKey[31] ^= 1U;
    CHECK(chainStart(otherKey) != h0);
    for (std::size_t i = 0; i < h0.size(); ++i) {
        auto other = h0;
        other[i] ^= 0x80U;
        CHECK(chainNext(other, kLine) != h1);
    }
    for (std::size_t i = 0; i < kLine.size(); ++i) {
        std::string other(kLine);
        other[i] = static_cast<char>(other[i] ^ 1);
        CHECK(chainNext(h0, other) != h1);
    }
    CHECK(chainNext(h0, std::string(kLine) + " ") != h1);
    CHECK(chainNext(h0, std::string(kLine) + "\n") != h1);
    // Two lines are not one line of the same bytes.
    CHECK(chainNext(chainNext(h0, "{}"), "{}") != chainNext(h0, "{}{}"));
}

// FIPS 180-4 examples, and block boundaries computed for standards/crypto.
TEST_CASE("SHA-256 gives the examples of FIPS 180 and the block-boundary lengths", "[journal]") {
    const auto path = tests::reference("standards/crypto/fips180_sha256_examples.csv");
    if (!path)
        return;
    std::stringstream file(tests::readFile(*path));
    std::string row;
    std::getline(file, row);
    REQUIRE(row == "source,msg_hex,repeat,sha256_hex");
    int rows = 0;
    while (std::getline(file, row)) {
        if (!row.empty() && row.back() == '\r')
            row.pop_back();
        if (row.empty())
            continue;
        const auto a = row.find(',');
        const auto b = row.find(',', a + 1);
        const auto c = row.find(',', b + 1);
        const auto unit = text::fromHex(row.substr(a + 1, b - a - 1)).value();
        std::string message;
        for (int n = std::stoi(row.substr(b + 1)); n > 0; --n)
            message.append(unit.begin(), unit.end());
        INFO(row.substr(0, 100));
        CHECK(hexOf(journal::sha256(message)) == row.substr(c + 1));
        ++rows;
    }
    CHECK(rows == 20);
}
