#include "core/text/utf8.h"

#include "catch_compat.hpp"

#include <array>
#include <cstdint>
#include <string>
#include <vector>

using discal::text::isUtf8;

namespace {

struct Range {
    int low, high;
};

/// The Unicode Standard 15.0, table 3-7 "Well-Formed UTF-8 Byte Sequences", row by row.
const std::vector<std::vector<Range>> kTable{
    {{0x00, 0x7F}},
    {{0xC2, 0xDF}, {0x80, 0xBF}},
    {{0xE0, 0xE0}, {0xA0, 0xBF}, {0x80, 0xBF}},
    {{0xE1, 0xEC}, {0x80, 0xBF}, {0x80, 0xBF}},
    {{0xED, 0xED}, {0x80, 0x9F}, {0x80, 0xBF}},
    {{0xEE, 0xEF}, {0x80, 0xBF}, {0x80, 0xBF}},
    {{0xF0, 0xF0}, {0x90, 0xBF}, {0x80, 0xBF}, {0x80, 0xBF}},
    {{0xF1, 0xF3}, {0x80, 0xBF}, {0x80, 0xBF}, {0x80, 0xBF}},
    {{0xF4, 0xF4}, {0x80, 0x8F}, {0x80, 0xBF}, {0x80, 0xBF}},
};

bool isRow(const std::string& s) {
    for (const auto& row : kTable) {
        bool fits = row.size() == s.size();
        for (std::size_t i = 0; fits && i < s.size(); ++i) {
            const int byte = static_cast<unsigned char>(s[i]);
            fits = byte >= row[i].low && byte <= row[i].high;
        }
        if (fits)
            return true;
    }
    return false;
}

/// Whether `s` can be cut into rows of the table. Slow and plain, to compare with.
bool isWellFormedByTable(const std::string& s) {
    std::vector<bool> reachable(s.size() + 1, false);
    reachable[0] = true;
    for (std::size_t at = 0; at < s.size(); ++at)
        for (std::size_t n = 1; reachable[at] && n <= 4 && at + n <= s.size(); ++n)
            if (isRow(s.substr(at, n)))
                reachable[at + n] = true;
    return reachable[s.size()];
}

/// Bytes at which some row of the table begins or ends, and their neighbours.
const std::vector<int> kEdges{0x00, 0x7F, 0x80, 0x8F, 0x90, 0x9F, 0xA0, 0xBF, 0xC0, 0xC1, 0xC2, 0xDF,
                              0xE0, 0xE1, 0xEC, 0xED, 0xEE, 0xEF, 0xF0, 0xF1, 0xF3, 0xF4, 0xF5, 0xFF};

/// At every offset around the words of eight bytes that are taken at once, with and without more behind it.
bool agreesAtEveryOffset(const std::string& s) {
    const bool wanted = isWellFormedByTable(s);
    for (std::size_t before = 0; before <= 17; ++before)
        for (const std::size_t after : {0U, 1U, 7U, 8U, 9U})
            if (isUtf8(std::string(before, 'a') + s + std::string(after, 'z')) != wanted)
                return false;
    return true;
}

} // namespace

// The Unicode Standard 15.0, table 3-7.
TEST_CASE("Every lead byte with every edge of a second byte is judged as Unicode table 3-7 has it",
          "[text]") {
    for (int lead = 0; lead < 256; ++lead)
        for (const int second : kEdges)
            for (const char* rest : {"", "\x80", "\xBF\x80", "\x80\x80\x80"}) {
                const std::string s = std::string{static_cast<char>(lead), static_cast<char>(second)} + rest;
                INFO("lead " << lead << ", second " << second << ", then " << std::string(rest).size()
                             << " bytes");
                CHECK(isUtf8(s) == isWellFormedByTable(s));
            }
}

// The Unicode Standard 15.0, definition D76: there are 1,112,064 scalar values (17 x 65,536 less 2,048
// surrogates), and each has one encoding. The fourth byte stands for all 64 of its row.
TEST_CASE("There are as many well-formed characters as there are Unicode scalar values", "[text]") {
    std::size_t found = 0;
    for (int lead = 0; lead < 0x100; ++lead) {
        const auto c = static_cast<char>(lead);
        found += isUtf8(std::string{c}) ? 1U : 0U;
        for (int second = 0; lead >= 0x80 && second < 0x100; ++second) {
            const auto d = static_cast<char>(second);
            found += isUtf8(std::string{c, d}) ? 1U : 0U;
            for (int third = 0x80; third < 0xC0; ++third) {
                const auto e = static_cast<char>(third);
                found += isUtf8(std::string{c, d, e}) ? 1U : 0U;
                found += isUtf8(std::string{c, d, e, '\x80'}) ? 64U : 0U;
            }
        }
    }
    CHECK(found == 1'112'064);
}

TEST_CASE("Edges of Unicode table 3-7 are judged alike at any offset from the words of eight bytes",
          "[text]") {
    for (const int lead : kEdges)
        for (const int second : kEdges) {
            const std::string two{static_cast<char>(lead), static_cast<char>(second)};
            CHECK(agreesAtEveryOffset(two));
            CHECK(agreesAtEveryOffset(two + "\x80"));
            CHECK(agreesAtEveryOffset(two + "\xBF\xBF"));
        }
}

// The Unicode Standard 15.0, table 3-7 and definition D92; RFC 3629, sections 3 and 10 (overlong forms,
// surrogates).
TEST_CASE("The first and last characters of each length are well formed, their neighbours outside are not",
          "[text]") {
    for (const std::string s : {"", "\x7F", "\xC2\x80", "\xDF\xBF", "\xE0\xA0\x80", "\xED\x9F\xBF",
                                "\xEE\x80\x80", "\xEF\xBF\xBF", "\xF0\x90\x80\x80", "\xF4\x8F\xBF\xBF"})
        CHECK(isUtf8(s));
    CHECK(isUtf8(std::string(1, '\0')));
    for (const std::string s : {
             "\x80", "\xBF",                                         // a trail byte alone
             "\xC0\x80", "\xC1\xBF",                                 // overlong, two bytes
             "\xE0\x80\x80", "\xE0\x9F\xBF",                         // overlong, three
             "\xF0\x80\x80\x80", "\xF0\x8F\xBF\xBF",                 // overlong, four
             "\xED\xA0\x80", "\xED\xBF\xBF",                         // surrogates D800 and DFFF
             "\xED\xA0\xBD\xED\xB8\x80",                             // a pair of them (CESU-8)
             "\xF4\x90\x80\x80", "\xF5\x80\x80\x80", "\xFE", "\xFF", // beyond U+10FFFF
             "\xF8\x88\x80\x80\x80",                                 // five bytes
         })
        CHECK_FALSE(isUtf8(s));
}

TEST_CASE("A character cut short is refused wherever the cut is", "[text]") {
    for (const std::string& character :
         {std::string("\xC3\xA9"), std::string("\xE2\x82\xAC"), std::string("\xF0\x9F\xA6\x8B")})
        for (std::size_t before = 0; before <= 17; ++before)
            for (std::size_t kept = 1; kept < character.size(); ++kept) {
                const std::string cut = std::string(before, 'a') + character.substr(0, kept);
                CHECK_FALSE(isUtf8(cut));
                CHECK_FALSE(isUtf8(cut + "abcdefgh"));
                CHECK_FALSE(isUtf8(cut + character));
            }
}

// The Unicode Standard 15.0, section 3.9, tables 3-8 to 3-10: ill-formed sequences used to show U+FFFD
// substitution.
TEST_CASE("The ill-formed examples of the Unicode Standard are refused", "[text]") {
    CHECK_FALSE(isUtf8("\xC0\xAF\xE0\x80\xBF\xF0\x81\x82\x41"));
    CHECK_FALSE(isUtf8("\xED\xA0\x80\xED\xBF\xBF\xED\xAF\x41"));
    CHECK_FALSE(isUtf8("\xF4\x91\x92\x93\xFF\x41\x80\xBF\x42"));
    CHECK_FALSE(isUtf8("\xE1\x80\xE2\xF0\x91\x92\xF1\xBF\x41"));
}

// The byte after the end may be anything: a view into a larger buffer is not read beyond its end.
TEST_CASE("Bytes after the end of the view do not count", "[text]") {
    const std::string larger = "abcdefg\xC3\xA9xyz";
    CHECK_FALSE(isUtf8(std::string_view(larger).substr(0, 8)));
    CHECK(isUtf8(std::string_view(larger).substr(0, 7)));
    CHECK(isUtf8(std::string_view(larger).substr(0, 9)));
}
