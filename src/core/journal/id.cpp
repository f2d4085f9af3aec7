#include "core/journal/id.h"

#include "core/text/base_n.h"

#include <algorithm>
#include <sodium.h>

namespace discal::journal {

std::string Uuid::text() const {
    static constexpr std::string_view kDigits = "0123456789abcdef";
    std::string out(36, '-');
    std::size_t at = 0;
    for (std::size_t i = 0; i < bytes.size(); ++i) {
        if (i == 4 || i == 6 || i == 8 || i == 10)
            ++at;
        out[at++] = kDigits[bytes[i] >> 4U];
        out[at++] = kDigits[bytes[i] & 15U];
    }
    return out;
}

Result<Uuid> Uuid::parse(std::string_view s) {
    if (s.size() != 36 || s[8] != '-' || s[13] != '-' || s[18] != '-' || s[23] != '-')
        return fail(Code::BadInput, "uuid");
    const auto value = [](char c) -> int {
        if (c >= '0' && c <= '9')
            return c - '0';
        const char lower = static_cast<char>(c | 0x20);
        return lower >= 'a' && lower <= 'f' ? lower - 'a' + 10 : -1;
    };
    Uuid out;
    std::size_t at = 0;
    for (std::size_t i = 0; i < out.bytes.size(); ++i) {
        if (i == 4 || i == 6 || i == 8 || i == 10)
            ++at;
        const int hi = value(s[at]);
        const int lo = value(s[at + 1]);
        if (hi < 0 || lo < 0)
            return fail(Code::BadInput, "uuid");
        out.bytes[i] = static_cast<std::uint8_t>(hi * 16 + lo);
        at += 2;
    }
    return out;
}

Uuid Uuid::v7(time::Instant at, const std::array<std::uint8_t, 10>& random) {
    const auto ms = static_cast<std::uint64_t>(std::max<std::int64_t>(0, at.time_since_epoch().count()));
    Uuid out;
    for (std::size_t i = 0; i < 6; ++i)
        out.bytes[i] = static_cast<std::uint8_t>(ms >> (40 - 8 * i));
    std::copy(random.begin(), random.end(), out.bytes.begin() + 6);
    out.bytes[6] = static_cast<std::uint8_t>(0x70U | (out.bytes[6] & 0x0FU));
    out.bytes[8] = static_cast<std::uint8_t>(0x80U | (out.bytes[8] & 0x3FU));
    return out;
}

time::Instant Uuid::madeAt() const {
    std::int64_t ms = 0;
    for (std::size_t i = 0; i < 6; ++i)
        ms = ms * 256 + bytes[i];
    return time::Instant(std::chrono::milliseconds(ms));
}

DeviceId DeviceId::of(const PublicKey& key) {
    const Hash hash = sha256({reinterpret_cast<const char*>(key.data()), key.size()});
    DeviceId id;
    id.m_text = text::base32(std::span(hash).first(16));
    return id;
}

Result<DeviceId> DeviceId::parse(std::string_view s) {
    const auto legal = [](char c) { return (c >= 'a' && c <= 'z') || (c >= '2' && c <= '7'); };
    if (s.size() != 26 || !std::all_of(s.begin(), s.end(), legal))
        return fail(Code::BadInput, "device id");
    DeviceId id;
    id.m_text = s;
    return id;
}

Hash sha256(std::string_view bytes) {
    Hash out;
    crypto_hash_sha256(out.data(), reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size());
    return out;
}

std::string hexOf(const Hash& hash) { return text::hex(hash); }

Result<Hash> hashFromHex(std::string_view s) {
    auto bytes = text::fromHex(s);
    if (!bytes || bytes->size() != 32)
        return fail(Code::BadInput, "64 hex digits");
    Hash out;
    std::copy(bytes->begin(), bytes->end(), out.begin());
    return out;
}

} // namespace discal::journal
