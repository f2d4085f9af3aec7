// Feeds arbitrary bytes, line by line, to the receiver's reader and what it gives to the average. Run with
// the files in corpus/nmea/ as a start.

#include "core/place/nmea.h"
#include "core/place/averaging.h"

#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>
#include <vector>

using namespace discal::place;

namespace {

void require(bool holds) {
    if (!holds)
        std::abort();
}

// A right checksum is hard to hit upon, so a line that begins with "%" gets one.
std::string framed(std::string_view body) {
    constexpr std::string_view kHex = "0123456789ABCDEF";
    unsigned sum = 0;
    for (const char c : body)
        sum ^= static_cast<unsigned char>(c);
    std::string line = "$" + std::string(body) + "*";
    line += kHex[sum >> 4 & 15U];
    line += kHex[sum & 15U];
    return line;
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size) {
    std::string_view rest(reinterpret_cast<const char*>(data), size);
    NmeaReader reader;
    std::vector<Fix> fixes;
    std::int64_t upMs = 0;
    std::int64_t lines = 0;
    while (!rest.empty()) {
        const auto end = rest.find('\n');
        const std::string_view line = rest.substr(0, end);
        rest.remove_prefix(end == std::string_view::npos ? rest.size() : end + 1);
        // "@" lets the fuzzer jump ahead in time; the letter after it says how far.
        if (line.size() > 1 && line[0] == '@')
            upMs += std::int64_t{1} << (static_cast<unsigned char>(line[1]) % 40U);
        upMs += 250;
        ++lines;
        const auto heard =
            line.substr(0, 1) == "%" ? reader.feed(framed(line.substr(1)), upMs) : reader.feed(line, upMs);
        if (heard.fix)
            fixes.push_back(*heard.fix);
    }
    if (const auto last = reader.flush())
        fixes.push_back(*last);

    const NmeaReader::Tally& tally = reader.tally();
    require(tally.fixes == static_cast<std::int64_t>(fixes.size()));
    std::int64_t counted = 0;
    for (const std::int64_t count : tally.sentences)
        counted += count;
    require(counted == lines);
    for (const Fix& fix : fixes)
        require(isLegal(fix.latE7, fix.lonE7) && fix.accuracyMm >= 1 && fix.upMs <= upMs);
    if (const auto p = average(fixes, upMs))
        require(isLegal(*p) && p->ageMs <= kWindowMs && p->fixCount <= static_cast<int>(fixes.size()));
    return 0;
}
