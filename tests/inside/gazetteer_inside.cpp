#include "catch_compat.hpp"
#include "reference.h"
#include "services/system/own_gazetteer.h"

#include <cstdlib>
#include <cstring>

using namespace discal;

extern "C" const std::byte discal_gazetteer_begin[];
extern "C" const std::byte discal_gazetteer_end[];

TEST_CASE("A program that has the gazetteer inside has the bytes of the file", "[services][place]") {
    const std::string file = tests::readFile(tests::sourceFile("assets/gazetteer/places.gazetteer"));
    REQUIRE_FALSE(file.empty());
    REQUIRE(discal_gazetteer_end - discal_gazetteer_begin == static_cast<std::ptrdiff_t>(file.size()));
    CHECK(std::memcmp(discal_gazetteer_begin, file.data(), file.size()) == 0);
}

TEST_CASE("The gazetteer inside opens without any file, is whole, and names places", "[services][place]") {
    REQUIRE(std::getenv("DISCAL_GAZETTEER") == nullptr);
    const auto own = services::openChecked();
    REQUIRE(own.has_value());
    CHECK_FALSE(own->file.has_value());
    // Viroqua is the seat of Vernon County (U.S. Board on Geographic Names; from memory).
    CHECK(own->names.locate({43.5657, -90.8780}, 15).county.name == "Vernon County");
}

TEST_CASE("A file that is named goes before the gazetteer inside", "[services][place]") {
    const auto file = tests::sourceFile("assets/gazetteer/places.gazetteer");
    ::setenv("DISCAL_GAZETTEER", file.c_str(), 1);
    const auto named = services::openOwn();
    ::setenv("DISCAL_GAZETTEER", "/no/such/file", 1);
    const auto missing = services::openOwn();
    ::unsetenv("DISCAL_GAZETTEER");
    REQUIRE(named.has_value());
    CHECK(named->file.has_value());
    REQUIRE_FALSE(missing.has_value());
    CHECK(missing.error().code == Code::NotFound);
}
