#pragma once

#include <cstdio>
#include <string>

namespace discal::tests {

/// "$" + body + "*" + checksum, as a receiver sends it.
inline std::string sentence(const std::string& body) {
    unsigned sum = 0;
    for (const char c : body)
        sum ^= static_cast<unsigned char>(c);
    char tail[4];
    std::snprintf(tail, sizeof tail, "*%02X", sum & 0xFFU);
    return "$" + body + tail + "\r\n";
}

} // namespace discal::tests
