#include "core/tag/scheme.h"

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

// Any bytes, to everything that reads a tag code or a scheme. The bytes up to the first '|' are a pattern or
// an example, the rest is what was typed; without a '|' all of it serves as both.

using namespace discal::tag;

namespace {

void require(bool holds) {
    if (!holds)
        std::abort();
}

void checkCode(const Scheme& scheme, const Code& code) {
    require(scheme.admits(code));
    require(scheme.ordinal(code) < scheme.capacity());
    require(scheme.at(scheme.ordinal(code)) == code);
    require(scheme.parse(code.text()) == code);
    require(scheme.parse(code.compact()) == code);
    require(!scheme.parseTyped(code.text())->repaired);
    require(Code::fromText(code.text()) == code);
    require(parseAny(code.text()) == code);
    if (const auto next = scheme.next(code))
        require(*next > code && scheme.ordinal(*next) == scheme.ordinal(code) + 1);
}

void checkTyped(const Scheme& scheme, std::string_view typed) {
    const auto parsed = scheme.parseTyped(typed);
    const auto readings = scheme.readings(typed);
    require(readings.size() <= 16);
    for (const Code& reading : readings)
        checkCode(scheme, reading);
    if (parsed) {
        require(readings.size() == 1 && readings.front() == parsed->code);
        // Only what was typed or a look-alike of it: never another number of glyphs.
        const auto isGlyph = [](char c) {
            return (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
        };
        const auto glyphs = static_cast<std::size_t>(std::count_if(typed.begin(), typed.end(), isGlyph));
        require(glyphs == scheme.letterCount() + scheme.digitCount());
    } else {
        require(readings.empty() == (parsed.error().code == discal::Code::NotACode));
        require(!parsed.error().detail.empty());
    }
    if (const auto any = parseAny(typed); any && scheme.admits(*any))
        require(parsed && parsed->code == *any);
}

void checkScheme(const Scheme& scheme, std::string_view typed) {
    require(Scheme::fromPattern(scheme.pattern()) == scheme);
    require(scheme.capacity() >= 10);
    checkCode(scheme, scheme.at(0));
    checkCode(scheme, scheme.at(scheme.capacity() - 1));
    checkTyped(scheme, typed);
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view all(reinterpret_cast<const char*>(data), size);
    const std::size_t bar = all.find('|');
    const std::string_view form = all.substr(0, bar);
    const std::string_view typed = bar == std::string_view::npos ? all : all.substr(bar + 1);

    if (const auto scheme = Scheme::learn(form))
        checkScheme(*scheme, typed);
    if (const auto scheme = Scheme::fromPattern(form))
        checkScheme(*scheme, typed);
    if (const auto code = parseAny(typed))
        checkCode(Scheme::of(*code), *code);
    if (const auto code = Code::fromText(typed))
        require(code->text() == typed && parseAny(typed) == *code);
    return 0;
}
