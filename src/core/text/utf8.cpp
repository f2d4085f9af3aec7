#include "core/text/utf8.h"

#include <cstdint>
#include <cstring>

namespace discal::text {

bool isUtf8(std::string_view s) {
    const auto* p = reinterpret_cast<const std::uint8_t*>(s.data());
    const std::uint8_t* const end = p + s.size();
    while (p < end) {
        // Nearly all of a journal is ASCII: take eight bytes at a time while it is.
        while (end - p >= 8) {
            std::uint64_t word = 0;
            std::memcpy(&word, p, 8);
            if ((word & 0x8080808080808080U) != 0)
                break;
            p += 8;
        }
        if (p == end)
            break;
        const std::uint8_t lead = *p++;
        if (lead < 0x80)
            continue;
        int more = 0;
        std::uint8_t low = 0x80;
        std::uint8_t high = 0xBF;
        if (lead >= 0xC2 && lead <= 0xDF) {
            more = 1;
        } else if (lead >= 0xE0 && lead <= 0xEF) {
            more = 2;
            low = lead == 0xE0 ? 0xA0 : 0x80;
            high = lead == 0xED ? 0x9F : 0xBF;
        } else if (lead >= 0xF0 && lead <= 0xF4) {
            more = 3;
            low = lead == 0xF0 ? 0x90 : 0x80;
            high = lead == 0xF4 ? 0x8F : 0xBF;
        } else {
            return false;
        }
        for (int i = 0; i < more; ++i, ++p) {
            if (p == end || *p < low || *p > high)
                return false;
            low = 0x80;
            high = 0xBF;
        }
    }
    return true;
}

} // namespace discal::text
