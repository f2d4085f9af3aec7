#include "core/journal/signing.h"

#include "core/journal/chain.h"
#include "core/text/base_n.h"

#include "catch_compat.hpp"
#include "reference.h"

#include <algorithm>
#include <boost/json.hpp>
#include <optional>
#include <string>

using namespace discal;
using journal::Head;
using journal::KeyPair;
using journal::signHead;
using journal::verify;
using journal::verifyHead;

namespace {

namespace json = boost::json;

std::string bytesFromHex(std::string_view hex) {
    const auto bytes = text::fromHex(hex).value();
    return {bytes.begin(), bytes.end()};
}

std::string bytesFromBase64url(std::string_view s) {
    const auto bytes = text::fromBase64url(s).value();
    return {bytes.begin(), bytes.end()};
}

template <class Array>
Array arrayOf(std::string_view bytes) {
    Array out{};
    REQUIRE(bytes.size() == out.size());
    std::copy(bytes.begin(), bytes.end(), out.begin());
    return out;
}

std::optional<json::value> referenceJson(const std::string& name) {
    const auto path = tests::reference("standards/crypto/" + name);
    return path ? std::optional(json::parse(tests::readFile(*path))) : std::nullopt;
}

std::string_view at(const json::value& object, std::string_view name) {
    return object.at(name).as_string();
}

// RFC 8032, section 7.1, tests 1 and 2: secret keys.
KeyPair test1() {
    return KeyPair::fromSeed(arrayOf<std::array<std::uint8_t, 32>>(
        bytesFromHex("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60")));
}
KeyPair test2() {
    return KeyPair::fromSeed(arrayOf<std::array<std::uint8_t, 32>>(
        bytesFromHex("4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb")));
}

Head someHead(const KeyPair& pair) {
    return {7, journal::chainNext(journal::chainStart(pair.publicKey), "{}")};
}

/// A detached JWS over `message` by `pair`, with any header: what a hostile or a later program might make.
std::string detached(const KeyPair& pair, std::string_view header, std::string_view message) {
    const std::string protectedPart = text::base64url(text::bytesOf(header));
    const auto signature = sign(pair, protectedPart + "." + text::base64url(text::bytesOf(message)));
    return protectedPart + ".." + text::base64url(signature);
}

std::optional<Code> refusal(const KeyPair& pair, const Head& head, std::string_view jws) {
    const auto verified = verifyHead(pair.publicKey, head, jws);
    return verified ? std::nullopt : std::optional(verified.error().code);
}

std::string headerOf(const KeyPair& pair) {
    return R"({"alg":"EdDSA","kid":")" + pair.device().text() + R"("})";
}

} // namespace

// RFC 8032, section 7.1, tests 1 to 3.
TEST_CASE("Keys and signatures are those of RFC 8032", "[journal]") {
    const auto file = referenceJson("rfc8032_ed25519.json");
    if (!file)
        return;
    std::size_t tested = 0;
    for (const auto& vector : file->at("vectors").as_array()) {
        INFO(at(vector, "name"));
        const auto pair =
            KeyPair::fromSeed(arrayOf<std::array<std::uint8_t, 32>>(bytesFromHex(at(vector, "secret_key"))));
        CHECK(text::hex(pair.publicKey) == at(vector, "public_key"));
        const std::string message = bytesFromHex(at(vector, "message"));
        CHECK(text::hex(sign(pair, message)) == at(vector, "signature"));
        CHECK(verify(pair.publicKey, message, bytesFromHex(at(vector, "signature"))));
        CHECK_FALSE(verify(pair.publicKey, message + "x", bytesFromHex(at(vector, "signature"))));
        ++tested;
    }
    CHECK(tested == 3);
}

// C2SP/wycheproof at dac1dd4, testvectors_v1/ed25519_test.json.
TEST_CASE("All hostile signatures of Wycheproof are refused and all valid ones accepted", "[journal]") {
    const auto file = referenceJson("wycheproof_ed25519.json");
    if (!file)
        return;
    std::size_t tested = 0;
    for (const auto& group : file->at("testGroups").as_array()) {
        const auto key = arrayOf<journal::PublicKey>(bytesFromHex(at(group.at("publicKey"), "pk")));
        for (const auto& test : group.at("tests").as_array()) {
            INFO("tcId " << test.at("tcId").as_int64() << " " << at(test, "comment"));
            CHECK(verify(key, bytesFromHex(at(test, "msg")), bytesFromHex(at(test, "sig"))) ==
                  (at(test, "result") == "valid"));
            ++tested;
        }
    }
    CHECK(tested == 151);
}

// The eight torsion points' encodings, as listed in "Taming the many EdDSAs" (Chalkias, Garillot, Nikolaenko
// 2020, table 6) and libsodium's blocklist: with a key of small order, one signature fits every message.
TEST_CASE("A key of small order verifies nothing", "[journal]") {
    for (const char* small : {"0100000000000000000000000000000000000000000000000000000000000000",
                              "ecffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f",
                              "0000000000000000000000000000000000000000000000000000000000000000",
                              "0000000000000000000000000000000000000000000000000000000000000080",
                              "26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05",
                              "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a"}) {
        const auto key = arrayOf<journal::PublicKey>(bytesFromHex(small));
        // R = the identity, S = 0: for A = the identity, S*B = R + k*A holds for any k.
        const std::string signature = bytesFromHex("01" + std::string(126, '0'));
        CHECK_FALSE(verify(key, "any message", signature));
    }
}

// RFC 8037, appendix A.4.
TEST_CASE("A compact JWS is the one of RFC 8037", "[journal]") {
    const auto file = referenceJson("rfc8037_jws_ed25519.json");
    if (!file)
        return;
    const auto pair = KeyPair::fromSeed(
        arrayOf<std::array<std::uint8_t, 32>>(bytesFromBase64url(at(file->at("jwk_private"), "d"))));
    CHECK(text::base64url(pair.publicKey) == at(file->at("jwk_private"), "x"));
    const std::string compact = signCompact(pair, at(*file, "payload"));
    CHECK(compact == at(*file, "jws_compact"));
    // The same three parts that RFC 7515, 5.2 verifies.
    const auto first = compact.find('.');
    const auto second = compact.find('.', first + 1);
    CHECK(bytesFromBase64url(compact.substr(0, first)) == at(*file, "protected"));
    CHECK(verify(pair.publicKey, compact.substr(0, second), bytesFromBase64url(compact.substr(second + 1))));
}

// design.md, section 5: "discal head 1\n" + device + " " + seq + " " + hash in hex + "\n".
TEST_CASE("The message that a head signs is the one of the design", "[journal]") {
    const KeyPair pair = test1();
    CHECK(headMessage(pair.device(), {0, journal::chainStart(pair.publicKey)}) ==
          "discal head 1\neh7ddx5bksrgcytl7bkai36se4 0 "
          "aadbda6d9bf48d3b0852d3c65b877a2c5968b95f3baf72648c92218aac67003c\n");
}

// RFC 7515, appendix F (detached content), 5.1 (what is signed); RFC 8037, 3.1 (EdDSA).
TEST_CASE("A signed head is a JWS without its payload, and anybody with the key can check it", "[journal]") {
    const KeyPair pair = test1();
    const Head head = someHead(pair);
    const std::string jws = signHead(pair, head);
    const auto middle = jws.find("..");
    REQUIRE(middle != std::string::npos);
    const std::string header = bytesFromBase64url(jws.substr(0, middle));
    CHECK(header == R"({"alg":"EdDSA","kid":"eh7ddx5bksrgcytl7bkai36se4"})");
    // Put the payload back and it is an ordinary compact JWS.
    const std::string input =
        jws.substr(0, middle) + "." + text::base64url(text::bytesOf(headMessage(pair.device(), head)));
    CHECK(verify(pair.publicKey, input, bytesFromBase64url(jws.substr(middle + 2))));
    CHECK(verifyHead(pair.publicKey, head, jws));
    CHECK(verifyHead(pair.publicKey, {0, journal::chainStart(pair.publicKey)},
                     signHead(pair, {0, journal::chainStart(pair.publicKey)})));
}

TEST_CASE("A head that was tampered with is refused, whichever part it is", "[journal]") {
    const KeyPair pair = test1();
    const Head head = someHead(pair);
    const std::string jws = signHead(pair, head);
    SECTION("another seq") {
        CHECK(refusal(pair, {head.seq + 1, head.hash}, jws) == Code::BadSignature);
        CHECK(refusal(pair, {-head.seq, head.hash}, jws) == Code::BadSignature);
    }
    SECTION("another hash, in any byte") {
        for (std::size_t i = 0; i < head.hash.size(); ++i) {
            Head other = head;
            other.hash[i] ^= 1U;
            CHECK(refusal(pair, other, jws) == Code::BadSignature);
        }
    }
    SECTION("any character of the JWS") {
        for (std::size_t i = 0; i < jws.size(); ++i)
            for (const char c : {'A', 'Q', 'x', '.', '=', '\n', '\0'}) {
                std::string other = jws;
                other[i] = c;
                INFO(other);
                CHECK(refusal(pair, head, other).has_value() == (other != jws));
            }
    }
    SECTION("any length") {
        for (std::size_t i = 0; i < jws.size(); ++i)
            CHECK(refusal(pair, head, jws.substr(0, i)) == Code::BadSignature);
        CHECK(refusal(pair, head, jws + "A") == Code::BadSignature);
        CHECK(refusal(pair, head, jws + ".") == Code::BadSignature);
        CHECK(refusal(pair, head, " " + jws) == Code::BadSignature);
    }
    SECTION("a signature of another length") {
        CHECK(refusal(pair, head, jws.substr(0, jws.find("..") + 2) + "AAAA") == Code::BadSignature);
        CHECK(refusal(pair, head, jws.substr(0, jws.find("..") + 2)) == Code::BadSignature);
    }
    SECTION("the payload left in") {
        const auto middle = jws.find("..");
        const std::string payload = text::base64url(text::bytesOf(headMessage(pair.device(), head)));
        CHECK(refusal(pair, head, jws.substr(0, middle) + "." + payload + jws.substr(middle + 1)) ==
              Code::BadSignature);
    }
}

// RFC 7515, 4.1.11: who does not understand an extension named in "crit" must refuse the JWS.
TEST_CASE("A head that asks for an extension is refused although its signature is right", "[journal]") {
    const KeyPair pair = test1();
    const Head head = someHead(pair);
    const std::string message = headMessage(pair.device(), head);
    const std::string kid = R"("kid":")" + pair.device().text() + R"(")";
    REQUIRE_FALSE(
        refusal(pair, head, detached(pair, headerOf(pair), message))); // so the rest is the header's fault
    for (const std::string& header :
         {R"({"alg":"EdDSA",)" + kid + R"(,"crit":["b64"],"b64":false})",
          R"({"alg":"EdDSA",)" + kid + R"(,"crit":[]})", R"({"alg":"EdDSA",)" + kid + R"(,"crit":null})"})
        CHECK(refusal(pair, head, detached(pair, header, message)) == Code::BadSignature);
}

// RFC 8725, 3.1: the algorithm is ours to say, not the header's.
TEST_CASE("A head with another algorithm or a header that is no object is refused", "[journal]") {
    const KeyPair pair = test1();
    const Head head = someHead(pair);
    const std::string message = headMessage(pair.device(), head);
    const std::string kid = R"("kid":")" + pair.device().text() + R"(")";
    for (const std::string& header :
         {R"({"alg":"none",)" + kid + "}", R"({"alg":"HS256",)" + kid + "}", R"({"alg":"eddsa",)" + kid + "}",
          "{" + kid + "}", R"({"alg":1,)" + kid + "}", std::string(R"(["EdDSA"])"), std::string("null"),
          std::string(), headerOf(pair) + "x", headerOf(pair).substr(1)})
        CHECK(refusal(pair, head, detached(pair, header, message)) == Code::BadSignature);
}

TEST_CASE("A head by another device's key is refused", "[journal]") {
    const KeyPair ours = test1();
    const KeyPair theirs = test2();
    const Head head = someHead(ours);
    const std::string message = headMessage(ours.device(), head);
    // Another kid, or none, over the right message by the right key.
    CHECK(refusal(ours, head, detached(ours, headerOf(theirs), message)) == Code::WrongDevice);
    CHECK(refusal(ours, head, detached(ours, R"({"alg":"EdDSA"})", message)) == Code::WrongDevice);
    CHECK(refusal(ours, head, detached(ours, R"({"alg":"EdDSA","kid":7})", message)) == Code::WrongDevice);
    // Our kid, their signature.
    CHECK(refusal(ours, head, detached(theirs, headerOf(ours), message)) == Code::BadSignature);
    // Their head, checked with our key; ours, with theirs.
    CHECK(refusal(ours, head, signHead(theirs, head)) == Code::WrongDevice);
    CHECK(refusal(theirs, head, signHead(ours, head)) == Code::WrongDevice);
    // Right in all, but about the other device's chain.
    CHECK(refusal(ours, head, detached(ours, headerOf(ours), headMessage(theirs.device(), head))) ==
          Code::BadSignature);
}
