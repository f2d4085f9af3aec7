#include "catch_compat.hpp"
#include "cli/pictures.h"
#include "cli/program.h"
#include "core/exchange/csv.h"

#include <algorithm>
#include <map>
#include <vector>

using namespace discal;
using namespace discal::tests;

namespace {

using Row = std::map<std::string, std::string>;

const std::string kHeader = "image,kind,code,text,verdict,confidence,ms\r\n";

std::vector<Row> tableIn(const std::string& path) {
    const std::string text = readFile(path);
    REQUIRE(text.starts_with(kHeader));
    exchange::CsvReader reader(text);
    std::vector<std::string> header;
    std::vector<std::string> fields;
    REQUIRE(reader.next(header).value_or(false));
    std::vector<Row> rows;
    while (reader.next(fields).value_or(false)) {
        REQUIRE(fields.size() == header.size());
        Row row;
        for (std::size_t i = 0; i < header.size(); ++i)
            row[header[i]] = fields[i];
        rows.push_back(row);
    }
    return rows;
}

/// No journal of the user's own is met.
std::vector<std::string> homeAt(const Desk& desk) {
    return {"XDG_DATA_HOME=" + desk.path("nobody")};
}

} // namespace

TEST_CASE("A folder of pictures is read in the order of names, and what is hostile in it stops nothing", "[cli][read]") {
    const Desk desk;
    const std::string folder = desk.path("pictures");
    std::filesystem::create_directories(folder + "/more");
    writeFile(folder + "/a.pgm", qrPicture("RKD 014"));
    writeFile(folder + "/b.png", "no picture");
    writeFile(folder + "/c.jpg", "");
    std::filesystem::copy_file(sourceFile("tests/fuzz/corpus/picture/huge.png"), folder + "/d.PNG");
    writeFile(folder + "/e.pgm", emptyPicture());
    writeFile(folder + "/f.heic", "a form that we can't read");
    writeFile(folder + "/g.pnm", qrPicture("https://example.org/?a=1,2"));
    writeFile(folder + "/notes.txt", "no picture, and not said to be one");
    writeFile(folder + "/more/h.pgm", qrPicture("RKD 015"));
    writeFile(desk.path("codes.txt"), "code\n\nRKD 014\nrkd-015\n");

    const Ran ran = desk.bare({"read", folder, "--codes", desk.path("codes.txt"), "--table", desk.path("out.csv")});
    CHECK(ran.exit == 1); // some could not be read
    const auto rows = tableIn(desk.path("out.csv"));
    REQUIRE(rows.size() == 7);
    std::string names;
    for (const Row& row : rows)
        names += std::filesystem::path(row.at("image")).filename().string() + " ";
    CHECK(names == "a.pgm b.png c.jpg d.PNG e.pgm f.heic g.pnm ");
    CHECK(rows[0].at("kind") == "qr");
    CHECK(rows[0].at("code") == "RKD 014");
    CHECK(rows[0].at("text") == "RKD 014");
    CHECK(rows[0].at("verdict") == "accepted");
    for (const std::size_t error : {1U, 2U, 3U, 5U}) {
        CHECK(rows[error].at("verdict") == "error");
        CHECK(rows[error].at("kind") == "none");
        CHECK(has(ran.err, rows[error].at("image") + ": "));
    }
    CHECK(has(ran.err, "more than 40 million pixels (400000000)"));
    CHECK(rows[4].at("kind") == "none");
    CHECK(rows[4].at("verdict") == "refused");
    CHECK(rows[4].at("code").empty());
    CHECK(rows[6].at("verdict") == "unlisted");
    CHECK(rows[6].at("text") == "https://example.org/?a=1,2");
    CHECK(rows[6].at("code").empty());
    for (const Row& row : rows)
        CHECK(std::stod(row.at("ms")) >= 0);
}

TEST_CASE("A tag that is refused is an answer, and a picture that isn't there is none", "[cli][read]") {
    const Desk desk;
    writeFile(desk.path("empty.pgm"), emptyPicture());
    const Ran refused = desk.bare({"read", desk.path("empty.pgm")}, homeAt(desk));
    CHECK(refused.exit == 0);
    CHECK(refused.err.empty());
    CHECK(has(refused.out, "no tag seen"));

    const Ran missing = desk.bare({"read", desk.path("nothing.png"), desk.path("empty.pgm")}, homeAt(desk));
    CHECK(missing.exit == 1);
    CHECK(has(missing.err, "there is no such file"));
    CHECK(has(missing.out, "no tag seen"));

    std::filesystem::create_directory(desk.path("folder"));
    CHECK(desk.bare({"read", desk.path("folder")}, homeAt(desk)).exit == 1);
    CHECK(desk.bare({"read"}).exit == 2);
    CHECK(desk.bare({"read", desk.path("empty.pgm"), "--codes", desk.path("none.csv")}).exit == 1);
    CHECK(desk.bare({"read", desk.path("empty.pgm"), "--journal", desk.path("none.discal")}).exit == 1);
}

TEST_CASE("The codes that may be met come from a list, a table or the journal", "[cli][read]") {
    const Desk desk;
    writeFile(desk.path("tag.pgm"), qrPicture("RKD014"));
    const auto verdict = [&](const std::vector<std::string>& more) {
        std::vector<std::string> words{"read", desk.path("tag.pgm"), "--json"};
        words.insert(words.end(), more.begin(), more.end());
        const Ran ran = desk.bare(words, homeAt(desk));
        INFO(ran.err);
        REQUIRE(ran.exit == 0);
        const auto objects = Desk::objects(ran.out);
        REQUIRE(objects.size() == 1);
        CHECK(objects.front().at("code").as_string() == "RKD 014");
        return std::string(objects.front().at("verdict").as_string());
    };
    CHECK(verdict({}) == "unlisted");
    writeFile(desk.path("list.txt"), "RKD 013\r\nRKD 014\r\n");
    CHECK(verdict({"--codes", desk.path("list.txt")}) == "accepted");
    writeFile(desk.path("table.csv"), "id,Code\n1,RKD 014\n2,\n");
    CHECK(verdict({"--codes", desk.path("table.csv")}) == "accepted");
    writeFile(desk.path("other.txt"), "RKD 015\n");
    CHECK(verdict({"--codes", desk.path("other.txt")}) == "unlisted");
    (void)desk.done({"stock", "add", "RKD 001", "25"});
    CHECK(verdict({"--journal", desk.journal()}) == "accepted");

    writeFile(desk.path("bad.txt"), "RKD 014\nRK0 O14\n");
    const Ran bad = desk.bare({"read", desk.path("tag.pgm"), "--codes", desk.path("bad.txt")});
    CHECK(bad.exit == 1);
    CHECK(has(bad.err, "line 2"));
}

TEST_CASE("What a barcode says steers neither the terminal nor the table", "[cli][read]") {
    const Desk desk;
    const std::string hostile = "\x1B[2J\",=1+1\r\nRKD 014";
    writeFile(desk.path("hostile.pgm"), qrPicture(hostile));
    const Ran ran = desk.bare({"read", desk.path("hostile.pgm"), "--table", desk.path("out.csv")}, homeAt(desk));
    CHECK(ran.exit == 0);
    CHECK_FALSE(has(ran.out, "\x1B"));
    CHECK(std::count(ran.out.begin(), ran.out.end(), '\n') == 1);
    const auto rows = tableIn(desk.path("out.csv"));
    REQUIRE(rows.size() == 1);
    CHECK(rows[0].at("text") == hostile);
    CHECK(rows[0].at("code").empty());
}

TEST_CASE("A table goes over an older one of its kind, but over nothing else", "[cli][read]") {
    const Desk desk;
    writeFile(desk.path("tag.pgm"), qrPicture("RKD 014"));
    writeFile(desk.path("other.pgm"), emptyPicture());
    const auto into = [&](const std::string& name) {
        return desk.bare({"read", desk.path("tag.pgm"), "--table", desk.path(name)}, homeAt(desk)).exit;
    };
    CHECK(into("out.csv") == 0);
    CHECK(into("out.csv") == 0);
    CHECK(tableIn(desk.path("out.csv")).size() == 1);
    CHECK(into("other.pgm") == 1);
    CHECK(readFile(desk.path("other.pgm")) == emptyPicture());
    CHECK(into("nowhere/out.csv") == 1);
}

TEST_CASE("Pictures read together give one answer about the tag", "[cli][read]") {
    const Desk desk;
    for (const char* name : {"1.pgm", "2.pgm", "3.pgm"})
        writeFile(desk.path(name), emptyPicture());
    const Ran ran = desk.bare(
        {"read", "--together", desk.path("1.pgm"), desk.path("2.pgm"), desk.path("3.pgm"), "--json"}, homeAt(desk));
    CHECK(ran.exit == 0);
    const auto objects = Desk::objects(ran.out);
    REQUIRE(objects.size() == 1);
    CHECK(has(std::string(objects.front().at("image").as_string()), "3.pgm"));
    CHECK(objects.front().at("verdict").as_string() == "refused");
    CHECK(objects.front().at("why").as_string() == "no tag seen");
}

// Pictures and texts: sample set of zxing-cpp (77dceca), Apache-2.0.
TEST_CASE("The sample pictures of barcodes are read by the command line as well", "[cli][read]") {
    const auto folder = reference("barcodes");
    if (!folder)
        return;
    const Desk desk;
    // Every fourth is enough here: with sanitizers a second or two goes into each, and the reader has its own test with all.
    std::vector<std::filesystem::path> pictures;
    for (const auto& entry : std::filesystem::directory_iterator(*folder))
        if (entry.path().extension() == ".png")
            pictures.push_back(entry.path());
    std::sort(pictures.begin(), pictures.end());
    std::filesystem::create_directory(desk.path("pictures"));
    int wanted = 0;
    for (std::size_t i = 0; i < pictures.size(); i += 4, ++wanted)
        std::filesystem::copy_file(pictures[i], desk.path("pictures") + "/" + pictures[i].filename().string());
    const Ran ran = desk.bare({"read", desk.path("pictures"), "--table", desk.path("out.csv")}, homeAt(desk));
    CHECK(ran.exit == 0);
    std::map<std::string, std::string> texts;
    for (const Row& row : tableIn(desk.path("out.csv")))
        if (row.at("kind") != "tag")
            texts[std::filesystem::path(row.at("image")).filename().string()] = row.at("text");
    const std::string truth = readFile(*folder / "truth.csv");
    exchange::CsvReader reader(truth);
    std::vector<std::string> row;
    int right = 0;
    while (reader.next(row).value_or(false))
        if (texts.contains(row[0]) && row[1] != "none") {
            CHECK((texts[row[0]].empty() || texts[row[0]] == row[2]));
            right += texts[row[0]] == row[2] ? 1 : 0;
        }
    CHECK(right >= wanted - 1);
}
