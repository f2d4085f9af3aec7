#include "catch_compat.hpp"
#include "core/text/base_n.h"
#include "phone.h"
#include "sync/parcel.h"

#include <zstd.h>

using namespace discal;
using namespace discal::tests;

namespace {

/// Made by another program: CPython 3.11's hashlib, base64 and cryptography 48.0.0 (OpenSSL's Ed25519) from
/// design section 6. The key is that of RFC 8032, 7.1, test 1; the line is the example of design section 5,
/// the blob the bytes 00 01 .. 0f and "ML". Ed25519 signatures are deterministic, so the text is too.
constexpr std::string_view kGolden =
    R"({"device":"eh7ddx5bksrgcytl7bkai36se4","public_key":"11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo",)"
    R"("from":1,"prev":"aadbda6d9bf48d3b0852d3c65b877a2c5968b95f3baf72648c92218aac67003c","count":1,)"
    R"("jws":"eyJhbGciOiJFZERTQSIsImtpZCI6ImVoN2RkeDVia3NyZ2N5dGw3YmthaTM2c2U0In0..)"
    R"(b-xJVNKAcJ0OfaSvZcnvfPfdfcMkXIYsvgCUJMExixTocX-i_VcGz86eF-oAZPeDnSA6Y3x4stLxWXXqhju2Aw"})"
    "\n"
    R"({"id":"019a0000-0000-7000-8000-000000000001","kind":"device.started","v":1,"body":{}})"
    "\n"
    R"({"blob":"d0faf47ebf622586ff5fed0b8ae18e2bb8fb0c68d860ac3bf1e296d3e5e8237b","base64":"AAECAwQFBgcICQoLDA0OD01M"})"
    "\n";

storage::Delivery goldenDelivery() {
    const auto secret =
        text::fromHex("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60").value();
    std::array<std::uint8_t, 32> seed{};
    std::copy(secret.begin(), secret.end(), seed.begin());
    auto delivery = signedDelivery(
        journal::KeyPair::fromSeed(seed),
        {R"({"id":"019a0000-0000-7000-8000-000000000001","kind":"device.started","v":1,"body":{}})"});
    delivery.blobs.push_back(
        storage::makeBlob({0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15}, "ML").value());
    return delivery;
}

std::string with(std::string_view from, std::string_view to) {
    std::string text(kGolden);
    const auto at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

Code refusal(const std::string& text) {
    const auto decoded = sync::decodeUnpacked(text);
    REQUIRE_FALSE(decoded);
    return decoded.error().code;
}

} // namespace

TEST_CASE("A parcel's text is the one that another program makes", "[parcel]") {
    const auto text = sync::encodeUnpacked(goldenDelivery());
    REQUIRE(text);
    CHECK(*text == kGolden);
    const auto decoded = sync::decodeUnpacked(kGolden);
    REQUIRE(decoded);
    CHECK(isSame(*decoded, goldenDelivery()));
}

TEST_CASE("A parcel is one zstd frame of that text", "[parcel]") {
    const auto bytes = sync::encodeParcel(goldenDelivery());
    REQUIRE(bytes);
    std::string text(kGolden.size(), '\0');
    REQUIRE(ZSTD_decompress(text.data(), text.size(), bytes->data(), bytes->size()) == kGolden.size());
    CHECK(text == kGolden);
}

TEST_CASE("A header may hold further members, white space and another order, but no member twice",
          "[parcel]") {
    CHECK(sync::decodeUnpacked(with("{\"device\"", R"({ "later" : [{"device":"x"}], "device")")));
    CHECK(sync::decodeUnpacked(with(R"("from":1,)", "").insert(1, R"("from":1,)")));
    CHECK(refusal(with(R"("from":1)", R"("from":1,"from":1)")) == Code::DuplicateKey);
    CHECK(refusal(with("{\"device\"", R"({"later":{"a":1,"a":1},"device")")) == Code::DuplicateKey);
}

TEST_CASE("A header with a member missing or of another type is refused", "[parcel]") {
    CHECK(refusal(with(R"("from":1,)", "")) == Code::MissingMember);
    CHECK(refusal(with(R"("count":1,)", "")) == Code::MissingMember);
    CHECK(refusal(with(R"("public_key")", R"("publickey")")) == Code::MissingMember);
    CHECK(refusal(with(R"("from":1)", R"("from":"1")")) == Code::WrongType);
    CHECK(refusal(with(R"("from":1)", R"("from":null)")) == Code::WrongType);
    CHECK(refusal(with(R"("from":1)", R"("from":1.5)")) == Code::NumberNotWhole);
    CHECK(refusal(with(R"("from":1)", R"("from":1e0)")) == Code::NumberNotWhole);
    CHECK(refusal("[]\n") == Code::NotJson);
    CHECK(refusal("{}\n") == Code::MissingMember);
    CHECK(refusal("{\n") == Code::LineTooShort);
    CHECK(refusal("\n") == Code::LineTooShort);
    CHECK(refusal("{}") == Code::Corrupt);
    CHECK(refusal("") == Code::Corrupt);
    CHECK(refusal(with("{\"device\"", "{\"later\":\"" + std::string(16'384, 'x') + "\",\"device\"")) ==
          Code::LineTooLong);
    CHECK(refusal(with("{\"device\"", "{\"later\":\"\xFF\",\"device\"")) == Code::NotUtf8);
}

TEST_CASE("Keys and hashes have one spelling", "[parcel]") {
    CHECK(refusal(with("eh7ddx5bksrgcytl7bkai36se4", "EH7DDX5BKSRGCYTL7BKAI36SE4")) == Code::BadInput);
    CHECK(refusal(with("\"eh7d", "\"eh7")) == Code::BadInput);
    CHECK(refusal(with("HURo\"", "HURo=\"")) == Code::BadInput);
    CHECK(refusal(with("HURo\"", "HURp\"")) == Code::BadInput);  // a spare bit set
    CHECK(refusal(with("HURo\"", "\"")) == Code::BadInput);      // 30 bytes
    CHECK(refusal(with("HURo\"", "HURoA\"")) == Code::BadInput); // 33 bytes
    CHECK(refusal(with("aadbda", "AADBDA")) == Code::BadInput);
    CHECK(refusal(with("aadbda", "aadb")) == Code::BadInput);
    CHECK(refusal(with("d0faf4", "D0FAF4")) == Code::BadInput);
}

TEST_CASE("Counts and places that are not so are refused before anything is made for them", "[parcel]") {
    CHECK(refusal(with(R"("count":1)", R"("count":0)")) == Code::OutOfRange);
    CHECK(refusal(with(R"("count":1)", R"("count":-1)")) == Code::OutOfRange);
    CHECK(refusal(with(R"("count":1)", R"("count":200001)")) == Code::OutOfRange);
    CHECK(refusal(with(R"("count":1)", R"("count":9007199254740991)")) == Code::OutOfRange);
    CHECK(refusal(with(R"("count":1)", R"("count":9007199254740992)")) == Code::NumberNotWhole);
    CHECK(refusal(with(R"("count":1)", R"("count":99999999999999999999999)")) == Code::NumberNotWhole);
    CHECK(refusal(with(R"("from":1)", R"("from":0)")) == Code::OutOfRange);
    CHECK(refusal(with(R"("from":1)", R"("from":-9007199254740991)")) == Code::OutOfRange);
    CHECK(refusal(with(R"("from":1)", R"("from":9007199254740991)")) == Code::OutOfRange);
    CHECK(refusal(with(R"("from":1)", R"("from":2)")) == Code::BadSignature);
    // The blob's line taken for a line of the chain, then none left; and a line of the chain for a blob's.
    CHECK(refusal(with(R"("count":1)", R"("count":2)")) == Code::BadSignature);
    CHECK(refusal(with(R"("count":1)", R"("count":3)")) == Code::Corrupt);
    CHECK(refusal(with("{\"id\"", "{}\n{\"id\"")) == Code::BadSignature);
    CHECK(refusal(with("{\"blob\"", "{\"id\":\"x\"}\n{\"blob\"")) == Code::MissingMember);
}

TEST_CASE("A blob's line is an object of two plain strings", "[parcel]") {
    CHECK(sync::decodeUnpacked(with("{\"blob\":", "\t{ \"blob\" :\r")));
    CHECK(sync::decodeUnpacked(with("{\"blob\":", R"({"later":"x","blob":)")));
    CHECK(refusal(with("{\"blob\":", R"({"blob":"","blob":)")) == Code::DuplicateKey);
    CHECK(refusal(with("{\"blob\":", R"({"base64":"","blob":)")) == Code::DuplicateKey);
    CHECK(refusal(with("{\"blob\":", R"({"later":1,"blob":)")) == Code::NotJson);
    CHECK(refusal(with("{\"blob\":", R"({"blob\u0000":)")) == Code::NotJson);
    CHECK(refusal(with("{\"blob\":", "{\"blob\t\":")) == Code::NotJson);
    CHECK(refusal(with("{\"blob\":", "{,\"blob\":")) == Code::NotJson);
    CHECK(refusal(with("OD01M\"}", "OD01M\",}")) == Code::NotJson);
    CHECK(refusal(with("OD01M\"}", "OD01M\"}}")) == Code::NotJson);
    CHECK(refusal(with("OD01M\"}", "OD01M\"")) == Code::NotJson);
    CHECK(refusal(with("OD01M\"}", "OD01M")) == Code::NotJson);
    CHECK(refusal(with("OD01M\"}", "OD01M==\"}")) == Code::BadInput);
    CHECK(refusal(with("OD01M\"}", "OD01\\/\"}")) == Code::NotJson);
    CHECK(refusal(with("OD01M\"}", "OD01N\"}")) == Code::Corrupt);
    CHECK(refusal(with("d0faf4", "d0faf5")) == Code::Corrupt);
    CHECK(refusal(std::string(kGolden) + "\n") == Code::NotJson);
    CHECK(refusal(std::string(kGolden) + "{}\n") == Code::NotJson);
}

TEST_CASE("A blob holds 16 random bytes and at most 256 KiB", "[parcel]") {
    auto delivery = goldenDelivery();
    delivery.blobs = {storage::makeBlob({}, std::string(storage::kLargestBlobContent, 'x')).value(),
                      storage::makeBlob({1}, "").value()};
    const auto text = sync::encodeUnpacked(delivery);
    REQUIRE(text);
    const auto decoded = sync::decodeUnpacked(*text);
    REQUIRE(decoded);
    CHECK(isSame(*decoded, delivery));

    for (const std::size_t size : {std::size_t{0}, std::size_t{15}, storage::kLargestBlobContent + 17}) {
        storage::Blob blob;
        blob.bytes.assign(size, 'x');
        blob.sha256 = journal::sha256(blob.bytes);
        auto wrong = goldenDelivery();
        wrong.blobs = {blob};
        const auto refused = sync::encodeUnpacked(wrong);
        REQUIRE_FALSE(refused);
        CHECK(refused.error().code == Code::OutOfRange);
        std::string forged = sync::encodeUnpacked(signedDelivery(keyOf(1), {"{}"})).value();
        forged += R"({"blob":")" + journal::hexOf(blob.sha256) + R"(","base64":")" +
                  text::base64url(text::bytesOf(blob.bytes)) + "\"}\n";
        CHECK(refusal(forged) == Code::OutOfRange);
    }
}

TEST_CASE("Lines have 2 to 16,384 bytes, on the way out and in", "[parcel]") {
    const auto key = keyOf(1);
    const auto whole = signedDelivery(key, {"{}", std::string(16'384, 'x')});
    const auto text = sync::encodeUnpacked(whole);
    REQUIRE(text);
    CHECK(isSame(sync::decodeUnpacked(*text).value(), whole));

    const auto outgoing = [&](const std::string& line) {
        return sync::encodeUnpacked(signedDelivery(key, {"{}", line})).error().code;
    };
    CHECK(outgoing("") == Code::LineTooShort);
    CHECK(outgoing("x") == Code::LineTooShort);
    CHECK(outgoing(std::string(16'385, 'x')) == Code::LineTooLong);
    CHECK(outgoing("a\nb") == Code::LineFeedInLine);

    // Rightly signed, so only the framing can refuse it.
    const auto incoming = [&](const std::string& line) {
        const auto signedOver = signedDelivery(key, {"{}", line});
        std::string forged = *text;
        const auto jws = forged.find(whole.jws);
        forged.replace(jws, whole.jws.size(), signedOver.jws);
        forged.replace(forged.rfind("{}\n") + 3, std::string::npos, line + "\n");
        return refusal(forged);
    };
    CHECK(incoming("") == Code::LineTooShort);
    CHECK(incoming("x") == Code::LineTooShort);
    CHECK(incoming(std::string(16'385, 'x')) == Code::LineTooLong);
}

TEST_CASE("A text that is cut anywhere is refused, except between blobs", "[parcel]") {
    const std::size_t beforeBlob = kGolden.find("{\"blob\"");
    for (std::size_t size = 0; size < kGolden.size(); ++size) {
        INFO(size);
        CHECK(sync::decodeUnpacked(kGolden.substr(0, size)).has_value() == (size == beforeBlob));
    }
}
