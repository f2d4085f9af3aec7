#include "core/journal/chain.h"

#include <sodium.h>

namespace discal::journal {

namespace {

const unsigned char* raw(std::string_view s) { return reinterpret_cast<const unsigned char*>(s.data()); }

} // namespace

Hash chainStart(const PublicKey& key) {
    constexpr std::string_view kPrefix = "discal journal 1\n";
    crypto_hash_sha256_state state;
    crypto_hash_sha256_init(&state);
    crypto_hash_sha256_update(&state, raw(kPrefix), kPrefix.size());
    crypto_hash_sha256_update(&state, key.data(), key.size());
    Hash out;
    crypto_hash_sha256_final(&state, out.data());
    return out;
}

Hash chainNext(const Hash& previous, std::string_view line) {
    crypto_hash_sha256_state state;
    crypto_hash_sha256_init(&state);
    crypto_hash_sha256_update(&state, previous.data(), previous.size());
    crypto_hash_sha256_update(&state, raw(line), line.size());
    Hash out;
    crypto_hash_sha256_final(&state, out.data());
    return out;
}

} // namespace discal::journal
