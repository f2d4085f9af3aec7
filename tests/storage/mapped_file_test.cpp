#include "storage/mapped_file.h"

#include "catch_compat.hpp"
#include "reference.h"

#include <fstream>

using namespace discal;
using storage::MappedFile;

TEST_CASE("A mapped file has the bytes of the file, also after it moved", "[storage]") {
    const tests::TemporaryFolder folder;
    const auto path = folder.path() / "bytes";
    const std::string written("a\0b\xff", 4);
    std::ofstream(path, std::ios::binary) << written;
    auto mapped = MappedFile::open(path);
    REQUIRE(mapped.has_value());
    const MappedFile moved = std::move(*mapped);
    const auto bytes = moved.bytes();
    CHECK(std::string(reinterpret_cast<const char*>(bytes.data()), bytes.size()) == written);
    CHECK(mapped->bytes().empty());
}

TEST_CASE("What can't be mapped says why", "[storage]") {
    const tests::TemporaryFolder folder;
    const auto missing = MappedFile::open(folder.path() / "nothing");
    REQUIRE_FALSE(missing.has_value());
    CHECK(missing.error().code == Code::NotFound);
    const auto directory = MappedFile::open(folder.path());
    REQUIRE_FALSE(directory.has_value());
    CHECK(directory.error().code == Code::Io);
    std::ofstream(folder.path() / "empty").flush();
    const auto empty = MappedFile::open(folder.path() / "empty");
    REQUIRE(empty.has_value());
    CHECK(empty->bytes().empty());
}
