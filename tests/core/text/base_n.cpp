#include "core/text/base_n.h"

#include "catch_compat.hpp"

#include <array>
#include <string>
#include <string_view>
#include <utility>

using namespace discal;
using text::bytesOf;

namespace {

std::string textOf(const text::Bytes& bytes) {
    return {bytes.begin(), bytes.end()};
}

constexpr std::array<std::string_view, 7> kWords{"", "f", "fo", "foo", "foob", "fooba", "foobar"};

} // namespace

// RFC 4648, section 10: BASE32("") ... BASE32("foobar"). We write lower case without "=".
TEST_CASE("Base32 gives the test vectors of RFC 4648, in lower case and unpadded", "[text]") {
    constexpr std::array<std::string_view, 7> kWanted{"",        "my",       "mzxq",      "mzxw6",
                                                      "mzxw6yq", "mzxw6ytb", "mzxw6ytboi"};
    for (std::size_t i = 0; i < kWords.size(); ++i)
        CHECK(text::base32(bytesOf(kWords[i])) == kWanted[i]);
}

// RFC 4648, section 10: BASE64("") ... BASE64("foobar"); sections 5 and 3.2 for the alphabet and for leaving
// out "=".
TEST_CASE("Base64url gives the test vectors of RFC 4648 unpadded, and reads them back", "[text]") {
    constexpr std::array<std::string_view, 7> kWanted{"",       "Zg",      "Zm8",     "Zm9v",
                                                      "Zm9vYg", "Zm9vYmE", "Zm9vYmFy"};
    for (std::size_t i = 0; i < kWords.size(); ++i) {
        CHECK(text::base64url(bytesOf(kWords[i])) == kWanted[i]);
        const auto read = text::fromBase64url(kWanted[i]);
        REQUIRE(read);
        CHECK(textOf(*read) == kWords[i]);
    }
}

// RFC 4648, section 10: BASE16("") ... BASE16("foobar").
TEST_CASE("Hex gives the test vectors of RFC 4648 in lower case, and reads either case", "[text]") {
    constexpr std::array<std::string_view, 7> kWanted{"",         "66",         "666F",        "666F6F",
                                                      "666F6F62", "666F6F6261", "666F6F626172"};
    for (std::size_t i = 0; i < kWords.size(); ++i) {
        std::string lower(kWanted[i]);
        for (char& c : lower)
            c = c == 'F' ? 'f' : c;
        CHECK(text::hex(bytesOf(kWords[i])) == lower);
        for (const std::string_view spelling : {std::string_view(lower), kWanted[i]}) {
            const auto read = text::fromHex(spelling);
            REQUIRE(read);
            CHECK(textOf(*read) == kWords[i]);
        }
    }
}

// RFC 4648, section 5, table 2: values 62 and 63 are "-" and "_" (in section 4 they are "+" and "/").
TEST_CASE("Base64url has its own signs for 62 and 63 and refuses those of plain base64", "[text]") {
    CHECK(text::base64url(bytesOf("\xFB\xEF\xBE")) == "----");
    CHECK(text::base64url(bytesOf("\xFF\xFF\xFF")) == "____");
    for (const std::string_view s : {"++++", "////", "Zm9+", "Zm9/"}) {
        const auto read = text::fromBase64url(s);
        REQUIRE_FALSE(read);
        CHECK(read.error().code == Code::BadInput);
    }
}

// RFC 4648, section 3.3 (characters outside the alphabet) and 3.5 (canonical encoding: pad bits are zero).
TEST_CASE("Base64url refuses a second spelling of the same bytes", "[text]") {
    const auto refused = [](std::string_view s) {
        const auto read = text::fromBase64url(s);
        return !read && read.error().code == Code::BadInput;
    };
    CHECK(refused("Zg=="));
    CHECK(refused("Zm8="));
    CHECK(refused("Zm9v="));
    CHECK(refused("Zm 9v"));
    CHECK(refused("Zm9v\n"));
    CHECK(refused(std::string_view("Zm9v\0", 5)));
    CHECK(refused("A")); // six bits make no byte
    CHECK(refused("Zm9vA"));
    CHECK_FALSE(refused("Zg")); // 4 spare bits
    for (const char last : std::string("hijklmnopqrstuv"))
        CHECK(refused(std::string("Z") + last));
    CHECK_FALSE(refused("Zm8")); // 2 spare bits
    for (const char last : std::string("9-_"))
        CHECK(refused(std::string("Zm") + last));
}

TEST_CASE("Hex refuses an odd number of digits and anything else than digits", "[text]") {
    for (const std::string_view s :
         {"6", "666", "6g", "0x", " 66", "66 ", "-1", "6\xC3", "@1", "`1", "/0", ":0", "G0"}) {
        const auto read = text::fromHex(s);
        REQUIRE_FALSE(read);
        CHECK(read.error().code == Code::BadInput);
    }
}

// A regression test, not a check from outside: what is written is read back, at every length and every byte.
TEST_CASE("Every byte at every place of a group comes back from base64url and hex", "[text]") {
    text::Bytes bytes;
    for (int length = 0; length < 9; ++length) {
        for (int b = 0; b < 256; ++b) {
            text::Bytes varied = bytes;
            varied.push_back(static_cast<std::uint8_t>(b));
            CHECK(text::fromBase64url(text::base64url(varied)).value() == varied);
            CHECK(text::fromHex(text::hex(varied)).value() == varied);
        }
        bytes.push_back(static_cast<std::uint8_t>(37 * length + 11));
    }
}

// RFC 9285, sections 4.3 and 4.4: the worked examples.
TEST_CASE("Base45 gives the examples of RFC 9285, and reads them back", "[text]") {
    for (const auto& [words, wanted] : {std::pair<std::string_view, std::string_view>{"AB", "BB8"},
                                        {"Hello!!", "%69 VD92EX0"},
                                        {"base-45", "UJCLQE7W581"},
                                        {"ietf!", "QED8WEX0"},
                                        {"", ""}}) {
        CHECK(text::base45(bytesOf(words)) == wanted);
        const auto read = text::fromBase45(wanted);
        REQUIRE(read);
        CHECK(textOf(*read) == words);
    }
}

// RFC 9285, section 4.2 and 6: "GGW" is 65536, one beyond two bytes; "::" and a lone character are no bytes.
TEST_CASE("Base45 refuses what no bytes give", "[text]") {
    for (const std::string_view odd : {"GGW", ":::", "::", "A", "BB8A", "bb8", "B\n8"})
        CHECK_FALSE(text::fromBase45(odd));
    CHECK(text::fromBase45("FGW"));
}
