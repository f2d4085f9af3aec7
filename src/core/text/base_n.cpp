#include "core/text/base_n.h"

#include <array>

namespace discal::text {

namespace {

constexpr std::string_view kHex = "0123456789abcdef";
constexpr std::string_view kBase32 = "abcdefghijklmnopqrstuvwxyz234567";
constexpr std::string_view kBase64url = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
constexpr std::string_view kBase45 = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";

int hexValue(char c) {
    if (c >= '0' && c <= '9')
        return c - '0';
    if (c >= 'a' && c <= 'f')
        return c - 'a' + 10;
    if (c >= 'A' && c <= 'F')
        return c - 'A' + 10;
    return -1;
}

/// Regroups bytes into digits of `bits` bits, most significant first; the last digit is filled with zeros.
std::string regroup(ByteSpan bytes, unsigned bits, std::string_view alphabet) {
    std::string out;
    out.reserve(bytes.size() * 8 / bits + 1);
    std::uint32_t pool = 0;
    unsigned have = 0;
    for (const std::uint8_t b : bytes) {
        pool = (pool << 8U) | b;
        have += 8;
        while (have >= bits) {
            have -= bits;
            out += alphabet[(pool >> have) & ((1U << bits) - 1U)];
        }
        pool &= (1U << have) - 1U;
    }
    if (have > 0)
        out += alphabet[(pool << (bits - have)) & ((1U << bits) - 1U)];
    return out;
}

} // namespace

std::string hex(ByteSpan bytes) {
    std::string out;
    out.reserve(bytes.size() * 2);
    for (const std::uint8_t b : bytes) {
        out += kHex[b >> 4U];
        out += kHex[b & 15U];
    }
    return out;
}

Result<Bytes> fromHex(std::string_view s) {
    if (s.size() % 2 != 0)
        return fail(Code::BadInput, "hex");
    Bytes out;
    out.reserve(s.size() / 2);
    for (std::size_t i = 0; i < s.size(); i += 2) {
        const int hi = hexValue(s[i]);
        const int lo = hexValue(s[i + 1]);
        if (hi < 0 || lo < 0)
            return fail(Code::BadInput, "hex");
        out.push_back(static_cast<std::uint8_t>(hi * 16 + lo));
    }
    return out;
}

std::string base32(ByteSpan bytes) { return regroup(bytes, 5, kBase32); }

std::string base64url(ByteSpan bytes) { return regroup(bytes, 6, kBase64url); }

Result<Bytes> fromBase64url(std::string_view s) {
    Bytes out;
    out.reserve(s.size() * 3 / 4);
    std::uint32_t pool = 0;
    unsigned have = 0;
    for (const char c : s) {
        const auto at = kBase64url.find(c);
        if (at == std::string_view::npos)
            return fail(Code::BadInput, "base64url");
        pool = (pool << 6U) | static_cast<std::uint32_t>(at);
        have += 6;
        if (have >= 8) {
            have -= 8;
            out.push_back(static_cast<std::uint8_t>((pool >> have) & 255U));
        }
        pool &= (1U << have) - 1U;
    }
    if (have >= 6 || pool != 0)
        return fail(Code::BadInput, "base64url");
    return out;
}

std::string base45(ByteSpan bytes) {
    std::string out;
    out.reserve(bytes.size() / 2 * 3 + 2);
    for (std::size_t i = 0; i < bytes.size(); i += 2) {
        const bool isPair = i + 1 < bytes.size();
        std::uint32_t value = isPair ? bytes[i] * 256U + bytes[i + 1] : bytes[i];
        for (int digits = isPair ? 3 : 2; digits > 0; --digits) {
            out += kBase45[value % 45];
            value /= 45;
        }
    }
    return out;
}

Result<Bytes> fromBase45(std::string_view s) {
    if (s.size() % 3 == 1)
        return fail(Code::BadInput, "base45");
    Bytes out;
    out.reserve(s.size() / 3 * 2 + 1);
    for (std::size_t i = 0; i < s.size(); i += 3) {
        const std::string_view group = s.substr(i, 3);
        std::uint32_t value = 0;
        for (auto c = group.rbegin(); c != group.rend(); ++c) {
            const auto at = kBase45.find(*c);
            if (at == std::string_view::npos)
                return fail(Code::BadInput, "base45");
            value = value * 45 + static_cast<std::uint32_t>(at);
        }
        if (value > (group.size() == 3 ? 0xFFFFU : 0xFFU))
            return fail(Code::BadInput, "base45");
        if (group.size() == 3)
            out.push_back(static_cast<std::uint8_t>(value >> 8U));
        out.push_back(static_cast<std::uint8_t>(value & 0xFFU));
    }
    return out;
}

} // namespace discal::text
