#include "core/journal/signing.h"

#include "core/text/base_n.h"

#include <boost/json.hpp>
#include <sodium.h>

namespace discal::journal {

namespace {

const unsigned char* raw(std::string_view s) { return reinterpret_cast<const unsigned char*>(s.data()); }

std::string signedPart(std::string_view header, std::string_view payload) {
    return text::base64url(text::bytesOf(header)) + "." + text::base64url(text::bytesOf(payload));
}

} // namespace

KeyPair KeyPair::fromSeed(const std::array<std::uint8_t, 32>& seed) {
    KeyPair pair;
    pair.seed = seed;
    std::array<std::uint8_t, crypto_sign_SECRETKEYBYTES> secret{};
    crypto_sign_seed_keypair(pair.publicKey.data(), secret.data(), seed.data());
    sodium_memzero(secret.data(), secret.size());
    return pair;
}

Signature sign(const KeyPair& key, std::string_view message) {
    // libsodium's secret key is the seed followed by the public key.
    std::array<std::uint8_t, crypto_sign_SECRETKEYBYTES> secret{};
    std::copy(key.seed.begin(), key.seed.end(), secret.begin());
    std::copy(key.publicKey.begin(), key.publicKey.end(), secret.begin() + 32);
    Signature out{};
    crypto_sign_detached(out.data(), nullptr, raw(message), message.size(), secret.data());
    sodium_memzero(secret.data(), secret.size());
    return out;
}

bool verify(const PublicKey& key, std::string_view message, std::string_view signature) {
    if (signature.size() != crypto_sign_BYTES)
        return false;
    return crypto_sign_verify_detached(raw(signature), raw(message), message.size(), key.data()) == 0;
}

std::string signCompact(const KeyPair& key, std::string_view payload) {
    const std::string input = signedPart(R"({"alg":"EdDSA"})", payload);
    return input + "." + text::base64url(sign(key, input));
}

std::string headMessage(const DeviceId& device, const Head& head) {
    return "discal head 1\n" + device.text() + " " + std::to_string(head.seq) + " " + hexOf(head.hash) + "\n";
}

std::string signHead(const KeyPair& key, const Head& head) {
    const DeviceId device = key.device();
    const std::string header = R"({"alg":"EdDSA","kid":")" + device.text() + R"("})";
    const Signature signature = sign(key, signedPart(header, headMessage(device, head)));
    return text::base64url(text::bytesOf(header)) + ".." + text::base64url(signature);
}

Result<void> verifyHead(const PublicKey& key, const Head& head, std::string_view jws) {
    const auto middle = jws.find("..");
    if (middle == std::string_view::npos)
        return fail(Code::BadSignature);
    const auto headerBytes = text::fromBase64url(jws.substr(0, middle));
    const auto signature = text::fromBase64url(jws.substr(middle + 2));
    if (!headerBytes || !signature)
        return fail(Code::BadSignature);
    const std::string_view header(reinterpret_cast<const char*>(headerBytes->data()), headerBytes->size());
    boost::json::error_code ec;
    const boost::json::value parsed = boost::json::parse(header, ec);
    if (ec || !parsed.is_object())
        return fail(Code::BadSignature);
    const auto& members = parsed.as_object();
    const auto textOf = [&](std::string_view name) -> std::string_view {
        const auto* value = members.if_contains(name);
        return value != nullptr && value->is_string() ? std::string_view(value->as_string()) : std::string_view();
    };
    if (textOf("alg") != "EdDSA" || members.contains("crit"))
        return fail(Code::BadSignature);
    const DeviceId device = DeviceId::of(key);
    if (textOf("kid") != device.text())
        return fail(Code::WrongDevice);
    const std::string input = signedPart(header, headMessage(device, head));
    if (!verify(key, input, {reinterpret_cast<const char*>(signature->data()), signature->size()}))
        return fail(Code::BadSignature);
    return {};
}

} // namespace discal::journal
